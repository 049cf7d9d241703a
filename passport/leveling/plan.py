"""Whole steps of feet and nuts that bring a table into tolerance, best by four aims in turn.

1. the largest excess over all stations: the part of the predicted departure beyond tolerance minus
   guard band, divided by the tolerance, so that slopes, hollows and heights compare;
2. the number of feet and nuts touched;
3. the sum of steps;
4. raising over lowering.

Each later aim keeps what the earlier ones reached. Brackets are joined by what a nut does beside
its own place, legs by the rise of the ends, all by the largest excess. Every combination within the
bounds counts, so the plan is proved best; of a table with very many brackets only smaller turns are
looked at, and the plan says that it is not proved.

The largest excess alone counts first, so where one nut can't reach, others wait that are less off.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from passport.leveling.goal import NEVER, TIE, Floats, Goal, Ints, turn_cost
from passport.leveling.lookup import (
    MOST_FOOT_QUARTERS,
    SHARED_ABOVE_QUARTERS,
    raisable_quarters,
)
from passport.leveling.nuts import Chain, NutGoal
from passport.leveling.outlook import Outlook, Part
from passport.table import Leg, Role, Steps

APART_QUARTERS = 3  # the ends go up by like steps: common practice, no source
_SHARES = (0.5, 0.5, -1.0)  # of the lifts at end A, end B and centre in the mean end rise


@dataclass(frozen=True)
class LegGoal:
    """A leg whose feet may be turned; ``goal`` is its cross level, ``number`` its order.

    A leg without a goal or a thread gets no turns. The rise is made at the ends: a centre leg's
    feet are never turned alike.
    """

    leg: Leg
    number: int
    goal: Goal | None

    def options(self) -> Ints:
        """List the quarter turns of left and right foot, shape (N, 2)."""
        if self.goal is None or self.leg.thread is None:
            return np.zeros((1, 2), dtype=np.int64)
        up = raisable_quarters(self.leg, MOST_FOOT_QUARTERS)
        steps = np.arange(-MOST_FOOT_QUARTERS, up + 1)
        pairs = np.stack(np.meshgrid(steps, steps, indexing="ij"), axis=-1).reshape(-1, 2)
        allowed = _allowed(pairs)
        if self.leg.role is not Role.END:
            allowed &= pairs[:, 0] * pairs[:, 1] <= 0
        return np.asarray(pairs[allowed], dtype=np.int64)

    def looked_at(self, outlook: Outlook) -> "Options":
        """Give all options with the excess of the cross level that each leaves, and its cost."""
        turns = self.options()
        cost = turn_cost(turns)
        if self.goal is None:
            return Options(turns, np.zeros(len(turns)), cost)
        apart = turns[:, 0] - turns[:, 1]
        value, u = outlook.predict(slope_parts(outlook, self, apart))
        return Options(turns, self.goal.excess(value, u, apart == 0), cost)


@dataclass(frozen=True)
class Options:
    """Turns of a leg's left and right foot (N, 2), what excess they leave, what they cost (N,)."""

    turns: Ints
    excess: Floats
    cost: Ints

    def within(self, limit: float) -> "Options":
        """Keep those that leave no more excess than the limit."""
        return self._at(np.flatnonzero(self.excess <= limit + TIE))

    def cheapest(self) -> int:
        """Find the row that costs least."""
        return int(self.cost.argmin())

    def per_total(self, by: Callable[["Options"], NDArray[np.generic]]) -> "Options":
        """Keep the least for each sum of both feet's turns, which is all that the rise sees."""
        totals, what = self.turns.sum(axis=1), by(self)
        rows = [np.flatnonzero(totals == total) for total in np.unique(totals)]
        return self._at(np.array([group[what[group].argmin()] for group in rows]))

    def pair(self, row: int) -> tuple[int, int]:
        """Give the turns of left and right foot."""
        return int(self.turns[row, 0]), int(self.turns[row, 1])

    def _at(self, rows: Ints) -> "Options":
        return Options(self.turns[rows], self.excess[rows], self.cost[rows])


@dataclass(frozen=True)
class Problem:
    """A table to be planned for: what is believed, legs and brackets in order from end A.

    ``rise`` is the goal of the mean end rise, ``joined`` the legs that make it: both ends, centre.
    """

    outlook: Outlook
    legs: tuple[LegGoal, ...]
    nuts: tuple[NutGoal, ...]
    rise: Goal | None = None
    joined: tuple[str, str, str] | None = None
    nuts_by: Steps = Steps.QUARTERS


@dataclass(frozen=True)
class Plan:
    """Quarter turns per leg (left, right), steps per bracket; whether these are proved best."""

    feet: dict[str, tuple[int, int]]
    nuts: dict[str, int]
    proved: bool = True


