"""Lengths, slopes, angles, temperatures and humidities as people write them, read exactly.

Inside is SI: millimetres, mm/m, degrees of angle, °C, % relative humidity, as exact fractions.
1 in = 25.4 mm exactly (international yard and pound agreement, 1959). What was written is kept.
"""

import math
import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from passport.errors import PassportError

INCH_MM = Fraction(254, 10)
FOOT_MM = 12 * INCH_MM

# How many millimetres is one <unit>? Exact.
MM_PER: Mapping[str, Fraction] = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeters"), Fraction(1)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeters"), Fraction(10)),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), Fraction(1000)),
    **dict.fromkeys(("um", "µm", "μm"), Fraction(1, 1000)),
    **dict.fromkeys(("in", "inch", "inches", '"', "''"), INCH_MM),
    **dict.fromkeys(("ft", "foot", "feet", "'"), FOOT_MM),
    "thou": INCH_MM / 1000,
}

# How many degrees is one <unit>? Exact.
DEG_PER: Mapping[str, Fraction] = {
    **dict.fromkeys(("deg", "°", "degree", "degrees"), Fraction(1)),
    **dict.fromkeys(("arcmin", "arc min", "arc minute", "arc minutes", "'"), Fraction(1, 60)),
    **dict.fromkeys(("arcsec", "arc sec", "arc second", "arc seconds", '"'), Fraction(1, 3600)),
}

# How many °C is a temperature of v <unit>? Exact.
CELSIUS_OF: Mapping[str, Callable[[Fraction], Fraction]] = {
    **dict.fromkeys(("°c", "c", "degc", "deg c"), lambda v: v),
    **dict.fromkeys(("°f", "f", "degf", "deg f"), lambda v: (v - 32) * Fraction(5, 9)),
}
ABSOLUTE_ZERO_C = Fraction(-27315, 100)

# Nine digits hold any length in micrometres; longer numbers are slips of the pen.
_DIGITS = r"[0-9]{1,9}"
_FRACTION = rf"{_DIGITS}/{_DIGITS}"
_NUMBER = rf"{_DIGITS}[ -]{_FRACTION}|{_FRACTION}|{_DIGITS}(?:[.,]{_DIGITS})?|[.,]{_DIGITS}"
_PART = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>[^\d\s.,+/-][^\d.,+-]*)")
_THOUSANDS = re.compile(r"(?<!\d)[1-9]\d{0,2},\d{3}(?!\d)")  # 1,500: 1500 or 1.5?


class Kind(StrEnum):
    """What a quantity is a quantity of."""

    LENGTH = "a length"
    SLOPE = "a slope"
    ANGLE = "an angle"
    TEMPERATURE = "a temperature"
    HUMIDITY = "a relative humidity"
    THREAD = "a thread"
    LINE_MASS = "a mass per length"
    WEIGHT = "a weight"


EXAMPLES: Mapping[Kind, str] = {
    Kind.LENGTH: "22 ft, 6' 3\", 20 1/2 in, 0.005 in, 508 mm, 12,5 mm or 1.5 m",
    Kind.SLOPE: "0.8 mm/m, 1/8 in/ft, 0.05 deg or 2 arc minutes",
    Kind.ANGLE: "0.05 deg, 3 arc minutes or 20 arc seconds",
    Kind.TEMPERATURE: "21 °C or 70 °F",
    Kind.HUMIDITY: "45 %",
    Kind.THREAD: "3/8-16 UNC, 1/2-13 or M10x1.5",
    Kind.LINE_MASS: "0.5 g/m or 0.0007 lb/ft",
    Kind.WEIGHT: "3 kg, 7 lb or 30 N",
}


class UnreadableQuantity(PassportError):
    """Text that isn't a quantity of the kind asked for."""

    def __init__(self, key: str, found: str, kind: Kind):
        self.key, self.found, self.kind = key, found, kind
        super().__init__(
            f"{key} is '{found}', which can't be read as {kind}. Write it like {EXAMPLES[kind]}."
        )


