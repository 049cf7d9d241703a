"""Legs that nobody turned and that move all the same, visit after visit."""

import math
from collections.abc import Iterator, Sequence

from passport.leveling.advice import Quantity
from passport.leveling.common import common_errors
from passport.leveling.line import Line, fit_line
from passport.leveling.lines import COVERAGE_FACTOR, value_words
from passport.leveling.readings import cross_reading
from passport.leveling.surface import Station, stations
from passport.leveling.walks import Gap, Moment, counts_at, rows
from passport.table import Table
from passport.visit import Visit

NEEDED_VISITS = 4
CHANCE = 0.01  # a steady course that scatter alone shows as often as this is none
MONTH_DAYS = 30.4375
SHARE = 0.25  # of the tolerance in a month; less is left to the next visit


def trends(table: Table, visits: Sequence[Visit]) -> list[str]:
    """Say which legs tilt steadily without having been turned.

    Hollows are left out: the seasons move them.

    Parameters
    ----------
    table : Table
        The table.
    visits : sequence of Visit
        Oldest first.

    Returns
    -------
    list of str
        One printed line per leg.
    """
    legs = (one for one in stations(table) if one.quantity is Quantity.CROSS)
    return [line for leg in legs for line in _trend(table, visits, leg)]


def _trend(table: Table, visits: Sequence[Visit], leg: Station) -> Iterator[str]:
    run = _untouched(table, visits, leg)
    if len(run) < NEEDED_VISITS:
        return
    days, values = [day for day, _, _ in run], [value for _, value, _ in run]
    line = fit_line(days, values, days[-1], least_scatter=max(own for _, _, own in run))
    if line is None or line.chance_of_no_slope() > CHANCE:
        return
    if abs(line.slope) * MONTH_DAYS >= SHARE * leg.target.tolerance:
        yield _words(table, leg, line, len(run))


def _words(table: Table, leg: Station, line: Line, count: int) -> str:
    each = value_words(
        table,
        Quantity.CROSS,
        abs(line.slope) * MONTH_DAYS,
        COVERAGE_FACTOR * line.u_slope * MONTH_DAYS,
    )
    side = "right" if line.slope > 0 else "left"
    return (
        f"{leg.name}: not turned for {count} visits, and its {side} side sinks by {each} a month. "
        "Look at that foot, its jam nut and the floor before turning."
    )


def _untouched(
    table: Table, visits: Sequence[Visit], leg: Station
) -> list[tuple[float, float, float]]:
    """List day, value as found and its own uncertainty, back to where the leg was last turned."""
    run: list[tuple[float, float, float]] = []
    for visit in reversed(visits):
        turned = any(row.turned for row in rows(visit, Quantity.CROSS, leg.name))
        if turned and run:
            break  # what was found at that visit is before the turn
        found = counts_at(visit, Quantity.CROSS, leg.name, Moment.FOUND)
        counts = () if isinstance(found, Gap) else found
        if counts and not any(count.bound for count in counts) and visit.date is not None:
            shared, reading = common_errors(visit), cross_reading(visit.kit, counts)
            value = (reading.value or 0.0) + shared.correct(reading)
            own = math.hypot(reading.own_u, shared.column(reading)[0])
            run.append((float(visit.date.toordinal()), value, own))
        if visit.changed & {"moved", "floor", "part"}:
            break
    return run[::-1]
