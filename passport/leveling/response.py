"""What a quarter turn does at each foot and nut of a table, by its whole history."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from passport.leveling.lookup import NUT_LOG_SIGMA, NUT_QUARTER_MM
from passport.leveling.posterior.filter import Known, known_at
from passport.leveling.posterior.prior import FOOT_LOG_SIGMA, NEW_FEET, NEW_NUTS
from passport.table import Leg, Table
from passport.visit import Visit


@dataclass(frozen=True)
class Response:
    """Movement per quarter turn, log-normal: median [mm], log-scale width, turns learned from."""

    mm: float
    log_u: float
    learned_from: int = 0

    @property
    def mean_mm(self) -> float:
        """Mean movement per quarter turn, in mm: of a log-normal, above its median."""
        return self.mm * math.exp(self.log_u**2 / 2)

    @property
    def u_mm(self) -> float:
        """Standard uncertainty of the movement per quarter turn, in mm."""
        return self.mean_mm * math.sqrt(math.expm1(self.log_u**2))

    def source(self) -> str:
        """Say what the response rests on."""
        if not self.learned_from:
            return "common practice"
        return f"learned from {self.learned_from} turn" + "s" * (self.learned_from != 1)


NUT_PRIOR = Response(NUT_QUARTER_MM, NUT_LOG_SIGMA)


def foot_prior(leg: Leg) -> Response | None:
    """Give a quarter of the pitch; None while the thread is unknown."""
    return None if leg.thread is None else Response(leg.thread.pitch_mm / 4, FOOT_LOG_SIGMA)


@dataclass(frozen=True)
class Learned:
    """Responses per leg (either foot; None without a thread) and per bracket (its inner nut)."""

    feet: Mapping[str, Response | None]
    nuts: Mapping[str, Response]


def learned(table: Table, visits: Sequence[Visit], known: Known | None = None) -> Learned:
    """Learn what turns do from all visits together.

    Parameters
    ----------
    table : Table
        Legs and brackets.
    visits : sequence of Visit
        Oldest first.
    known : Known, optional
        What is known after the last of them, where it was worked out already.

    Returns
    -------
    Learned
        One response each; without visits what common practice says.
    """
    if not visits:
        feet = {leg.name: foot_prior(leg) for leg in table.adjusted_legs()}
        return Learned(feet, {bracket.name: NUT_PRIOR for bracket in table.brackets})
    known = known or known_at(table, visits)
    places = known.places
    lifts = {
        leg.name: _response(known, places.foot(number), _foot_turns(visits, leg.name))
        for number, leg in enumerate(table.adjusted_legs())
        if leg.thread is not None
    }
    nuts = {
        name: _response(known, places.nut(number), _nut_turns(visits, name))
        for number, name in enumerate(places.brackets)
    }
    return Learned({leg.name: lifts.get(leg.name) for leg in table.adjusted_legs()}, nuts)


def taught(table: Table, visits: Sequence[Visit]) -> Table:
    """Give the table with what its visits taught, for the look-ups of its next form.

    Parameters
    ----------
    table : Table
        As described.
    visits : sequence of Visit
        In any order; without any, the table comes back as it is.

    Returns
    -------
    Table
        With ``learned`` set for every foot and nut that was turned.
    """
    known = learned(table, sorted(visits, key=lambda visit: (visit.date or date.max, visit.form)))
    parts = [*known.feet.items(), *known.nuts.items()]
    pairs = tuple((name, one.mean_mm) for name, one in parts if one and one.learned_from)
    return replace(table, learned=pairs)


def foot_responses(table: Table, visits: Sequence[Visit]) -> Mapping[str, Response | None]:
    """Learn the response of each adjusted leg's feet; see ``learned``."""
    return learned(table, visits).feet


def nut_responses(table: Table, visits: Sequence[Visit]) -> Mapping[str, Response]:
    """Learn the response of each bracket's inner nut; see ``learned``."""
    return learned(table, visits).nuts


def _response(known: Known, place: int, turns: int) -> Response:
    """Give the log-normal of the same mean and variance."""
    mean = float(known.whole.mean[place])
    relative = math.sqrt(float(known.whole.covariance[place, place])) / max(mean, 1e-6)
    log_u = math.sqrt(math.log1p(relative**2))
    return Response(max(mean, 1e-6) * math.exp(-(log_u**2) / 2), log_u, turns)


def _foot_turns(visits: Sequence[Visit], name: str) -> int:
    legs = (walk.legs.get(name) for visit in _since(NEW_FEET, visits) for walk in visit.passes)
    return sum(bool(leg and (leg.turns_left or leg.turns_right)) for leg in legs)


def _nut_turns(visits: Sequence[Visit], name: str) -> int:
    nuts = (walk.brackets.get(name) for visit in _since(NEW_NUTS, visits) for walk in visit.passes)
    return sum(bool(nut and nut.turns) for nut in nuts)


def _since(marks: frozenset[str], visits: Sequence[Visit]) -> Iterator[Visit]:
    """List visits from the last one with such a change on."""
    first = max((n for n, visit in enumerate(visits) if marks & visit.changed), default=0)
    yield from list(visits)[first:]