class AmbiguousComma(PassportError):
    """A comma that could be a decimal comma or part a thousand."""

    def __init__(self, key: str, found: str):
        self.key, self.found = key, found
        super().__init__(
            f"{key} is '{found}': the comma can mean a decimal or a thousand. "
            f"Write '{found.replace(',', '')}' or '{found.replace(',', '.')}'."
        )


class QuantityOutOfRange(PassportError):
    """A quantity that no thing can have."""

    def __init__(self, key: str, found: str, kind: Kind, limits: str):
        self.key, self.found, self.kind = key, found, kind
        super().__init__(f"{key} is '{found}'; {kind} lies {limits}. Read the instrument again.")


@dataclass(frozen=True)
class Written:
    """What was written and the value that it became, in the SI unit of its kind."""

    text: str
    value: Fraction


def parse_length(text: str, key: str = "length") -> Written:
    """Length as written, in millimetres.

    Parameters
    ----------
    text : str
        Such as ``22 ft``, ``6' 3"``, ``20 1/2 in``, ``508 mm``, ``12,5 mm``; a bare 0 is 0.
    key : str
        What the message calls it.

    Returns
    -------
    Written
        Text and exact value. [mm]

    Raises
    ------
    UnreadableQuantity, AmbiguousComma
        Not a length, or a comma with two meanings.
    """
    return Written(text, _sum_of_parts(text, key, Kind.LENGTH, MM_PER))


def parse_angle(text: str, key: str = "angle") -> Written:
    """Angle as written (``0.05 deg``, ``3 arc minutes``, ``0° 3'``), in degrees, exact.

    Raises
    ------
    UnreadableQuantity, AmbiguousComma
        Not an angle, or a comma with two meanings.
    """
    return Written(text, _sum_of_parts(text, key, Kind.ANGLE, DEG_PER))


def parse_slope(text: str, key: str = "slope") -> Written:
    """Slope as written, in mm/m.

    A ratio of lengths (``0.8 mm/m``, ``1/8 in/ft``) is exact; an angle becomes its tangent, to
    the precision of a float.

    Raises
    ------
    UnreadableQuantity, AmbiguousComma
        Not a slope, or a comma with two meanings.
    """
    sign, body = _signed(text, key)
    parts = _parts(body)
    if len(parts) == 1 and "/" in parts[0][1]:
        return Written(text, sign * parts[0][0] * _ratio(parts[0][1], text, key))
    degrees = _sum_of_parts(text, key, Kind.SLOPE, DEG_PER)
    return Written(text, slope_of_angle(degrees))


def slope_of_angle(degrees: Fraction) -> Fraction:
    """Slope [mm/m] of an angle [deg]: its tangent, to the precision of a float."""
    return Fraction(1000 * math.tan(math.radians(degrees)))


def parse_temperature(text: str, key: str = "temperature") -> Written:
    """Temperature as written (``21 °C``, ``70 F``), in °C, exact.

    Raises
    ------
    UnreadableQuantity, AmbiguousComma, QuantityOutOfRange
        Not a temperature, a comma with two meanings, or below absolute zero.
    """
    sign, body = _signed(text, key)
    parts = _parts(body)
    if len(parts) != 1 or parts[0][1] not in CELSIUS_OF:
        raise UnreadableQuantity(key, text, Kind.TEMPERATURE)
    celsius = CELSIUS_OF[parts[0][1]](sign * parts[0][0])
    if celsius < ABSOLUTE_ZERO_C:
        raise QuantityOutOfRange(key, text, Kind.TEMPERATURE, "above -273.15 °C")
    return Written(text, celsius)


