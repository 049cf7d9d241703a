"""Whole quarter turns of the brackets' nuts, each of which also moves the hollow next to it.

The brackets are a chain: a station's hollow depends on its own nut and on those of its neighbours,
so the best turns are found exactly by dynamic programming over pairs of neighbours.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from passport.leveling.goal import NEVER, TIE, Flags, Floats, Goal, Ints, turn_cost
from passport.leveling.lookup import NEIGHBOUR_SHARE
from passport.leveling.outlook import Outlook, Part

# In one pass of a plan. A look-up's two turns (common practice, no source) leave half of all fresh
# tables out of reach in two passes, by simulation; a plan knows more than a look-up.
MOST_PLANNED_QUARTERS = 12
TURNS: Ints = np.arange(-MOST_PLANNED_QUARTERS, MOST_PLANNED_QUARTERS + 1)
_STILL = len(TURNS) // 2
_COST = turn_cost(TURNS[:, None])
_AXES = ((-1, 1, 1), (1, -1, 1), (1, 1, -1))  # turns of the nut before, its own, the one after


@dataclass(frozen=True)
class NutGoal:
    """A bracket whose nut may be turned; ``number`` is its order from end A."""

    name: str
    number: int
    goal: Goal


@dataclass(frozen=True)
class Chain:
    """Brackets in order from end A, and each one's excess for all turns about it."""

    nuts: tuple[NutGoal, ...]
    excess: tuple[Floats, ...]  # of shape (turns, turns, turns): before, own, after

    @classmethod
    def of(cls, outlook: Outlook, nuts: Sequence[NutGoal]) -> "Chain":
        """Look at all turns of all nuts."""
        return cls(tuple(nuts), tuple(_excess(outlook, nuts, nut) for nut in nuts))

    def limits(self) -> list[float]:
        """Bring the largest excess down, then the next largest with the first kept, and so on."""
        return _limits(self.excess)

    def best(self) -> dict[str, int]:
        """Find the least excesses, then the fewest nuts, then steps, then lowering."""
        if not self.nuts:
            return {}
        chosen = _cheapest(self.excess, self.limits())
        return {nut.name: int(TURNS[turn]) for nut, turn in zip(self.nuts, chosen, strict=True)}


def hollow_parts(outlook: Outlook, number: int, turns: Mapping[int, Ints]) -> list[Part]:
    """List what makes a bracket's hollow after turns of itself and its neighbours.

    Parameters
    ----------
    outlook : Outlook
        What is believed now.
    number : int
        The bracket.
    turns : mapping of int to ndarray
        Quarter turns of it and of those beside it; arrays that broadcast.

    Returns
    -------
    list of (place, factor)
        For ``Outlook.predict``.
    """
    places = outlook.places
    parts: list[Part] = [(places.hollow(number), 1.0)]
    for turned, quarters in turns.items():
        own = turned == number
        place = places.nut(number) if own else places.pairs[number, turned]
        loss = _lost(outlook.facing[turned], quarters) * (1.0 if own else NEIGHBOUR_SHARE)
        parts += [(place, quarters.astype(np.float64)), (places.lost(turned), -loss)]
    return parts


def _lost(facing: int, quarters: Ints) -> Floats:
    """Give the share of a reversal's lost motion that turns meet.

    Back is printed as beyond and forward again, which loses nothing; forward loses nothing where
    the nut was turned forward last.
    """
    unsure = 0.0 if facing > 0 else 0.5
    return np.asarray(np.where(quarters > 0, unsure, 0.0), dtype=np.float64)


def _excess(outlook: Outlook, nuts: Sequence[NutGoal], nut: NutGoal) -> Floats:
    """Give a station's excess for all turns of the nut before, its own and the one after."""
    there = {one.number for one in nuts}
    near = {
        nut.number + step: TURNS.reshape(axes) for step, axes in zip((-1, 0, 1), _AXES, strict=True)
    }
    turns = {number: grid for number, grid in near.items() if number in there}
    value, u = outlook.predict(hollow_parts(outlook, nut.number, turns))
    full = np.zeros((len(TURNS),) * 3)
    turned = full + sum(np.abs(grid) for grid in turns.values())
    barred = np.where(_needed(outlook, nut), 0.0, math.inf).reshape(_AXES[1])
    return nut.goal.excess(value + full, u + full, turned == 0) + barred


def _needed(outlook: Outlook, nut: NutGoal) -> Flags:
    """Whether turns lie between none and the nut's own target."""
    places, mean = outlook.places, outlook.mean
    low, high = nut.goal.needed(
        float(mean[places.hollow(nut.number)]), float(mean[places.nut(nut.number)])
    )
    return np.asarray((low <= TURNS) & (high >= TURNS), dtype=np.bool_)


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
        step = np.where(station <= limit + TIE, _COST[None, :, None], float(NEVER))
        total = value[:, :, None] + step
        back.append(total.argmin(axis=0))
        value = total.min(axis=0)
    after, own = _STILL, int(value[:, _STILL].argmin())
    chosen: list[int] = []
    for table in reversed(back):
        chosen.append(own)
        own, after = int(table[own, after]), own
    return chosen[::-1]
