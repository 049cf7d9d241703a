"""Where each unknown of a table stands in the one vector of all of them."""

from dataclasses import dataclass
from functools import cached_property

from passport.leveling.supports import end_legs
from passport.table import Table

# Card thickness, level zero, bow of the straightedge, slope at the level check, error of the line.
VISIT_UNKNOWNS = 5


@dataclass(frozen=True)
class Places:
    """Order of the unknowns.

    First the state (cross slope per leg, rise per end, hollow per bracket), then what turns do
    (feet, nuts, nuts at the bracket beside, lost motion, shape of the board's ends), then what one
    visit's readings share.
    """

    legs: tuple[str, ...]
    rises: tuple[str, ...]
    brackets: tuple[str, ...]

    @property
    def state(self) -> int:
        """How many unknowns say how the table stands."""
        return len(self.legs) + len(self.rises) + len(self.brackets)

    @cached_property
    def pairs(self) -> dict[tuple[int, int], int]:
        """Place of what the nut of the second bracket does at the first, its neighbour."""
        count = len(self.brackets)
        couples = [(a, b) for a in range(count) for b in (a - 1, a + 1) if 0 <= b < count]
        start = self.state + len(self.legs) + count
        return {couple: start + number for number, couple in enumerate(couples)}

    def slope(self, leg: int) -> int:
        """Cross slope at a leg, in mm/m."""
        return leg

    def rise(self, end: int) -> int:
        """Rise of an end, in mm."""
        return len(self.legs) + end

    def hollow(self, bracket: int) -> int:
        """Hollow at a bracket, in mm."""
        return len(self.legs) + len(self.rises) + bracket

    def foot(self, leg: int) -> int:
        """Lift of a leg's foot per quarter turn, in mm."""
        return self.state + leg

    def nut(self, bracket: int) -> int:
        """Hollow per quarter turn of a bracket's nut, at its own place, in mm."""
        return self.state + len(self.legs) + bracket

    def lost(self, bracket: int) -> int:
        """Hollow that a nut loses where its direction changes, in mm."""
        return self.state + len(self.legs) + len(self.brackets) + len(self.pairs) + bracket

    @property
    def shape(self) -> int:
        """Slope under a level at an end, as a multiple of rise over span."""
        return self.lost(len(self.brackets))

    @property
    def lasting(self) -> int:
        """How many unknowns outlive a visit."""
        return self.shape + 1

    @property
    def card(self) -> int:
        """Relative error of the pack's card thickness."""
        return self.lasting

    @property
    def zero(self) -> int:
        """The level's zero, in mm/m."""
        return self.lasting + 1

    @property
    def bow(self) -> int:
        """Bow of the straightedge over its own length, in mm."""
        return self.lasting + 2

    @property
    def spot(self) -> int:
        """Slope where the level was checked, in mm/m."""
        return self.lasting + 3

    @property
    def line(self) -> int:
        """Error of the line that a rise is read against: sag in mm, or a laser's slope in mm/m."""
        return self.lasting + 4

    @property
    def size(self) -> int:
        """How many unknowns there are while a visit lasts."""
        return self.lasting + VISIT_UNKNOWNS


def places_of(table: Table) -> Places:
    """List the unknowns of a table: its adjusted legs, its ends where feet raise them, brackets."""
    return Places(
        tuple(leg.name for leg in table.adjusted_legs()),
        ("A", "B") if end_legs(table) else (),
        tuple(bracket.name for bracket in table.brackets),
    )
