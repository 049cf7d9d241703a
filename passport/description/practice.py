"""What the trade's common practice fills in where a description is silent (no source).

Figures are the issue's facts of the trade; the table's own description decides.
"""

from collections.abc import Sequence
from fractions import Fraction

from passport.quantity import FOOT_MM, INCH_MM
from passport.quantity_text import Units, rounded
from passport.table import Role

FIVE_LEGS_FROM_MM = 18 * FOOT_MM
THREE_LEGS_FROM_MM = 12 * FOOT_MM
BOARD_PER_BRACKET_MM = Fraction(11, 4) * FOOT_MM  # three on 9 ft, five on 14 ft, eight on 22 ft
FEWEST_BRACKETS, MOST_BRACKETS = 3, 8
END_LEG_INSET = Fraction(1, 12)  # of the board's length

WIDTH, THICKNESS, WOOD = "20 in", "3 in", "maple"
HOLLOW, HOLLOW_TOLERANCE = "0.020 in", "0.0075 in"
CROSS, CROSS_TOLERANCE = "0 mm/m", "0.8 mm/m"
KIT, LEVEL_LENGTH, SENSITIVITY = "level and cards", "24 in", "0.5 mm/m"
FEELER_UNCERTAINTY = "0.003 mm"  # of one blade; common practice, no source
CARD_UNCERTAINTY = "0.0003 in"  # ± 0.0005 in (index stock, JCP K10 1999) over the root of 3


def leg_count(length_mm: Fraction) -> int:
    """Count legs: five from 18 ft, three from 12 ft, two below."""
    if length_mm >= FIVE_LEGS_FROM_MM:
        return 5
    return 3 if length_mm >= THREE_LEGS_FROM_MM else 2


def bracket_count(length_mm: Fraction) -> int:
    """Count brackets: one each 2 3/4 ft, at least three and at most eight."""
    return min(MOST_BRACKETS, max(FEWEST_BRACKETS, round(length_mm / BOARD_PER_BRACKET_MM)))


def leg_places(length_mm: Fraction, count: int, units: Units) -> list[Fraction]:
    """Place legs, as distances from end A in mm.

    End legs a twelfth of the length from the ends, the others evenly between; whole inches, or
    centimetres on a metric table, alike from both ends.
    """
    if count < 2:
        return [length_mm / 2] * count  # no table stands so; that is told elsewhere
    step = (1 - 2 * END_LEG_INSET) / (count - 1)
    return _alike([END_LEG_INSET + step * place for place in range(count)], length_mm, units)


def bracket_places(length_mm: Fraction, count: int, units: Units) -> list[Fraction]:
    """Place brackets, in mm from end A: each in the middle of its share of the board."""
    shares = [Fraction(2 * place + 1, 2 * count) for place in range(count)]
    return _alike(shares, length_mm, units)


def roles(count: int) -> list[Role]:
    """Name roles from end A: end legs outside, a centre leg if there is a middle one."""
    if count < 2:
        return [Role.END] * count
    between = [Role.SUPPORTING] * (count - 2)
    if count % 2:
        between[(count - 3) // 2] = Role.CENTRE
    return [Role.END, *between, Role.END]


def _alike(shares: Sequence[Fraction], length_mm: Fraction, units: Units) -> list[Fraction]:
    """Round places at shares of the length on the half at A and mirrored to the half at B."""
    step = INCH_MM if units is Units.IMPERIAL else Fraction(10)
    near = [rounded(length_mm * share, step) for share in shares if share < Fraction(1, 2)]
    middle = [length_mm / 2] if len(shares) % 2 else []
    return near + middle + [length_mm - place for place in reversed(near)]
