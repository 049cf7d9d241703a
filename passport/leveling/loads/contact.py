"""Feet push and never pull: which of them bear, and with what force.

Forces f = level + stiffness (heights + gaps), with f ≥ 0, gaps ≥ 0 and f · gaps = 0: a linear
complementarity problem with a symmetric matrix that is never negative, so Lemke's method ends with
the answer or with a ray, which here means that the bar tips over.

References
----------
Lemke 1965, Management Science 11:681-689; Cottle, Pang, Stone, The Linear Complementarity Problem
(1992), 4.4: complementary pivoting, with the lexicographic rule against cycling (from memory).
"""

from dataclasses import dataclass

import numpy as np

from passport.leveling.loads.moments import Array, Held

SMALL = 1e-12  # of numbers scaled to one
_MOST_PIVOTS = 500


@dataclass(frozen=True)
class Rest:
    """A bar at rest on N feet.

    Attributes
    ----------
    forces : ndarray of shape (N,)
        Upward on the bar. [N]
    gaps : ndarray of shape (N,)
        Between foot and bar. [m]
    bears : ndarray of bool, shape (N,)
        Feet that touch.
    """

    forces: Array
    gaps: Array
    bears: np.typing.NDArray[np.bool_]


def come_to_rest(held: Held, heights_m: Array) -> Rest | None:
    """Let a bar down on feet of given heights.

    Parameters
    ----------
    held : Held
        The bar as if its feet could pull.
    heights_m : ndarray of shape (N,)
        Tops of the feet, from any common level. [m]

    Returns
    -------
    Rest or None
        None when the bar tips over: its weight lies outside its feet.
    """
    heights = heights_m - heights_m.mean()
    offset = held.level + held.stiffness @ heights
    bears = _bearing(offset, held.stiffness)
    if bears is None:
        return None
    gaps = np.zeros(len(offset))
    free = ~bears
    gaps[free] = np.linalg.solve(held.stiffness[np.ix_(free, free)], -offset[free])
    forces = offset + held.stiffness @ gaps
    forces[free] = 0.0
    return Rest(np.maximum(forces, 0.0), np.maximum(gaps, 0.0), bears)


def _bearing(offset: Array, stiffness: Array) -> np.typing.NDArray[np.bool_] | None:
    """Solve the complementarity problem for the feet that touch."""
    count = len(offset)
    if np.all(offset >= 0):
        return np.ones(count, dtype=np.bool_)
    load = np.abs(offset).sum()
    scale = max(float(np.abs(stiffness).max()), 1e-300)
    # Columns: forces (basic at first), gaps, the artificial one, right-hand side.
    table = np.hstack(
        [np.eye(count), -stiffness / scale, -np.ones((count, 1)), (offset / load)[:, None]]
    )
    basis = list(range(count))
    row, entering = int(np.argmin(table[:, -1])), 2 * count
    for _ in range(_MOST_PIVOTS):
        _pivot(table, row, entering)
        leaving, basis[row] = basis[row], entering
        if leaving == 2 * count:
            return np.array([i + count not in basis for i in range(count)], dtype=np.bool_)
        entering = (leaving + count) % (2 * count)
        found = _leaving_row(table, basis, entering)
        if found is None:
            return None
        row = found
    return None


def _pivot(table: Array, row: int, column: int) -> None:
    table[row] /= table[row, column]
    others = np.arange(len(table)) != row
    table[others] -= np.outer(table[others, column], table[row])


def _leaving_row(table: Array, basis: list[int], entering: int) -> int | None:
    """Find the row that reaches nought first; ties by the artificial one, then by columns."""
    column = table[:, entering]
    rows = np.flatnonzero(column > SMALL)
    if not len(rows):
        return None
    count = len(table)
    ratios = np.column_stack([table[rows, -1:], table[rows, :count]]) / column[rows, None]
    first = rows[ratios[:, 0] <= ratios[:, 0].min() + SMALL]
    artificial = [row for row in first if basis[row] == 2 * count]
    if artificial:
        return int(artificial[0])
    keys = [tuple(ratios[list(rows).index(row)]) for row in first]
    return int(first[min(range(len(first)), key=keys.__getitem__)])
