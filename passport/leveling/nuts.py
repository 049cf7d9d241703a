"""Whole steps of the brackets' nuts, each of which also moves the hollow next to it.

The brackets are a chain: a station's hollow depends on its own nut and on those of its neighbours,
so the best turns are found exactly by dynamic programming over pairs of neighbours.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from passport.leveling.goal import NEVER, TIE, Floats, Goal, Ints, turn_cost
from passport.leveling.lookup import NEIGHBOUR_SHARE
from passport.leveling.outlook import Outlook, Part
from passport.table import Steps

# In one pass of a plan: by quarters as much as two rows of a form hold. A weak nut needs it: of
# 2,000 tables at their third visit 90.6 in 100 are in tolerance after one pass with three turns,
# 91.8 with four, 92.0 with five, by simulation.
MOST_PLANNED_TURNS = 4
MOST_CELLS = 2_400_000  # looked at: all turns of 66 brackets by quarters, of 20 by sixths
_AXES = ((-1, 1, 1), (1, -1, 1), (1, 1, -1))  # turns of the nut before, its own, the one after


@dataclass(frozen=True)
class NutGoal:
    """A bracket whose nut may be turned; ``number`` is its order from end A."""

    name: str
    number: int
    goal: Goal


@dataclass(frozen=True)
class Chain:
    """Brackets in order from end A, the turns looked at, each one's excess for all turns about it.

    ``whole``: all turns within the bounds were looked at.
    """

    nuts: tuple[NutGoal, ...]
    turns: Ints  # (T,) steps, from backward to forward, none in the middle
    excess: tuple[Floats, ...]  # of shape (T, T, T): before, own, after
    whole: bool

    @classmethod
    def of(cls, outlook: Outlook, nuts: Sequence[NutGoal], by: Steps) -> "Chain":
        """Look at all turns of all nuts, as far as there is time."""
        most = MOST_PLANNED_TURNS * by.per_turn
        reach = min(most, _reach(len(nuts)))
        turns = np.arange(-reach, reach + 1)
        quarters = np.asarray(turns * by.quarters, dtype=np.float64)
        excess = tuple(_excess(outlook, nuts, nut, quarters) for nut in nuts)
        return cls(tuple(nuts), turns, excess, reach == most)

    def least(self) -> float:
        """Find the least largest excess; nought without brackets."""
        value = self._edge(0.0)
        for station in self.excess:
            value = np.maximum(value[:, :, None], station).min(axis=0)
        return float(value[:, self._still].min())

    def cheapest(self, limit: float) -> dict[str, int]:
        """Find the cheapest turns that keep every excess within the limit.

        Fewest nuts, then fewest steps, then least lowering; going back along the chain.
        """
        cost = turn_cost(self.turns[:, None])
        value, back = self._edge(0.0), list[NDArray[np.intp]]()
        for station in self.excess:
            step = np.where(station <= limit + TIE, cost[None, :, None], float(NEVER))
            total = value[:, :, None] + step
            back.append(total.argmin(axis=0))
            value = total.min(axis=0)
        after, own = self._still, int(value[:, self._still].argmin())
        chosen: list[int] = []
        for table in reversed(back):
            chosen.append(own)
            own, after = int(table[own, after]), own
        turned = zip(self.nuts, reversed(chosen), strict=True)
        return {nut.name: int(self.turns[turn]) for nut, turn in turned}

    @property
    def _still(self) -> int:
        return len(self.turns) // 2

    def _edge(self, start: float) -> Floats:
        """Start before the first station: no nut stands there, so it does not turn."""
        value = np.full((len(self.turns), len(self.turns)), float(NEVER))
        value[self._still, :] = start
        return value


def _reach(brackets: int) -> int:
    """Give the most steps that can be looked at in time, by the cells of all brackets."""
    return int(((MOST_CELLS / max(1, brackets)) ** (1 / 3) + 1e-9 - 1) // 2)


def hollow_parts(outlook: Outlook, number: int, turns: Mapping[int, Floats]) -> list[Part]:
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
        parts += [(place, quarters), (places.lost(turned), -loss)]
    return parts


def _lost(facing: int, quarters: Floats) -> Floats:
    """Give the share of a reversal's lost motion that turns meet.

    Back is printed as beyond and forward again, which loses nothing; forward loses nothing where
    the nut was turned forward last.
    """
    unsure = 0.0 if facing > 0 else 0.5
    return np.asarray(np.where(quarters > 0, unsure, 0.0), dtype=np.float64)


def _excess(outlook: Outlook, nuts: Sequence[NutGoal], nut: NutGoal, turns: Floats) -> Floats:
    """Give a station's excess for all quarter turns of the nut before, its own, the one after."""
    there = {one.number for one in nuts}
    near = {
        nut.number + step: turns.reshape(axes) for step, axes in zip((-1, 0, 1), _AXES, strict=True)
    }
    about = {number: grid for number, grid in near.items() if number in there}
    value, u = outlook.predict(hollow_parts(outlook, nut.number, about))
    full = np.zeros((len(turns),) * 3)
    turned = full + sum(np.abs(grid) for grid in about.values())
    return nut.goal.excess(value + full, u + full, turned == 0)
