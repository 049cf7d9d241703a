"""What a quarter turn does at each foot and nut of a table, by its whole history."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from passport.leveling.nut_prior import nut_prior
from passport.leveling.posterior.filter import Known, known_at
from passport.leveling.posterior.prior import FOOT_LOG_SIGMA, NEW_FEET, NEW_NUTS
from passport.leveling.walks import in_order
from passport.table import BuildNuts, Leg, Table
from passport.visit import Visit

PRACTICE = "common practice"


@dataclass(frozen=True)
class Response:
    """Movement per quarter turn, log-normal: median [mm], log-scale width, turns learned from.

    ``before`` says what was believed before any of them.
    """

    mm: float
    log_u: float
    learned_from: int = 0
    before: str = PRACTICE

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
            return self.before
        turns = f"learned from {self.learned_from} turn" + "s" * (self.learned_from != 1)
        return turns if self.before == PRACTICE else f"{turns}; before: {self.before}"


def build_words(taught: BuildNuts) -> str:
    """Say what it rests on: "learned as of event 41, from 3 tables of this build"."""
    tables = f"{taught.tables} table" + "s" * (taught.tables != 1)
    return f"learned as of event {taught.as_of}, from {tables} of this build"


def nut_response(table: Table) -> Response:
    """Give what is believed of a nut that nobody turned yet."""
    usual = nut_prior(table)
    before = build_words(table.build_nuts) if table.build_nuts else PRACTICE
    return Response(usual.median_mm, usual.log_sigma, before=before)


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
        return Learned(feet, {bracket.name: nut_response(table) for bracket in table.brackets})
    known = known or known_at(table, visits)
    places = known.places
    lifts = {
        leg.name: _response(known, places.foot(number), _foot_turns(visits, leg.name))
        for number, leg in enumerate(table.adjusted_legs())
        if leg.thread is not None
    }
    before = nut_response(table).before
    nuts = {
        name: replace(_response(known, places.nut(number), _nut_turns(visits, name)), before=before)
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
    known = learned(table, in_order(visits))
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
