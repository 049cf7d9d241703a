"""Why the advice is what it is, as a person would check it by hand: ``advise --why``."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from passport.leveling.advice import Advice, Quantity
from passport.leveling.lines import (
    COVERAGE_FACTOR,
    count_words,
    hollow_count_words,
    response_words,
    rise_count_words,
    station_words,
    value_words,
)
from passport.leveling.posterior.course import Shown
from passport.leveling.posterior.filter import Known, known_at
from passport.leveling.posterior.places import Places
from passport.leveling.response import Learned, Response, learned
from passport.leveling.walks import in_order
from passport.rounding import places_by
from passport.table import Steps, Table
from passport.visit import Count, Visit

PER_CENT = 100


def why_lines(table: Table, visits: Sequence[Visit], advice: Advice) -> list[str]:
    """Explain an advice: what readings share, readings, estimates, responses, plan.

    Parameters
    ----------
    table : Table
        Geometry, targets, kit.
    visits : sequence of Visit
        In any order, the ones that the advice was made from.
    advice : Advice
        What was said.

    Returns
    -------
    list of str
        One line each. Every ± is a 95 % interval (k = 2).
    """
    history = in_order(visits)
    if not history:
        return ["No visit yet: nothing to explain.", *_by_build(table)]
    known = known_at(table, history)
    return [
        "Every ± is a 95 % interval. Values are those of all visits together.",
        "Shared by all readings of the last visit:",
        *_shared(table, known),
        "Readings of the last visit, in their order, and what they leave of what was believed:",
        *_readings(replace(table, kit=history[-1].kit), known),
        "Stations as left:",
        *(f"  {state.station} {state.quantity.value}: {state.why}" for state in advice.state),
        *_responses(table, learned(table, history, known)),
        "Plan:",
        *(f"  {move.station} {move.part} {move.steps:+d}: {move.why}" for move in advice.moves),
        f"  next visit: {advice.next_visit_why}",
    ]


def _by_build(table: Table) -> list[str]:
    """Say what a fresh table's nuts are taken to do, where others of its build taught it."""
    if table.build_nuts is None:
        return []
    return ["A quarter turn moves:", *_responses(table, learned(table, ()))]


def _shared(table: Table, known: Known) -> Iterator[str]:
    places = known.places
    card, zero, bow = (
        (_at(known, place), _u(known, place)) for place in (places.card, places.zero, places.bow)
    )
    share, u = PER_CENT * card[0], PER_CENT * COVERAGE_FACTOR * card[1]
    to = places_by(u, 1)
    yield f"  cards: {share:+.{to}f} ± {u:.{to}f} % of the thickness as described"
    zero_words = value_words(table, Quantity.CROSS, zero[0], COVERAGE_FACTOR * zero[1])
    bow_words = value_words(table, Quantity.HOLLOW, bow[0], COVERAGE_FACTOR * bow[1])
    yield f"  level's zero: {zero_words}"
    yield f"  straightedge's bow: {bow_words}"


def _readings(table: Table, known: Known) -> Iterator[str]:
    """Say each reading; a second one of a place is marked as such."""
    seen: set[int] = set()
    for one in known.course.shown:
        yield _reading(table, known, one, _again(known.places, one, one.place in seen))
        seen.add(one.place)


def _again(places: Places, one: Shown, seen: bool) -> str:
    """Say of a place's further reading what it is; a level turned round shows minus its zero."""
    cross = one.place < places.rise(0)
    if cross and one.row[places.zero] < 0:
        return ", turned round"
    return ", read again" if seen else ""


def _reading(table: Table, known: Known, one: Shown, again: str) -> str:
    """Say one count's interval, and how far it narrows what was believed of its station."""
    quantity, name = _station(known.places, one.place)
    by_level = quantity is Quantity.RISE and one.per_mm > 0
    unit = Quantity.CROSS if quantity is Quantity.CROSS or by_level else quantity
    ends = ["open" if end is None else value_words(table, unit, end) for end in (one.low, one.high)]
    after = one.row @ known.whole.covariance @ one.row
    before = one.row @ known.start.covariance @ one.row
    share = PER_CENT * math.sqrt(float(after / before)) if before > 0 else PER_CENT
    shown = "slope of the level" if by_level else "level shows"
    if quantity is Quantity.RISE and not by_level:
        name, shown = _rise_words(known.places, one)
    marked = "" if one.count is None else f"{_counted(table, quantity, one.count)}, "
    return (
        f"  {name}{again}: {marked}{shown} {ends[0]} to {ends[1]}; leaves {share:.0f} % of the "
        "uncertainty"
    )


def _counted(table: Table, quantity: Quantity, count: Count) -> str:
    if quantity is Quantity.RISE:
        return rise_count_words(table, table.kit, count)
    if quantity is Quantity.HOLLOW:
        return hollow_count_words(table, table.kit, count)
    return count_words(quantity, count, table.kit.cross_by)


def _rise_words(places: Places, one: Shown) -> tuple[str, str]:
    """Name what was read of both ends at once, or of one by steps."""
    a, b = (float(one.row[places.rise(end)]) for end in (0, 1))
    if a and b:
        return ("rise of the ends", "mean") if b > 0 else ("rise of end A less end B", "is")
    return f"rise of end {'A' if a else 'B'}", "sum of the steps"


def _responses(table: Table, known: Learned) -> Iterator[str]:
    """Say what one step moves; nuts that go by other steps than feet have a head of their own."""
    quarters, by = Steps.QUARTERS, table.nuts_by
    yield f"A {quarters.one} moves:"
    yield from (_response(table, *one, quarters) for one in known.feet.items())
    if by is not quarters:
        yield f"A {by.one} of a nut moves:"
    yield from (_response(table, *one, by) for one in known.nuts.items())


def _response(table: Table, name: str, response: Response | None, by: Steps) -> str:
    if response is None:
        return f"  {name}: not known, its thread is not described"
    one = (response.mean_mm * by.quarters, response.u_mm * by.quarters)
    return f"  {name}: {response_words(table, Quantity.HOLLOW, *one)} ({response.source()})"


def _station(places: Places, place: int) -> tuple[Quantity, str]:
    if place < 0:
        return Quantity.CROSS, "level check"
    if place >= places.hollow(0):
        name = places.brackets[place - places.hollow(0)]
        return Quantity.HOLLOW, station_words(Quantity.HOLLOW, name)
    if place >= places.rise(0):
        return Quantity.RISE, f"rise of end {places.rises[place - places.rise(0)]}"
    return Quantity.CROSS, station_words(Quantity.CROSS, places.legs[place])


def _at(known: Known, place: int) -> float:
    return float(known.whole.mean[place])


def _u(known: Known, place: int) -> float:
    return math.sqrt(float(known.whole.covariance[place, place]))
