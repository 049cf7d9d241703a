"""The scale of a hollow that is read by feelers of unequal steps: a box for each blade.

Over the boxes stand thicknesses, as numbers of a unit that is named beside them; a box's own value
counts the blades from the thinnest.
"""

from fractions import Fraction

from passport.quantity_text import Units, decimal_text
from passport.table import Table
from passport.visits.service.station import Counts

LOWEST = -2  # the second blade or a thicker one stops a crown
FEELERS = (
    "HOLLOW: thickest feeler that passes under the middle; 0 only if the level does not rock. "
    "CROWN: it rocks; the thinnest that, under both ends at the board’s edges, just stops it so "
    "that it touches the middle."
)
_UNITS_MM = {Units.IMPERIAL: Fraction("0.0254"), Units.METRIC: Fraction("0.01")}
_TENTH = Fraction(1, 10)


def feelers_scale(table: Table) -> Counts:
    """Give a box for each blade, two for a crown, one for none."""
    blades, one = table.kit.feelers_mm, _UNITS_MM[Units(table.units)]
    said = [decimal_text(Fraction(mm) / one, _TENTH) for mm in blades]
    words = (f"{said[1]}+", said[0], "0", *said[:-1], f"{said[-1]}+")
    bounds = (LOWEST, len(blades))
    return Counts("feeler", tuple(range(LOWEST, len(blades) + 1)), words, bounds)


def unit_words(units: Units) -> str:
    """Say what is counted, and the unit of the numbers over the boxes."""
    return f"feelers, {'0.001 in' if units is Units.IMPERIAL else '0.01 mm'}"
