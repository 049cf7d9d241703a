"""What the calculator believes of one table: its intervals, looked at from inside."""

from collections.abc import Iterator
from dataclasses import dataclass

from leveling.bridge import advice_on, visits_of
from leveling.hall import Hall
from leveling.walk import Log

from passport.leveling.advice import Advice, Move, Quantity
from passport.leveling.outlook import outlook
from passport.leveling.posterior.filter import known_at
from passport.leveling.response import learned

Interval = tuple[float, float]
NORMAL = 1.959964
QUANTITIES = {"slope": Quantity.CROSS, "hollow": Quantity.HOLLOW, "rise": Quantity.RISE}


@dataclass(frozen=True)
class Belief:
    """What is believed of one table: 95 % intervals per kind, forecasts with kind and place."""

    advice: Advice
    intervals: dict[str, list[Interval | None]]
    forecasts: list[tuple[str, int, Interval]]


def belief(hall: Hall, log: Log, table: int) -> Belief:
    """Ask the calculator for all that it believes of one table.

    A response is learned only where its nut or foot was turned; the others keep their prior.
    """
    visits, advice = visits_of(hall, log, table), advice_on(hall, log, table)
    intervals = {
        kind: [_interval(s.low, s.high) for s in advice.state if s.quantity is quantity]
        for kind, quantity in QUANTITIES.items()
    }
    responses = learned(hall.table, visits, known_at(hall.table, visits))
    both = [*responses.feet.values(), *responses.nuts.values()]
    intervals["response"] = [_about(one.mm, one.u_mm) for one in both]
    return Belief(advice, intervals, forecasts_of(hall, advice))


def mean_interval(hall: Hall, log: Log, table: int, kind: str) -> Interval | None:
    """Ask for the 95 % interval of the mean of all hollows or slopes; None with an open count."""
    values = [s.value for s in advice_on(hall, log, table).state if s.quantity is QUANTITIES[kind]]
    if None in values:
        return None
    view = outlook(known_at(hall.table, visits_of(hall, log, table)))
    place = {"slope": view.places.slope, "hollow": view.places.hollow}[kind]
    mean, u = view.predict([(place(n), 1 / len(values)) for n in range(len(values))])
    return _about(float(mean), float(u))


def _interval(low: float | None, high: float | None) -> Interval | None:
    return None if low is None or high is None else (low, high)


def forecasts_of(hall: Hall, advice: Advice) -> list[tuple[str, int, Interval]]:
    """Give what is to be expected at each station once all its turns are made.

    Kind, place, interval; of a nut that is turned in parts, after the last of them.
    """
    last = {(kind, place): interval for kind, place, interval in _forecasts(hall, advice)}
    return [(*where, interval) for where, interval in sorted(last.items())]


def _forecasts(hall: Hall, advice: Advice) -> Iterator[tuple[str, int, Interval]]:
    kinds = {quantity: kind for kind, quantity in QUANTITIES.items()}
    places = {one.name: n for n, one in enumerate(hall.legs)}
    places |= {one.name: n for n, one in enumerate(hall.table.brackets)}
    for move in advice.moves:
        yield kinds[move.quantity], places.get(move.station, 0), _expected(move)


def _expected(move: Move) -> Interval:
    return _about(move.expected, move.expected_u)


def _about(value: float, u: float) -> Interval:
    return value - NORMAL * u, value + NORMAL * u
