"""Whole quarter turns that bring a table into tolerance, best by four aims in turn.

1. the largest excess over all stations: the part of the predicted departure beyond tolerance minus
   guard band, divided by the tolerance, so that slopes, hollows and heights compare;
2. the number of feet and nuts touched;
3. the sum of quarter turns;
4. raising over lowering.

Each later aim keeps what the earlier ones reached. Brackets stand alone; the legs are joined by the
rise of the ends. Every combination is looked at, so the plan is the best there is.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from passport.leveling.lookup import (
    MOST_FOOT_QUARTERS,
    MOST_NUT_QUARTERS,
    SHARED_ABOVE_QUARTERS,
    raisable_quarters,
)
from passport.leveling.response import Response
from passport.table import Leg

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

GUARD = 1.645  # standard uncertainties: P = 0.95 on the near side, JCGM 106
TIE = 1e-9  # of a tolerance
APART_QUARTERS = 3  # the ends go up by like steps: common practice, no source
_TOUCH, _STEP = 10_000, 100  # a foot touched outweighs all steps, a step all lowering
_NEVER = 1 << 40


@dataclass(frozen=True)
class Goal:
    """Where a station stands and where it should be; mm or mm/m.

    ``settled``: known to be in tolerance, so that no turn is an excess of nought.
    """

    value: float
    u: float
    target: float
    tolerance: float
    settled: bool = False

    def excess(self, moved: Floats, moved_u: Floats) -> Floats:
        """Give the excess after a movement of uncertain size; arrays of one shape."""
        room = np.maximum(0.0, self.tolerance - GUARD * np.hypot(self.u, moved_u))
        beyond = np.maximum(0.0, np.abs(self.value + moved - self.target) - room)
        rest = np.where(np.asarray(self.settled) & (moved_u == 0.0), 0.0, beyond)
        return np.asarray(rest / self.tolerance, dtype=np.float64)


@dataclass(frozen=True)
class LegGoal:
    """A leg whose feet may be turned; ``goal`` is its cross level.

    A leg without a goal or a response gets no turns.
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
        return np.asarray(pairs[_shared(pairs)], dtype=np.int64)

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
class NutGoal:
    """A bracket whose nut may be turned; ``goal`` is its hollow."""

    name: str
    goal: Goal
    response: Response

    @cached_property
    def options(self) -> Ints:
        """List the quarter turns, the most tightening last."""
        return np.arange(-MOST_NUT_QUARTERS, MOST_NUT_QUARTERS + 1)

    def excess(self) -> Floats:
        """Give each option's excess of the hollow."""
        moved = np.asarray(self.options * self.response.mm, dtype=np.float64)
        return self.goal.excess(moved, np.abs(moved) * self.response.log_u)


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
    """Quarter turns per leg (left, right) and per bracket, and the largest excess they leave."""

    feet: dict[str, tuple[int, int]]
    nuts: dict[str, int]
    excess: float


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
    least = [_least_joined(problem, joined)]
    least += [float(leg.excess().min()) for leg in alone]
    least += [float(nut.excess().min()) for nut in problem.nuts]
    limit = max(least) + TIE
    feet = _joined_turns(problem, joined, limit)
    feet |= {leg.leg.name: _cheapest_pair(leg, limit) for leg in alone}
    nuts = {nut.name: _cheapest_nut(nut, limit) for nut in problem.nuts}
    return Plan(feet, nuts, max(0.0, limit - TIE))


