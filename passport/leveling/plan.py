"""Whole quarter turns that bring a table into tolerance, best by four aims in turn.

1. the largest excess over all stations: the part of the predicted departure beyond tolerance minus
   guard band, divided by the tolerance, so that slopes, hollows and heights compare;
2. the number of feet and nuts touched;
3. the sum of quarter turns;
4. raising over lowering.

Each later aim keeps what the earlier ones reached. Where the largest excess can't be brought to
nought, the next largest is made as small as it can be, and so on: one nut that can't reach its
target must not leave the rest of the table unleveled. Brackets are joined by what a nut does beside
its own place, legs by the rise of the ends. Every combination counts, so the plan is the best.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from passport.leveling.goal import NEVER, TIE, Floats, Goal, Ints, turn_cost
from passport.leveling.lookup import (
    MOST_FOOT_QUARTERS,
    SHARED_ABOVE_QUARTERS,
    raisable_quarters,
)
from passport.leveling.nuts import NutGoal, best_nuts, nut_excess
from passport.leveling.response import Response
from passport.table import Leg, Role

APART_QUARTERS = 3  # the ends go up by like steps: common practice, no source
_SHARES = (0.5, 0.5, -1.0)  # of the lifts at end A, end B and centre in the mean end rise


@dataclass(frozen=True)
class LegGoal:
    """A leg whose feet may be turned; ``goal`` is its cross level.

    A leg without a goal or a response gets no turns. The rise is made at the ends: a centre leg's
    feet are never turned alike.
    """

    leg: Leg
    goal: Goal | None
    response: Response | None

    @cached_property
    def options(self) -> Ints:
        """List the quarter turns of left and right foot, shape (N, 2)."""
        if self.goal is None or self.response is None:
            return np.zeros((1, 2), dtype=np.int64)
        up = raisable_quarters(self.leg, MOST_FOOT_QUARTERS)
        steps = np.arange(-MOST_FOOT_QUARTERS, up + 1)
        pairs = np.stack(np.meshgrid(steps, steps, indexing="ij"), axis=-1).reshape(-1, 2)
        low, high = self.goal.needed(self.response.mm / self.leg.foot_spacing_mm * 1000)
        apart = pairs[:, 0] - pairs[:, 1]
        allowed = _allowed(pairs) & (low <= apart) & (apart <= high)
        if self.leg.role is not Role.END:
            allowed &= pairs[:, 0] * pairs[:, 1] <= 0
        return np.asarray(pairs[allowed], dtype=np.int64)

    def slope(self, pairs: Ints) -> Floats:
        """Give the change of cross level, in mm/m, by turns of left and right foot, (N, 2)."""
        if self.response is None:
            return np.zeros(len(pairs))
        per_quarter = self.response.mm / self.leg.foot_spacing_mm * 1000
        return np.asarray((pairs[:, 0] - pairs[:, 1]) * per_quarter, dtype=np.float64)

    def excess(self) -> Floats:
        """Give each option's excess of the cross level."""
        if self.goal is None or self.response is None:
            return np.zeros(len(self.options))
        moved = self.slope(self.options)
        return self.goal.excess(moved, np.abs(moved) * self.response.log_u)

    def lift(self, total: Ints) -> Floats:
        """Give the leg's mean lift, in mm, from the sum of both feet's quarter turns."""
        per_quarter = self.response.mm / 2 if self.response else 0.0
        return np.asarray(total * per_quarter, dtype=np.float64)

    @property
    def lift_u(self) -> float:
        """Relative standard uncertainty of the lift."""
        return self.response.log_u if self.response else 0.0


@dataclass(frozen=True)
class Problem:
    """A table to be planned for: legs in order from end A, brackets, the mean end rise."""

    legs: tuple[LegGoal, ...]
    nuts: tuple[NutGoal, ...]
    rise: Goal | None
    ends: tuple[str, str] | None = None  # names of the end legs
    centre: str | None = None


@dataclass(frozen=True)
class Plan:
    """Quarter turns per leg (left, right) and per bracket."""

    feet: dict[str, tuple[int, int]]
    nuts: dict[str, int]


def best_plan(problem: Problem) -> Plan:
    """Find the best plan by the four aims.

    Parameters
    ----------
    problem : Problem
        Stations with a value; the others are left out, and their feet and nuts stay.

    Returns
    -------
    Plan
        Proved best: every combination within the bounds was looked at.
    """
    joined, alone = _split(problem)
    feet = _joined_turns(problem, joined)
    feet |= {
        leg.leg.name: _pair(leg, _cheapest(leg.excess(), turn_cost(leg.options))) for leg in alone
    }
    return Plan(feet, best_nuts(problem.nuts))