def parse_humidity(text: str, key: str = "humidity") -> Written:
    """Relative humidity as written (``45 %``, ``45 % RH``), in percent, exact.

    Raises
    ------
    UnreadableQuantity, AmbiguousComma, QuantityOutOfRange
        Not a humidity, a comma with two meanings, or outside 0 to 100 %.
    """
    sign, body = _signed(text, key)
    parts = _parts(body)
    if len(parts) != 1 or parts[0][1] not in ("%", "% rh", "%rh"):
        raise UnreadableQuantity(key, text, Kind.HUMIDITY)
    percent = sign * parts[0][0]
    if not 0 <= percent <= 100:
        raise QuantityOutOfRange(key, text, Kind.HUMIDITY, "between 0 and 100 %")
    return Written(text, percent)


def parse_number(text: str) -> Fraction:
    """Unsigned number as written (``20``, ``0.5``, ``12,5``, ``3/4``, ``20 1/2``), exact.

    Raises
    ------
    ValueError, ZeroDivisionError
        Not such a number.
    """
    whole, _, fraction = text.replace("-", " ").rpartition(" ")
    return Fraction(whole or 0) + Fraction(fraction.replace(",", "."))


def one_part(text: str, key: str, kind: Kind) -> tuple[Fraction, str]:
    """Split text that is one unsigned number with its unit into both.

    Raises
    ------
    UnreadableQuantity, AmbiguousComma
        Anything else, or a comma with two meanings.
    """
    sign, body = _signed(text, key)
    parts = _parts(body)
    if len(parts) != 1 or sign < 0:
        raise UnreadableQuantity(key, text, kind)
    return parts[0]


def _sum_of_parts(text: str, key: str, kind: Kind, units: Mapping[str, Fraction]) -> Fraction:
    """Value of one part (``20 1/2 in``), or of several in falling units (``6 ft 3 in``)."""
    sign, body = _signed(text, key)
    if body.strip() == "0":
        return Fraction(0)
    parts = _parts(body)
    if not parts or any(unit not in units for _, unit in parts):
        raise UnreadableQuantity(key, text, kind)
    factors = [units[unit] for _, unit in parts]
    for (number, _), (lower, _), factor, smaller in zip(
        parts, parts[1:], factors, factors[1:], strict=False
    ):
        if number.denominator != 1 or lower * smaller >= factor:
            raise UnreadableQuantity(key, text, kind)
    return sign * sum((n * f for (n, _), f in zip(parts, factors, strict=True)), Fraction(0))


def _signed(text: str, key: str) -> tuple[int, str]:
    """Sign and the rest, in plain characters: ``−½″`` becomes -1 and ``1/2"``."""
    if _THOUSANDS.search(text):
        raise AmbiguousComma(key, text)
    plain = "".join(_plain(character) for character in text).strip().lower()
    if plain.startswith(("-", "+")):
        return (-1 if plain[0] == "-" else 1), plain[1:]
    return 1, plain


def _plain(character: str) -> str:
    """One character as a keyboard writes it; ½ gets a space before, so that 20½ is 20 1/2."""
    if "VULGAR FRACTION" in unicodedata.name(character, ""):
        return " " + unicodedata.normalize("NFKC", character).replace("\u2044", "/")
    return {"′": "'", "’": "'", "″": '"', "”": '"', "−": "-", "\u00a0": " "}.get(
        character, character
    )


def _parts(body: str) -> list[tuple[Fraction, str]]:
    """Numbers with their units, or nothing if any of it is something else."""
    parts: list[tuple[Fraction, str]] = []
    position = 0
    while position < len(body.rstrip()):
        match = _PART.match(body, position)
        if match is None:
            return []
        try:
            number = parse_number(match["number"])
        except (ValueError, ZeroDivisionError):
            return []
        parts.append((number, " ".join(match["unit"].split())))
        position = match.end()
    return parts


def _ratio(unit: str, text: str, key: str) -> Fraction:
    """mm/m in one ``in/ft``."""
    rise, _, run = unit.replace(" ", "").partition("/")
    if rise not in MM_PER or run not in MM_PER:
        raise UnreadableQuantity(key, text, Kind.SLOPE)
    return MM_PER[rise] / MM_PER[run] * 1000