def _shared(pairs: Ints) -> NDArray[np.bool_]:
    """Above four quarters both feet share the work, or the whole leg is moved besides."""
    left, right = pairs[:, 0], pairs[:, 1]
    apart = np.abs(right - left)
    larger = np.maximum(np.abs(left), np.abs(right))
    shared = (apart <= SHARED_ABOVE_QUARTERS) | (left * right > 0) | (larger <= (apart + 1) // 2)
    return np.asarray(shared, dtype=np.bool_)


def _cost(turns: Ints) -> Ints:
    """Weigh aims 2 to 4 for turns of shape (N, parts)."""
    touched = (turns != 0).sum(axis=1)
    lowered = np.maximum(0, -turns).sum(axis=1)
    cost = touched * _TOUCH + np.abs(turns).sum(axis=1) * _STEP + lowered
    return np.asarray(cost, dtype=np.int64)


def _cheapest_pair(leg: LegGoal, limit: float) -> tuple[int, int]:
    cost = np.where(leg.excess() <= limit, _cost(leg.options), _NEVER)
    left, right = leg.options[int(cost.argmin())]
    return int(left), int(right)


def _cheapest_nut(nut: NutGoal, limit: float) -> int:
    cost = np.where(nut.excess() <= limit, _cost(nut.options[:, None]), _NEVER)
    return int(nut.options[int(cost.argmin())])


def _split(problem: Problem) -> tuple[list[LegGoal], list[LegGoal]]:
    """Legs that the rise joins (end A, end B, centre), and legs that stand alone."""
    if problem.rise is None or problem.ends is None or problem.centre is None:
        return [], list(problem.legs)
    named = {leg.leg.name: leg for leg in problem.legs}
    wanted = (*problem.ends, problem.centre)
    alone = [leg for leg in problem.legs if leg.leg.name not in wanted]
    return [named[name] for name in wanted], alone


@dataclass(frozen=True)
class _Sums:
    """Per sum of both feet's turns: least excess, and the cheapest option within a limit."""

    totals: Ints
    excess: Floats
    cost: Ints
    option: Ints


def _sums(leg: LegGoal, limit: float) -> _Sums:
    """Group a leg's options by the sum of both feet, which is all that the rise sees."""
    excess, all_totals = leg.excess(), leg.options.sum(axis=1)
    cost = np.where(excess <= limit, _cost(leg.options), _NEVER)
    totals = np.unique(all_totals)
    members = [np.flatnonzero(all_totals == total) for total in totals]
    option = np.array([rows[int(cost[rows].argmin())] for rows in members], dtype=np.int64)
    least = np.array([excess[rows].min() for rows in members], dtype=np.float64)
    return _Sums(np.asarray(totals, np.int64), least, np.asarray(cost[option], np.int64), option)


def _rise_excess(problem: Problem, joined: Sequence[LegGoal], sums: Sequence[_Sums]) -> Floats:
    """Excess of the rise for every combination of sums, shape (A, B, centre)."""
    share = (0.5, 0.5, -1.0)
    lifts = [
        weight * leg.lift(one.totals) for weight, leg, one in zip(share, joined, sums, strict=True)
    ]
    first, second, centre = np.meshgrid(*lifts, indexing="ij")
    parts = zip((first, second, centre), joined, strict=True)
    variance = sum((lift * leg.lift_u) ** 2 for lift, leg in parts)
    assert problem.rise is not None
    excess = problem.rise.excess(first + second + centre, np.sqrt(variance))
    apart = np.abs(sums[0].totals[:, None, None] - sums[1].totals[None, :, None])
    return np.asarray(np.where(apart <= APART_QUARTERS, excess, math.inf), dtype=np.float64)


def _least_joined(problem: Problem, joined: Sequence[LegGoal]) -> float:
    if not joined:
        return 0.0
    sums = [_sums(leg, math.inf) for leg in joined]
    first, second, centre = np.meshgrid(*(one.excess for one in sums), indexing="ij")
    cross = np.maximum(np.maximum(first, second), centre)
    return float(np.maximum(cross, _rise_excess(problem, joined, sums)).min())


def _joined_turns(
    problem: Problem, joined: Sequence[LegGoal], limit: float
) -> dict[str, tuple[int, int]]:
    if not joined:
        return {}
    sums = [_sums(leg, limit) for leg in joined]
    first, second, centre = np.meshgrid(*(one.cost for one in sums), indexing="ij")
    within = _rise_excess(problem, joined, sums) <= limit
    cost = np.where(within, first + second + centre, 4 * _NEVER)
    best = np.unravel_index(int(cost.argmin()), cost.shape)
    turns = {}
    for leg, one, index in zip(joined, sums, best, strict=True):
        left, right = leg.options[int(one.option[index])]
        turns[leg.leg.name] = (int(left), int(right))
    return turns