def largest_excess(problem: Problem, plan: Plan) -> float:
    """Give the largest excess that a plan leaves at any station."""
    left = [0.0]
    for leg in problem.legs:
        pair = np.array([plan.feet[leg.leg.name]])
        left += leg.excess()[(leg.options == pair).all(axis=1)].tolist()
    left += [nut_excess(problem.nuts, plan.nuts, nut.name) for nut in problem.nuts]
    joined, _ = _split(problem)
    if joined:
        left.append(_rise_left(problem, joined, plan))
    return max(left)


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


def _cheapest(excess: Floats, cost: Ints) -> int:
    """Find the cheapest of the options with the least excess."""
    return int(np.where(excess <= excess.min() + TIE, cost, NEVER).argmin())


def _pair(leg: LegGoal, option: int) -> tuple[int, int]:
    left, right = leg.options[option]
    return int(left), int(right)


def _split(problem: Problem) -> tuple[list[LegGoal], list[LegGoal]]:
    """Part legs that the rise joins (end A, end B, centre) from legs that stand alone."""
    if problem.rise is None or problem.ends is None or problem.centre is None:
        return [], list(problem.legs)
    named = {leg.leg.name: leg for leg in problem.legs}
    wanted = (*problem.ends, problem.centre)
    alone = [leg for leg in problem.legs if leg.leg.name not in wanted]
    return [named[name] for name in wanted], alone


@dataclass(frozen=True)
class _Sums:
    """Per sum of both feet's turns, which is all that the rise sees: the best option."""

    totals: Ints
    excess: Floats
    cost: Ints
    option: Ints


def _sums(leg: LegGoal) -> _Sums:
    excess, cost, all_totals = leg.excess(), turn_cost(leg.options), leg.options.sum(axis=1)
    totals = np.unique(all_totals)
    members = [np.flatnonzero(all_totals == total) for total in totals]
    best = [rows[_cheapest(excess[rows], cost[rows])] for rows in members]
    option = np.array(best, dtype=np.int64)
    return _Sums(np.asarray(totals, np.int64), excess[option], cost[option], option)


def _joined_turns(problem: Problem, joined: Sequence[LegGoal]) -> dict[str, tuple[int, int]]:
    if not joined:
        return {}
    sums = [_sums(leg) for leg in joined]
    cross = np.meshgrid(*(one.excess for one in sums), indexing="ij")
    rise = _rise_excess(problem, joined, [one.totals for one in sums])
    cost = np.add.reduce(np.meshgrid(*(one.cost for one in sums), indexing="ij"))
    best = _least(np.stack([*cross, rise], axis=-1).reshape(-1, 4), cost.ravel())
    places = np.unravel_index(best, rise.shape)
    parts = zip(joined, sums, places, strict=True)
    return {leg.leg.name: _pair(leg, int(one.option[place])) for leg, one, place in parts}


def _least(excess: Floats, cost: Ints) -> int:
    """Find the row with the least largest excess, then next largest, and so on; then cost."""
    ordered = -np.sort(-excess, axis=1)
    rows = np.arange(len(excess))
    for column in ordered.T:
        rows = rows[column[rows] <= column[rows].min() + TIE]
    return int(rows[cost[rows].argmin()])


def _rise_excess(problem: Problem, joined: Sequence[LegGoal], totals: Sequence[Ints]) -> Floats:
    """Give the excess of the rise for every combination of sums, shape (A, B, centre)."""
    lifts = [
        share * leg.lift(total) for share, leg, total in zip(_SHARES, joined, totals, strict=True)
    ]
    parts = np.meshgrid(*lifts, indexing="ij")
    spread = [np.square(part * leg.lift_u) for part, leg in zip(parts, joined, strict=True)]
    rise = problem.rise
    assert rise is not None
    excess = rise.excess(np.add.reduce(parts), np.sqrt(np.add.reduce(spread)))
    apart = np.abs(totals[0][:, None, None] - totals[1][None, :, None])
    return np.asarray(np.where(apart <= APART_QUARTERS, excess, math.inf), dtype=np.float64)


def _rise_left(problem: Problem, joined: Sequence[LegGoal], plan: Plan) -> float:
    totals = [np.array([sum(plan.feet[leg.leg.name])], dtype=np.int64) for leg in joined]
    return float(_rise_excess(problem, joined, totals)[0, 0, 0])
