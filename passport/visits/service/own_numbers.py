"""A measuring kit's own numbers as a form says them: card, zero, bow, and what follows for the pen.

An uncertainty is printed as the half width of a 95 % interval, coverage factor 2 (JCGM 100:2008,
6.2.1 and G.6.6).
"""

from datetime import date

from passport.leveling.readings import apart_by_zero
from passport.leveling.sight import unseen
from passport.quantity_text import Units, measured_length, measured_slope
from passport.table import Kit, Own, Table

COVERAGE_FACTOR = 2
NOT_CHECKED = "Zero and edge of this level were never checked: what is usual is assumed of them."
UNKNOWN = "More than one {one} apart: read EVERY station both ways, mark the middle."
KNOWN = (
    "By its zero the first shows {apart} {ones} more {low} low, ± 1: look-ups allow for it. Else "
    "use another kit."
)


def card(kit: Kit, units: Units) -> str:
    """Say a card's thickness with its uncertainty."""
    return f"card {measured_length(kit.card_mm, COVERAGE_FACTOR * kit.card_u_mm, units)}"


def rule(kit: Kit) -> str:
    """Say what follows from a level check of this kit."""
    apart, one = apart_by_zero(kit), kit.cross_by.counted.removesuffix("s")
    one = "box" if one == "boxe" else one
    if not apart:
        return UNKNOWN.format(one=one)
    ones = one if abs(apart) == 1 else kit.cross_by.counted
    return KNOWN.format(apart=abs(apart), ones=ones, low="RIGHT" if apart > 0 else "LEFT")


def checked(table: Table) -> str:
    """Say the level's zero and its edge's bow, with the days of their checks."""
    kit, units, parts = table.kit, Units(table.units), list[str]()
    if kit.zero is not None:
        way = "high" if kit.zero.value >= 0 else "low"
        parts.append(f"zero {_slope(kit.zero, units)}, marked end {way}{_day(kit.zero.on)}")
    if kit.bow is not None:
        way = "hollow" if kit.bow.value >= 0 else "crowned"
        parts.append(f"edge {_length(kit.bow, units)} {way}{_day(kit.bow.on)}")
    return f"This level: {'; '.join(parts)}." if parts else NOT_CHECKED


def blind(table: Table) -> tuple[str, ...]:
    """Say at the head of a form that this kit can't see a tolerance; as a rule nothing."""
    return ("this kit can’t see every tolerance, see “Kit”",) if unseen(table) else ()


def said(table: Table) -> str:
    """Say the kit's own numbers, after what this kit can't see."""
    return " ".join((*unseen(table), checked(table)))


def _slope(own: Own, units: Units) -> str:
    return measured_slope(abs(own.value), COVERAGE_FACTOR * own.u, units)


def _length(own: Own, units: Units) -> str:
    return measured_length(abs(own.value), COVERAGE_FACTOR * own.u, units)


def _day(on: date | None) -> str:
    return f" ({on.isoformat()})" if on else ""
