"""What a person should know before anyone turns a nut."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from passport.leveling.common import READ_BOTH_WAYS_ABOVE_CARDS
from passport.leveling.posterior.filter import Known, known_at
from passport.leveling.readings import apart_by_zero, cross_step_mm_per_m, level_zero
from passport.leveling.shots.tested import read_shots
from passport.leveling.shots.words import shot_warnings
from passport.leveling.sight import unseen
from passport.leveling.trend import trends
from passport.leveling.watch import contradictions, watch
from passport.table import Table
from passport.visit import LegPass, Visit

MOVED = frozenset({"moved", "floor", "part"})  # marks of what changed


def warnings(table: Table, visits: Sequence[Visit], known: Known | None = None) -> tuple[str, ...]:
    """List what stands out in the last visit, the most urgent first.

    Parameters
    ----------
    table : Table
        The table.
    visits : sequence of Visit
        Oldest first; may be empty.
    known : Known, optional
        What is known within the last of them, where it was worked out already.

    Returns
    -------
    tuple of str
        One printed line each.
    """
    if not visits:
        return ()
    last = visits[-1]
    lines = [
        *_urgent(last),
        *_blind(table, last),
        *_level(last),
        *_feet(table, last),
        *_locks(last),
    ]
    known = known or known_at(table, visits)
    moved = _moved(last) if len(visits) > 1 else []
    lines += moved
    lines += watch(table, known) if len(visits) > 1 and not moved else contradictions(known)
    lines += trends(table, visits) if len(visits) > 1 else []
    lines += shot_warnings(table, read_shots(table, last))
    return tuple(lines)


def _urgent(visit: Visit) -> Iterator[str]:
    if visit.unsafe:
        yield (
            "Unsafe, do not use was ticked: out of use until checked. Telephone the customer today."
        )
    if visit.office_must_read:
        yield "The notes ask the office to read them."
    if visit.other_kit:
        yield "Measured with another kit than the form's: the turns under its counts did not apply."


def _blind(table: Table, visit: Visit) -> tuple[str, ...]:
    """Say what the kit of the visit can't see of the table's tolerances."""
    return unseen(replace(table, kit=visit.kit))


def _level(visit: Visit) -> Iterator[str]:
    if visit.level_check is None:
        return
    first, second = visit.level_check
    known = apart_by_zero(visit.kit)
    apart = abs(first.cards - second.cards - known)
    step = cross_step_mm_per_m(visit.kit)
    least = (apart - 1) * step / 2  # half of each count's step is rounding
    if apart > READ_BOTH_WAYS_ABOVE_CARDS and least > 2 * level_zero(visit.kit).u:
        beyond = " beyond what the kit's check makes of it" if known else ""
        yield (
            f"The level check differs by {apart} {visit.kit.cross_by.counted}{beyond}: cross "
            "levels count as read both ways round. Adjust the level before the next visit."
        )


def _feet(table: Table, visit: Visit) -> Iterator[str]:
    """Name feet of adjusted legs that bore nothing at the end."""
    for leg in table.adjusted_legs():
        rows = [walk.legs[leg.name] for walk in visit.passes if leg.name in walk.legs]
        slack = _slack(rows[-1]) if rows else ""
        if slack:
            yield f"{leg.name}: {slack} nothing. Make it bear before any other turn."


def _slack(row: LegPass) -> str:
    names = (("left foot", row.bears_left), ("right foot", row.bears_right))
    slack = [name for name, bears in names if bears is False]
    return " and ".join(slack) + (" carry" if len(slack) > 1 else " carries") if slack else ""


def _locks(visit: Visit) -> Iterator[str]:
    """Name what was turned and not locked."""
    for walk in visit.passes:
        for name, leg in walk.legs.items():
            if (leg.turns_left or leg.turns_right) and leg.jam_nut_locked is False:
                yield f"{name}: turned, and its jam nuts not ticked as locked. Check them first."
        for name, bracket in walk.brackets.items():
            if bracket.turns and bracket.locked is False:
                yield f"{name}: turned, and not ticked as locked. Check its nuts first."


def _moved(visit: Visit) -> list[str]:
    """Say why what was left before is no measure of drift."""
    if not MOVED & visit.changed:
        return []
    return ["The table was moved, or its floor or a part changed: what was left before is void."]
