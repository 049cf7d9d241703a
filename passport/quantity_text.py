"""Quantities as they are printed: inch or metric, to a stated resolution, or both.

Rounding is half-even and happens here only; what is printed reads back within half a step.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from passport.quantity import FOOT_MM, INCH_MM
from passport.rounding import places_by

FEET_FROM_MM = 3 * FOOT_MM  # shorter lengths are printed in inches alone: a board is 20 in wide


class Units(StrEnum):
    """The system that is printed first."""

    IMPERIAL = "imperial"
    METRIC = "metric"

    @property
    def other(self) -> "Units":
        """The system that is printed second, in brackets."""
        return Units.METRIC if self is Units.IMPERIAL else Units.IMPERIAL


@dataclass(frozen=True)
class Resolution:
    """The step of the last printed place in either system.

    An imperial step of 1/2, 1/4 … 1/64 prints fractions, any other decimals.
    """

    imperial: Fraction  # in, in/ft, °F
    metric: Fraction  # mm, mm/m, °C


COARSE = Resolution(Fraction(1, 16), Fraction(1))  # boards and places along them
FINE = Resolution(Fraction(1, 10000), Fraction(1, 1000))  # cards, hollows, travel
SLOPE = Resolution(Fraction(1, 10000), Fraction(1, 100))
AIR = Resolution(Fraction(1), Fraction(1, 2))


def length_text(mm: Fraction | float, units: Units, resolution: Resolution = COARSE) -> str:
    """Length as printed: ``22 ft``, ``6 ft 3 1/2 in``, ``0.02 in``, ``508 mm``.

    Parameters
    ----------
    mm : Fraction or float
        The length. [mm]
    units : Units
        The system to print it in.
    resolution : Resolution
        To what step. [in, mm]
    """
    exact = _exact(mm)
    if units is Units.METRIC:
        return f"{decimal_text(exact, resolution.metric)} mm"
    if not _prints_fractions(resolution.imperial):
        return f"{decimal_text(exact / INCH_MM, resolution.imperial)} in"
    sign = "-" if exact < 0 else ""
    return sign + _feet_and_inches(abs(exact), resolution.imperial)


def length_both(mm: Fraction | float, units: Units, resolution: Resolution = COARSE) -> str:
    """Length in both systems, ``22 ft (6706 mm)``: the table's first, the other in brackets."""
    first = length_text(mm, units, resolution)
    return f"{first} ({length_text(mm, units.other, resolution)})"


def slope_text(mm_per_m: Fraction | float, units: Units, resolution: Resolution = SLOPE) -> str:
    """Slope as printed: ``0.8 mm/m`` or ``0.0096 in/ft``."""
    if units is Units.METRIC:
        return f"{decimal_text(_exact(mm_per_m), resolution.metric)} mm/m"
    in_per_ft = _exact(mm_per_m) * 12 / 1000
    return f"{decimal_text(in_per_ft, resolution.imperial)} in/ft"


def temperature_text(celsius: Fraction | float, units: Units, resolution: Resolution = AIR) -> str:
    """Temperature as printed: ``21 °C`` or ``70 °F``."""
    if units is Units.METRIC:
        return f"{decimal_text(_exact(celsius), resolution.metric)} °C"
    return f"{decimal_text(_exact(celsius) * 9 / 5 + 32, resolution.imperial)} °F"


def humidity_text(percent: Fraction | float, step: Fraction = Fraction(1)) -> str:
    """Relative humidity as printed: ``45 %``."""
    return f"{decimal_text(_exact(percent), step)} %"


def measured_length(mm: float, around: float, units: Units, finest: Resolution = FINE) -> str:
    """Length with its uncertainty, both to the places that this deserves: ``0.130 ± 0.008 mm``.

    ``finest`` is the step that its instrument is good for; see ``rounding.places_by``.
    """
    both = _exact(mm), _exact(around)
    if units is Units.METRIC:
        return _spread(both, finest.metric, "mm")
    inches = both[0] / INCH_MM, both[1] / INCH_MM
    return _spread(inches, finest.imperial, "in")


def measured_slope(mm_per_m: float, around: float, units: Units, finest: Resolution = SLOPE) -> str:
    """Slope with its uncertainty, both to the places that this deserves: ``0.31 ± 0.12 mm/m``."""
    both = _exact(mm_per_m), _exact(around)
    if units is Units.METRIC:
        return _spread(both, finest.metric, "mm/m")
    in_per_ft = both[0] * 12 / 1000, both[1] * 12 / 1000
    return _spread(in_per_ft, finest.imperial, "in/ft")


def _spread(both: tuple[Fraction, Fraction], finest: Fraction, unit: str) -> str:
    places = places_by(float(both[1]), _places(finest))
    step = Fraction(1, 10**places)
    said, around = (_padded(decimal_text(one, step), places) for one in both)
    return f"{said} ± {around} {unit}"


def _padded(number: str, places: int) -> str:
    whole, _, part = number.partition(".")
    return f"{whole}.{part.ljust(places, '0')}" if places else whole


def rounded(value: Fraction, step: Fraction) -> Fraction:
    """Nearest multiple of a step; a tie goes to the even one."""
    return round(value / step) * step


def decimal_text(value: Fraction, step: Fraction) -> str:
    """Value rounded to a decimal step, without trailing zeros: 0.0200 to 1/1000 is ``0.02``."""
    places = _places(step)
    digits = f"{abs(int(rounded(value, step) * 10**places)):0{places + 1}d}"
    sign = "-" if rounded(value, step) < 0 else ""
    if not places:
        return sign + digits
    return sign + f"{digits[:-places]}.{digits[-places:]}".rstrip("0").rstrip(".")


def _places(step: Fraction) -> int:
    """Count the decimals of a decimal step."""
    places = 0
    while (step * 10**places).denominator != 1:
        places += 1
    return places


def _exact(value: Fraction | float) -> Fraction:
    """Take a float for the decimal that it prints as: 1.5875 is a tie at three places."""
    return Fraction(str(value)) if isinstance(value, float) else value


def _prints_fractions(step: Fraction) -> bool:
    return step.denominator > 1 and step.denominator & (step.denominator - 1) == 0


def _feet_and_inches(mm: Fraction, step: Fraction) -> str:
    inches = rounded(mm / INCH_MM, step)
    feet, rest = divmod(inches, 12) if mm >= FEET_FROM_MM else (0, inches)
    parts = [f"{feet} ft"] if feet else []
    if rest or not feet:
        parts.append(f"{_mixed(Fraction(rest))} in")
    return " ".join(parts)


def _mixed(inches: Fraction) -> str:
    whole, part = divmod(inches, 1)
    texts = [str(whole)] if whole or not part else []
    return " ".join(texts + ([f"{part.numerator}/{part.denominator}"] if part else []))
