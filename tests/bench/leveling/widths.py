"""Stated intervals beside the exact posterior's, on problems small enough for it."""

import copy
from dataclasses import dataclass, field, replace

import numpy as np
from leveling.bridge import papers, turns_of
from leveling.coverage import KINDS, Held
from leveling.exact import Cloud, interval
from leveling.hall import CROSS_BOXES, Bools, Hall, World
from leveling.inside import Belief, Interval, belief
from leveling.tables import three_legs, two_legs
from leveling.walk import Log, Paper, Turns, Words, paper_visit, turn_all

from passport.table import Table

Pair = tuple[Held, Held]  # as stated, exact
Place = tuple[str, int]  # kind and place among its kind


@dataclass(frozen=True)
class Part:
    """What alone is read of which tables: "legs", "ends" or "nuts", and with how many particles."""

    name: str
    table: Table
    particles: int
    world: World = field(default_factory=World)

    @property
    def title(self) -> str:
        """Say what is read, and of which boards."""
        return f"{self.name} of boards that bend" if self.world.shape == BENT else self.name


BENT = (0.0, 0.25)  # of the way from a straight V to a bare board that bends
PARTS = (
    Part("legs", two_legs(), 20_000),
    Part("ends", three_legs(), 20_000),
    Part("ends", three_legs(), 20_000, World(shape=BENT)),
    Part("nuts", replace(two_legs(), brackets=two_legs().brackets[:1]), 20_000),
)


def side_by_side(part: Part, tables: int, visits: tuple[int, ...], seed: int) -> dict[int, Pair]:
    """Make visits that read one part only; compare after some of them.

    Tables whose feet were ever turned to the centre are left out: what was read from that is not
    in the exact posterior. Which these are is known from the marks, so nothing is biased by it.

    Returns
    -------
    dict
        Number of visits to what the calculator stated and what is exact.
    """
    hall = Hall(part.table, part.world, tables, np.random.default_rng(seed))
    log, pairs = Log(), {number: (Held(), Held()) for number in visits}
    for number in range(1, max(visits) + 1):
        paper = _only(papers(hall, log), part.name)
        hall.begin_visit()
        log.visits.append(paper_visit(hall, paper, 2))
        if number in visits:
            for table in np.flatnonzero(_closed(log)):
                _compare(part, hall, log, int(table), pairs[number])
    return pairs


def ratios(pair: Pair) -> dict[str, float]:
    """Give stated over exact mean width per kind that was asked for."""
    stated, exact = pair
    return {
        kind: float(np.mean(stated.widths[kind]) / np.mean(exact.widths[kind]))
        for kind in KINDS
        if stated.hits[kind]
    }


def line(pair: Pair) -> str:
    """Say shares and the ratio of mean widths per kind."""
    stated, exact = pair
    return "; ".join(
        f"{kind} held {stated.share(kind)}, exact {exact.share(kind)}, width ratio {ratio:.2f}"
        for kind, ratio in ratios(pair).items()
    )


def _only(paper: Paper, name: str) -> Paper:
    """Keep one part of the paper, without "then again": its readings between are not recorded."""
    kept = {part: getattr(paper, part) if part == name else () for part in ("legs", "ends", "nuts")}
    return Paper(**{part: [_once(words) for words in each] for part, each in kept.items()})


def _once(words: Words) -> Words:
    return replace(words, again=np.zeros_like(words.again))


def _closed(log: Log) -> Bools:
    walks = [walk.legs.found for visit in log.visits for walk in visit]
    return np.all([~np.isin(found, CROSS_BOXES).any(axis=1) for found in walks], axis=0)


def _compare(part: Part, hall: Hall, log: Log, table: int, pair: Pair) -> None:
    stated, exact = pair
    cloud = Cloud(part.table, hall.world, part.particles, table)
    cloud.live(log, table)
    told = belief(hall, log, table)
    asked = _asked(part, hall)
    for place in asked:
        claimed = _told(told, place, len(hall.legs))
        if claimed is not None:
            truth = float(_values(hall, place)[table])
            stated.add(_kind(place), claimed, truth)
            exact.add(_kind(place), interval(_values(cloud.hall, place)), truth)
    _forecasts(hall, cloud, (table, told), pair)


def _asked(part: Part, hall: Hall) -> list[Place]:
    legs = range(len(hall.legs))
    return {
        "legs": [("slope", leg) for leg in legs] + [("foot", leg) for leg in legs],
        "ends": [("rise", 0)],
        "nuts": [("hollow", 0), ("nut", 0)],
    }[part.name]


def _kind(place: Place) -> str:
    return "response" if place[0] in {"foot", "nut"} else place[0]


def _told(told: Belief, place: Place, legs: int) -> Interval | None:
    name, index = place
    return told.intervals[_kind(place)][index + (legs if name == "nut" else 0)]


def _values(hall: Hall, place: Place) -> np.ndarray:
    """Give what is true of a place at every table of a hall, (N,)."""
    name, index = place
    if name == "rise":
        return hall.rise.mean(axis=1)
    return {"slope": hall.cross, "hollow": hall.hollow, "foot": hall.foot, "nut": hall.nut}[name][
        :, index
    ]


def _forecasts(hall: Hall, cloud: Cloud, asked: tuple[int, Belief], pair: Pair) -> None:
    """Turn the real table, or a copy of it, and the whole cloud, as advised."""
    (table, told), (stated, exact) = asked, pair
    if not told.forecasts:
        return
    later, row = copy.deepcopy(hall), turns_of(hall, [None] * table + [told.advice])
    turn_all(later, row)
    turn_all(cloud.hall, _for_all(row, table, cloud.hall.count))
    for kind, index, claimed in told.forecasts:
        truth = float(_values(later, (kind, index))[table])
        stated.add("forecast", claimed, truth)
        exact.add("forecast", interval(_values(cloud.hall, (kind, index))), truth)


def _for_all(turns: Turns, table: int, count: int) -> Turns:
    def rows(one: np.ndarray) -> np.ndarray:
        return np.repeat(one[table : table + 1], count, axis=0)

    return Turns(rows(turns.feet), rows(turns.ends), rows(turns.nuts))
