"""What a person should know before anyone turns a nut."""

import math
from collections.abc import Iterator, Sequence

from passport.leveling.advice import Quantity
from passport.leveling.common import READ_BOTH_WAYS_ABOVE_CARDS
from passport.leveling.lines import COVERAGE_FACTOR, sense_words, station_words, value_words
from passport.leveling.surface import Estimate, estimates
from passport.leveling.trend import trends
from passport.leveling.walks import Moment
from passport.table import Table
from passport.visit import LegPass, Visit

# What may change between two visits without a fault, as a standard deviation; common practice,
# no source.
DRIFT_U = {Quantity.CROSS: 0.3, Quantity.HOLLOW: 0.22, Quantity.RISE: 0.5}  # mm/m, mm, mm
MOVED = frozenset({"moved", "floor", "part"})  # marks of what changed
DRIFT_LIMIT = 3.0  # standard deviations
LOOK_FOR = {
    Quantity.CROSS: "a foot that sank, a loose jam nut, a level that lost its zero",
    Quantity.HOLLOW: "a loose nut or bracket, a wetter or drier room",
    Quantity.RISE: "feet that sank, supporting legs that lift the board",
}


def warnings(table: Table, visits: Sequence[Visit]) -> tuple[str, ...]:
    """List what stands out in the last visit, the most urgent first.

    Parameters
    ----------
    table : Table
        The table.
    visits : sequence of Visit
        Oldest first; may be empty.

    Returns
    -------
    tuple of str
        One printed line each.
    """
    if not visits:
        return ()
    last = visits[-1]
    lines = [*_urgent(last), *_level(last), *_feet(table, last), *_locks(last)]
    if len(visits) > 1:
        lines += _moved(last) or _drift(table, visits[-2], last)
        lines += trends(table, visits)
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


def _level(visit: Visit) -> Iterator[str]:
    if visit.level_check is None:
        return
    first, second = (count.cards for count in visit.level_check)
    if abs(first - second) > READ_BOTH_WAYS_ABOVE_CARDS:
        yield (
            f"The level check differs by {abs(first - second)} cards: cross levels count as read "
            "both ways round. Adjust the level before the next visit."
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


def _drift(table: Table, before: Visit, last: Visit) -> list[str]:
    """Compare what was found with what was left the time before."""
    left = estimates(table, before, Moment.LEFT)
    found = estimates(table, last, Moment.FOUND)
    lines = [_drift_line(table, then, now) for then, now in zip(left, found, strict=True)]
    return [line for line in lines if line]


def _drift_line(table: Table, then: Estimate, now: Estimate) -> str:
    if then.spread is None or now.spread is None:
        return ""
    quantity = then.station.quantity
    change = now.spread.value - then.spread.value
    limit = DRIFT_LIMIT * math.hypot(then.spread.u, now.spread.u, DRIFT_U[quantity])
    if abs(change) <= limit:
        return ""
    place = station_words(quantity, then.station.name)
    said = [
        sense_words(table, quantity, spread.value, COVERAGE_FACTOR * spread.u)
        for spread in (now.spread, then.spread)
    ]
    most = value_words(table, quantity, limit)
    return (
        f"{place}: found {said[0]}, left {said[1]} the time before; more than {most} is no drift. "
        f"Before turning, look for {LOOK_FOR[quantity]}."
    )
