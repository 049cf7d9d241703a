"""Whole quarter turns of the brackets' nuts, each of which also moves the hollow next to it.

The brackets are a chain: a station's hollow depends on its own nut and on those of its neighbours,
so the best turns are found exactly by dynamic programming over pairs of neighbours.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from passport.leveling.goal import NEVER, TIE, Floats, Goal, Ints, turn_cost
from passport.leveling.lookup import MOST_NUT_QUARTERS, NEIGHBOUR_SHARE
from passport.leveling.response import Response

NEIGHBOUR_U = 0.06  # of the share itself: 10 to 30 %, rectangular; assumed, no source
TURNS: Ints = np.arange(-MOST_NUT_QUARTERS, MOST_NUT_QUARTERS + 1)
_STILL = len(TURNS) // 2
_COST = turn_cost(TURNS[:, None])


@dataclass(frozen=True)
class NutGoal:
    """A bracket whose nut may be turned; ``goal`` is its hollow, ``place`` its order from end A."""

    name: str
    place: int
    goal: Goal
    response: Response


@dataclass(frozen=True)
class Movement:
    """What turns do to a hollow, and how surely; in mm."""

    by: float
    u: float


def best_nuts(nuts: Sequence[NutGoal]) -> dict[str, int]:
    """Find the best turns: least largest excess, then next largest, and so on, then cost.

    Parameters
    ----------
    nuts : sequence of NutGoal
        In order from end A; brackets left out are not turned.

    Returns
    -------
    dict
        Bracket name to quarter turns, positive hollower.
    """
    if not nuts:
        return {}
    excess = [_excess(nuts, index) for index in range(len(nuts))]
    limits = _limits(excess)
    chosen = _cheapest(excess, limits)
    return {nut.name: int(TURNS[turn]) for nut, turn in zip(nuts, chosen, strict=True)}


def movement(nuts: Sequence[NutGoal], turns: dict[str, int], name: str) -> Movement:
    """Sum what all turns do to one hollow: its own nut and its neighbours'."""
    index = next(i for i, nut in enumerate(nuts) if nut.name == name)
    parts = [_own(nuts[index].response, np.array([turns[name]]))]
    parts += [_passed_on(nut.response, np.array([turns[nut.name]])) for nut in _beside(nuts, index)]
    by = sum(float(moved[0]) for moved, _ in parts)
    return Movement(by, math.sqrt(sum(float(variance[0]) for _, variance in parts)))


def nut_excess(nuts: Sequence[NutGoal], turns: dict[str, int], name: str) -> float:
    """Give the excess that turns leave at one bracket."""
    moved = movement(nuts, turns, name)
    goal = next(nut.goal for nut in nuts if nut.name == name)
    return float(goal.excess(np.array([moved.by]), np.array([moved.u]))[0])


def _beside(nuts: Sequence[NutGoal], index: int) -> list[NutGoal]:
    place = nuts[index].place
    return [nut for nut in nuts if abs(nut.place - place) == 1]


def _own(response: Response, turns: Ints) -> tuple[Floats, Floats]:
    """Give movement and variance at the nut's own bracket."""
    moved = np.asarray(turns * response.mean_mm, dtype=np.float64)
    return moved, np.square(turns * response.u_mm)


def _passed_on(response: Response, turns: Ints) -> tuple[Floats, Floats]:
    """Give movement and variance at the bracket beside."""
    moved = np.asarray(turns * response.mean_mm * NEIGHBOUR_SHARE, dtype=np.float64)
    relative = math.hypot(response.u_mm / response.mean_mm, NEIGHBOUR_U / NEIGHBOUR_SHARE)
    return moved, np.square(moved * relative)


def _excess(nuts: Sequence[NutGoal], index: int) -> Floats:
    """Give a station's excess for all turns of the nut before, its own and the one after."""
    shape: list[tuple[int, int, int]] = [(-1, 1, 1), (1, -1, 1), (1, 1, -1)]
    nut = nuts[index]
    by, variance = _own(nut.response, TURNS)
    moved, spread = by.reshape(shape[1]), variance.reshape(shape[1])
    for step, axis in ((-1, 0), (1, 2)):
        beside = _neighbour(nuts, index, step)
        if beside is not None:
            by, variance = _passed_on(beside.response, TURNS)
            moved, spread = moved + by.reshape(shape[axis]), spread + variance.reshape(shape[axis])
    low, high = nut.goal.needed(nut.response.mean_mm)
    barred = np.where((low <= TURNS) & (high >= TURNS), 0.0, math.inf).reshape(shape[1])
    full = np.zeros((len(TURNS),) * 3)
    return nut.goal.excess(moved + full, np.sqrt(spread + full)) + barred


def _neighbour(nuts: Sequence[NutGoal], index: int, step: int) -> NutGoal | None:
    other = index + step
    if not 0 <= other < len(nuts) or nuts[other].place != nuts[index].place + step:
        return None
    return nuts[other]


def _limits(excess: Sequence[Floats]) -> list[float]:
    """Bring the largest excess down, then the next largest with the first one kept, and so on."""
    limits = [math.inf] * len(excess)
    free = set(range(len(excess)))
    while free:
        least = _minimax(excess, limits, free)
        for index in sorted(free):
            limits[index] = least + TIE
        bound = {index for index in free if not _could_be_less(excess, limits, index)}
        if least <= TIE or not bound:  # of two that share it, neither alone is bound
            break
        free -= bound
    return limits


def _could_be_less(excess: Sequence[Floats], limits: Sequence[float], index: int) -> bool:
    """Whether a station can stay clearly below its limit while all others keep theirs."""
    tighter = [*limits]
    tighter[index] = limits[index] - 3 * TIE
    return math.isfinite(_minimax(excess, tighter, {index}))


def _minimax(excess: Sequence[Floats], limits: Sequence[float], free: set[int]) -> float:
    """Find the least largest excess of the free stations; infinite if a limit can't be kept."""
    value = _edge(math.inf)
    for index, station in enumerate(excess):
        worst = np.where(station <= limits[index], station if index in free else 0.0, math.inf)
        value = np.maximum(value[:, :, None], worst).min(axis=0)
    return float(value[:, _STILL].min())


def _edge(other: float) -> Floats:
    """Start before the first station: no nut stands there, so it does not turn."""
    start = np.full((len(TURNS), len(TURNS)), other)
    start[_STILL, :] = 0.0
    return start


def _cheapest(excess: Sequence[Floats], limits: Sequence[float]) -> list[int]:
    """Find the cheapest turns that keep every limit, going back along the chain."""
    value: NDArray[np.float64] = _edge(float(NEVER))
    back: list[NDArray[np.intp]] = []
    for station, limit in zip(excess, limits, strict=True):
        step = np.where(station <= limit, _COST[None, :, None], float(NEVER))
        total = value[:, :, None] + step
        back.append(total.argmin(axis=0))
        value = total.min(axis=0)
    after, own = _STILL, int(value[:, _STILL].argmin())
    chosen: list[int] = []
    for table in reversed(back):
        chosen.append(own)
        own, after = int(table[own, after]), own
    return chosen[::-1]
