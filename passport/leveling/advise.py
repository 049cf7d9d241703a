"""The advice on a table after its visits: state, verdict, moves, warnings, next visit."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from passport.climate.air import AirReading
from passport.leveling.advice import Advice, Quantity, StationState
from passport.leveling.due import next_visit, terms_of
from passport.leveling.judge import judge, table_verdict
from passport.leveling.lines import station_words
from passport.leveling.moves import Ahead, ahead, moves, planned, unproved
from passport.leveling.outlook import outlook
from passport.leveling.plan import Plan
from passport.leveling.posterior.filter import Known, known_at
from passport.leveling.response import learned
from passport.leveling.surface import ENDS, Estimate, Station, estimates, estimates_of
from passport.leveling.unusable import must_be_usable
from passport.leveling.walks import Moment, doubts_of, in_order, rows
from passport.leveling.warn import warnings
from passport.table import Table
from passport.visit import Doubt, Visit


def advise(
    table: Table, visits: Sequence[Visit], *, today: date, air: Sequence[AirReading] = ()
) -> Advice:
    """Say all that is known of a table.

    Parameters
    ----------
    table : Table
        Geometry, targets and kit.
    visits : sequence of Visit
        In any order; those without a sure date count as the newest.
    today : date
        The day the advice is given.
    air : sequence of AirReading
        Air of the room besides that of the visits, as the owner's cards have it.

    Returns
    -------
    Advice
        State as left at the last visit, what to turn at the next one, and when.

    Raises
    ------
    TableUnusable
        When a number of the table's is none, or nothing can be reckoned from it.
    """
    return dated(table, visits, undated(table, visits), today=today, air=air)


def undated(table: Table, visits: Sequence[Visit]) -> Advice:
    """Say all that is known of a table whatever the day: without the next visit; see ``advise``."""
    must_be_usable(table, visits)
    history = in_order(visits)
    last = history[-1] if history else None
    if last is None:
        return _nothing_known(table)
    known = known_at(table, history)
    found = estimates_of(table, last, known, Moment.LEFT)
    states = tuple(judge(table, estimate) for estimate in found)
    view = _view(table, history, known, found)
    plan = planned(view)
    return Advice(
        table=table.number,
        as_of=last.date,
        state=states,
        verdict=table_verdict(states),
        moves=moves(view, plan),
        look_again=_turned(last, found),
        withheld=_withheld(table, last, found),
        warnings=(*warnings(table, history, known), *unproved(plan)),
        next_visit=None,
        next_visit_why="",
    )


def dated(
    table: Table,
    visits: Sequence[Visit],
    advice: Advice,
    *,
    today: date,
    air: Sequence[AirReading] = (),
) -> Advice:
    """Add the next visit to what is known of a table; see ``advise``."""
    history = in_order(visits)
    last = history[-1] if history else None
    terms = terms_of(table, history, today, air)
    due = next_visit(last, len(history), advice.verdict, today, terms)
    return replace(advice, next_visit=due.on, next_visit_why=due.why)


def plan_after(table: Table, visits: Sequence[Visit]) -> Plan:
    """Plan the next pass alone, without the words: what the advice's moves are made from.

    Parameters
    ----------
    table : Table
        Geometry, targets and kit.
    visits : sequence of Visit
        Oldest first; at least one.

    Returns
    -------
    Plan
        Turns of feet and nuts.
    """
    known = known_at(table, visits)
    return planned(_view(table, visits, known, estimates_of(table, visits[-1], known, Moment.LEFT)))


def _view(table: Table, history: Sequence[Visit], known: Known, found: Sequence[Estimate]) -> Ahead:
    doubted = _doubted(history[-1], found)
    return ahead(table, found, doubted, outlook(known), learned(table, history, known))


def _nothing_known(table: Table) -> Advice:
    """Say of a table without visits that nothing was measured."""
    states = tuple(judge(table, estimate) for estimate in estimates(table, None, Moment.LEFT))
    return Advice(table.number, None, states, table_verdict(states), (), (), (), (), None, "")


def state_at(table: Table, visit: Visit, moment: Moment) -> tuple[StationState, ...]:
    """Judge every station as found or as left at one visit."""
    return tuple(judge(table, estimate) for estimate in estimates(table, visit, moment))


def _names(visit: Visit, estimate: Estimate) -> list[Doubt]:
    return list(doubts_of(visit, estimate.station.quantity, estimate.station.name))


def _doubted(last: Visit | None, found: Sequence[Estimate]) -> frozenset[str]:
    """Find the stations that a doubt of the last visit names."""
    if last is None:
        return frozenset()
    return frozenset(e.station.name for e in found if _names(last, e))


def _turned(last: Visit | None, found: Sequence[Estimate]) -> tuple[str, ...]:
    """Find the stations that were turned at the last visit: wood answers slowly."""
    if last is None:
        return ()
    return tuple(e.station.name for e in found if _was_turned(last, e.station))


def _was_turned(visit: Visit, station: Station) -> bool:
    names = ENDS if station.quantity is Quantity.RISE else (station.name,)
    return any(row.turned for name in names for row in rows(visit, station.quantity, name))


def _withheld(table: Table, last: Visit | None, found: Sequence[Estimate]) -> tuple[Doubt, ...]:
    """List the doubts of the last visit, and the stations without a closed value."""
    if last is None:
        return ()
    named = {e.station.name for e in found if _names(last, e)}
    gaps = [_gap(e) for e in found if e.spread is None and e.station.name not in named]
    threads = [
        Doubt(f"{leg.name}.thread", f"{leg.name} thread", "not described, so no turns are counted")
        for leg in table.adjusted_legs()
        if leg.thread is None
    ]
    return (*last.doubts, *gaps, *threads)


def _gap(estimate: Estimate) -> Doubt:
    station = estimate.station
    why = str(estimate.gap) if estimate.gap else "only a bound is known; the form's look-up applies"
    label = station_words(station.quantity, station.name)
    return Doubt(f"{station.name}.{station.quantity.name.lower()}", label, why)
