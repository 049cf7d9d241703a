"""A taut line's mass per length and the weight hung on it, as people write them, read exactly.

1 lb = 0.453 592 37 kg and 1 ft = 0.3048 m exactly (international yard and pound agreement, 1959);
a hung mass pulls with standard gravity, 9.806 65 m/s² (3rd CGPM, 1901).
"""

from collections.abc import Mapping
from fractions import Fraction

from passport.quantity import MM_PER, Kind, UnreadableQuantity, Written, one_part

POUND_G = Fraction("453.59237")
GRAVITY = Fraction("9.80665")

# How many grams is one <unit>? Exact.
G_PER: Mapping[str, Fraction] = {
    **dict.fromkeys(("g", "gram", "grams"), Fraction(1)),
    **dict.fromkeys(("kg", "kilogram", "kilograms"), Fraction(1000)),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), POUND_G),
    **dict.fromkeys(("oz", "ounce", "ounces"), POUND_G / 16),
}


def parse_mass_per_length(text: str, key: str = "mass per length") -> Written:
    """Mass per length as written (``0.5 g/m``, ``0.0007 lb/ft``), in g/m, exact.

    Raises
    ------
    UnreadableQuantity, AmbiguousComma
        Not a mass per length, or a comma with two meanings.
    """
    number, unit = one_part(text, key, Kind.LINE_MASS)
    mass, _, length = unit.replace(" ", "").partition("/")
    if mass not in G_PER or length not in MM_PER:
        raise UnreadableQuantity(key, text, Kind.LINE_MASS)
    return Written(text, number * G_PER[mass] / MM_PER[length] * 1000)


def parse_pull(text: str, key: str = "weight") -> Written:
    """Weight hung on a line as written (``3 kg``, ``7 lb``, ``30 N``), in newtons, exact.

    Raises
    ------
    UnreadableQuantity, AmbiguousComma
        Not a weight, or a comma with two meanings.
    """
    number, unit = one_part(text, key, Kind.WEIGHT)
    if unit in ("n", "newton", "newtons"):
        return Written(text, number)
    if unit not in G_PER:
        raise UnreadableQuantity(key, text, Kind.WEIGHT)
    return Written(text, number * G_PER[unit] / 1000 * GRAVITY)
