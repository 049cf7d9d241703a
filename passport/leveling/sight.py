"""What a measuring kit can't see of a table's tolerances, in words, and the kit that could."""

import math
from collections.abc import Iterator
from dataclasses import replace

from passport.leveling.advice import Quantity
from passport.leveling.feasibility import Cause, Infeasible, decides, unreachable
from passport.leveling.lines import COVERAGE_FACTOR, value_words
from passport.leveling.lookup import capped_rise, rise_reach_mm
from passport.leveling.readings import level_zero
from passport.table import Kit, Own, Reads, RiseBy, Table, TautLine, Ways

FINE_CARD_MM = 0.0508  # a feeler of two thousandths of an inch
FINE_DISPLAYS_DEG = (0.05, 0.02, 0.01)  # usual steps, the coarsest first; common practice
FINE_DIVISION_MM_PER_M = 0.1  # of a class 3 precision level: JIS B 7510:1993
# Braided line of half a gramme a metre under 3 kg, over half inch blocks; common practice.
USUAL_LINE = TautLine(Own(0.5, 0.02), Own(29.4, 0.5), Own(12.7, 0.05), 0.1, 0.1)
FINE_LINE = TautLine(Own(0.5, 0.005), Own(29.4, 0.1), Own(12.7, 0.02), 0.02, 0.02)
WHAT = {Quantity.CROSS: "cross level", Quantity.HOLLOW: "hollow", Quantity.RISE: "rise"}
BLIND = frozenset({Cause.CARD, Cause.SCALE, Cause.DISPLAY, Cause.ZERO})


def unseen(table: Table) -> tuple[str, ...]:
    """Say what the table's kit can't see, and which kit could.

    Parameters
    ----------
    table : Table
        Targets and kit.

    Returns
    -------
    tuple of str
        One line for each tolerance that no reading of this kit can prove. As a rule of the rise
        at most, for with a kit that can't see the others a table is not registered. A check of the
        kit, or another kit on site, may still bring one.
    """
    found = (_line(table, found) for found in unreachable(table) if found.cause in BLIND)
    return (*found, *_rise(table))


def _line(table: Table, found: Infeasible) -> str:
    what = WHAT[found.quantity]
    tolerance = value_words(table, found.quantity, found.tolerance)
    could = next(_that_could(table, found), None)
    cure = f"{could[:1].upper()}{could[1:]} could." if could else "No usual kit could."
    return f"This kit can’t see the {what} to ± {tolerance}: {_because(table, found)}. {cure}"


def _rise(table: Table) -> Iterator[str]:
    """Say so of the rise: it is not refused, for visits bring it nearer together."""
    target, reach = capped_rise(table), rise_reach_mm(table)
    if target is None or reach is None or reach <= target.tolerance:
        return
    could = next((words for words, kit in _rise_kits(table.kit) if _shows(table, kit)), None)
    cure = f"{could[:1].upper()}{could[1:]} could." if could else "No usual kit could."
    tolerance, left = (value_words(table, Quantity.RISE, mm) for mm in (target.tolerance, reach))
    yield f"This kit can’t see the rise to ± {tolerance}: one look leaves ± {left}. {cure}"


def _shows(table: Table, kit: Kit) -> bool:
    seen = replace(table, kit=kit)
    target, reach = capped_rise(seen), rise_reach_mm(seen)
    return target is not None and reach is not None and reach <= target.tolerance


def _rise_kits(kit: Kit) -> Iterator[tuple[str, Kit]]:
    """List kits that read a rise more surely, the one nearest to this one first."""
    steps = replace(kit, rise_by=RiseBy.STEPS, line=None, laser=None)
    fine_u = kit.card_u_mm * FINE_CARD_MM / kit.card_mm
    if kit.rise_by in (RiseBy.LEVEL, RiseBy.STEPS) and kit.card_mm > FINE_CARD_MM:
        yield (
            "feelers of two thousandths of an inch (0.05 mm)",
            replace(kit, card_mm=FINE_CARD_MM, card_u_mm=fine_u),
        )
    if kit.rise_by is not RiseBy.STEPS:
        yield "the level stepped along the board", steps
    lined = replace(kit, rise_by=RiseBy.LINE, line=USUAL_LINE, laser=None)
    yield "a taut line, its gap read to 0.1 mm,", lined
    weighed = "a taut line that was weighed, its gap read by feelers to 0.02 mm,"
    yield weighed, replace(lined, line=FINE_LINE)


def _because(table: Table, found: Infeasible) -> str:
    """Say what stands in the way, with its value."""
    if found.cause is Cause.ZERO:
        reach = COVERAGE_FACTOR * level_zero(table.kit).u
        return f"its level’s zero is known to ± {value_words(table, Quantity.CROSS, reach)} only"
    if found.cause is Cause.CARD:
        return f"a card is {value_words(table, Quantity.HOLLOW, table.kit.card_mm)}"
    if found.cause is Cause.FEELERS:
        return "about what is asked its feelers are too far apart"
    step = value_words(table, Quantity.CROSS, found.least or 0.0)
    return f"one {'step' if found.cause is Cause.DISPLAY else 'mark'} of its level is {step}"


def _that_could(table: Table, found: Infeasible) -> Iterator[str]:
    """List the kits that could, the one nearest to this one first."""
    kit = table.kit
    if found.quantity is not Quantity.CROSS:
        card = found.deciding_card_mm or FINE_CARD_MM
        fine = replace(kit, card_mm=card, card_u_mm=kit.card_u_mm / 2, feelers_mm=(), feeler_u_mm=0)
        if _sees(table, found.quantity, fine):
            yield f"cards or feelers of {value_words(table, Quantity.HOLLOW, card)}"
        return
    both = replace(kit, cross_read=Ways.BOTH)
    if kit.cross_read is Ways.ONE and _sees(table, Quantity.CROSS, both):
        yield "the same kit, every leg read both ways round,"
    if found.deciding_card_mm:
        yield f"cards of {value_words(table, Quantity.HOLLOW, found.deciding_card_mm)} under it"
    yield from _finer_levels(table, both)


def _finer_levels(table: Table, kit: Kit) -> Iterator[str]:
    """List finer levels that see the tolerance read both ways round."""
    for step in FINE_DISPLAYS_DEG:
        shown = replace(
            kit, cross_by=Reads.DISPLAY, display_step_deg=step, sensitivity_mm_per_m=None
        )
        if _sees(table, Quantity.CROSS, shown):
            yield f"a display of {step:g}° read both ways round"
            break
    bubble = replace(
        kit,
        cross_by=Reads.DIVISIONS,
        display_step_deg=None,
        sensitivity_mm_per_m=FINE_DIVISION_MM_PER_M,
    )
    if _sees(table, Quantity.CROSS, bubble):
        yield f"a level of {FINE_DIVISION_MM_PER_M:g} mm/m a division read both ways round"


def _sees(table: Table, quantity: Quantity, kit: Kit) -> bool:
    step = math.radians(kit.display_step_deg or 0.0)
    coarse = 1000 * math.tan(step) > table.targets.cross_mm_per_m.tolerance
    seen = decides(replace(table, kit=kit), quantity)
    return seen and not (quantity is Quantity.CROSS and coarse)