def best_plan(problem: Problem) -> Plan:
    """Find the best plan by the four aims.

    Parameters
    ----------
    problem : Problem
        Stations with a value; the others are left out, and their feet and nuts stay.

    Returns
    -------
    Plan
        Proved best where every combination within the bounds was looked at.
    """
    joined, alone = _split(problem)
    frame = _Frame.of(problem, joined)
    chain = Chain.of(problem.outlook, problem.nuts, problem.nuts_by)
    single = [leg.looked_at(problem.outlook) for leg in alone]
    least = [float(options.excess.min()) for options in single]
    limit = max(frame.least(), chain.least(), *least, 0.0)
    feet = frame.cheapest(limit)
    for leg, options in zip(alone, single, strict=True):
        fit = options.within(limit)
        feet[leg.leg.name] = fit.pair(fit.cheapest())
    return Plan(feet, chain.cheapest(limit), chain.whole)


def slope_parts(outlook: Outlook, leg: LegGoal, apart: Ints) -> list[Part]:
    """List what makes a leg's cross slope, by how much more its left foot is turned than right."""
    places = outlook.places
    per_quarter = np.asarray(apart * 1000 / leg.leg.foot_spacing_mm, dtype=np.float64)
    return [(places.slope(leg.number), 1.0), (places.foot(leg.number), per_quarter)]


def rise_parts(outlook: Outlook, legs: Sequence[LegGoal], totals: Sequence[Ints]) -> list[Part]:
    """List what makes the mean end rise, by both feet's turns at end A, end B and centre."""
    places = outlook.places
    feet: list[Part] = [
        (places.foot(leg.number), np.asarray(share * total / 2, dtype=np.float64))
        for share, leg, total in zip(_SHARES, legs, totals, strict=True)
    ]
    return [(places.rise(0), 0.5), (places.rise(1), 0.5), *feet]


def shared_part(pair: tuple[int, int]) -> int:
    """Give the quarter turns that both feet make alike."""
    left, right = pair
    if left * right <= 0:
        return 0
    return min(left, right) if left > 0 else max(left, right)


def _allowed(pairs: Ints) -> NDArray[np.bool_]:
    """Beyond what both make alike, a foot turns four quarters at most, and more is shared."""
    left, right = pairs[:, 0], pairs[:, 1]
    apart = np.abs(right - left)
    larger = np.maximum(np.abs(left), np.abs(right))
    both = (left * right < 0) & (larger <= np.minimum((apart + 1) // 2, SHARED_ABOVE_QUARTERS))
    return np.asarray((apart <= SHARED_ABOVE_QUARTERS) | both, dtype=np.bool_)


def _split(problem: Problem) -> tuple[list[LegGoal], list[LegGoal]]:
    """Part legs that the rise joins (end A, end B, centre) from legs that stand alone."""
    if problem.rise is None or problem.joined is None:
        return [], list(problem.legs)
    named = {leg.leg.name: leg for leg in problem.legs}
    alone = [leg for leg in problem.legs if leg.leg.name not in problem.joined]
    return [named[name] for name in problem.joined], alone


@dataclass(frozen=True)
class _Frame:
    """Legs that the rise joins: both ends and the centre, with all turns of each; or none."""

    problem: Problem
    legs: tuple[LegGoal, ...]
    options: tuple[Options, ...]

    @classmethod
    def of(cls, problem: Problem, legs: Sequence[LegGoal]) -> "_Frame":
        """Look at all turns of the legs."""
        return cls(problem, tuple(legs), tuple(leg.looked_at(problem.outlook) for leg in legs))

    def least(self) -> float:
        """Find the least largest excess of cross levels and rise."""
        if not self.legs:
            return 0.0
        sums = [one.per_total(lambda options: options.excess) for one in self.options]
        cross = np.meshgrid(*(one.excess for one in sums), indexing="ij")
        return float(np.maximum.reduce([*cross, self._rise(sums)]).min())

    def cheapest(self, limit: float) -> dict[str, tuple[int, int]]:
        """Find the cheapest turns that keep every excess within the limit."""
        if not self.legs:
            return {}
        sums = [one.within(limit).per_total(lambda options: options.cost) for one in self.options]
        cost = np.add.reduce(np.meshgrid(*(one.cost for one in sums), indexing="ij"))
        cost = np.where(self._rise(sums) <= limit + TIE, cost, NEVER)
        rows = np.unravel_index(cost.argmin(), cost.shape)
        parts = zip(self.legs, sums, rows, strict=True)
        return {leg.leg.name: one.pair(int(row)) for leg, one, row in parts}

    def _rise(self, sums: Sequence[Options]) -> Floats:
        """Give the excess of the rise for every combination of sums, shape (A, B, centre)."""
        rise, outlook = self.problem.rise, self.problem.outlook
        assert rise is not None
        grid = np.meshgrid(*(one.turns.sum(axis=1) for one in sums), indexing="ij")
        value, u = outlook.predict(rise_parts(outlook, self.legs, grid))
        excess = rise.excess(value, u, np.abs(grid).sum(axis=0) == 0)
        apart = np.abs(grid[0] - grid[1]) <= APART_QUARTERS
        return np.asarray(np.where(apart, excess, math.inf), dtype=np.float64)
