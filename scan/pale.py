"""Marks paler than grain, told by the page's own: a hand that marks faintly makes its usual figure.

Along a whole figure grain averages out. Its likeness from pixel to pixel, which blur and
compression leave, is measured in the page's blank boxes and counted in (a matched filter in
coloured noise), so that what stands out means the same on every page.
"""

from collections.abc import Iterator

import numpy as np

from scan.arrays import Floats
from scan.boxes import Cuts
from scan.traces import insides, slopes

FIGURES = 12  # marks of the page that are looked for in its boxes
LEAST = 3  # of them to know a hand by
BLANK = 8  # boxes to know grain by
REACH_PX = 2  # by which they may be moved
LAGS_PX = 4  # from which on grain is unlike itself
QUIET = 90  # percent of the blank boxes that grain is known by
OWN = 0.05  # of grain that is alike nowhere
STILL = 1.0  # least variance of grain, in its own unit: burnt-out paper has none


def own_traces(cuts: Cuts, grain: np.ndarray, cores: np.ndarray, marks: np.ndarray) -> np.ndarray:
    """How far the page's own figures stand above grain in each box.

    Parameters
    ----------
    cuts : Cuts
        N boxes of one size.
    grain, cores : ndarray of shape (N,)
        Standard deviation of bare paper, and darkness of the darkest ink.
    marks : ndarray of shape (N,), bool
        Boxes with a mark.

    Returns
    -------
    ndarray of shape (N,)
        In standard deviations; empty if the page has too few marks or blank boxes to tell.
    """
    at = np.flatnonzero(marks)
    if len(at) < LEAST or len(marks) - len(at) < BLANK:
        return np.zeros(0)
    small = insides(cuts)
    level = np.eye(small[0].size) - slopes(*small.shape[1:])
    boxes = (small / grain[:, None, None]).reshape(len(small), -1) @ level
    some = at[:: -(-len(at) // FIGURES)]
    figures = np.concatenate([*_moved(small[some] / cores[some, None, None])]) @ level
    root = np.linalg.cholesky(_likeness(boxes[~marks].reshape(-1, *small.shape[1:])))
    white = np.linalg.solve(root, np.concatenate([boxes, figures]).T).T
    found, figures = white[: len(boxes)], white[len(boxes) :]
    figures /= np.linalg.norm(figures, axis=1, keepdims=True)
    return np.asarray((found @ figures.T).max(axis=1))


def _moved(pictures: Floats) -> Iterator[Floats]:  # (M, P) each
    """Pictures (M, H, W) moved a little to all sides, as rows."""
    rows, columns = pictures.shape[1:]
    around = np.pad(pictures, ((0, 0), (REACH_PX, REACH_PX), (REACH_PX, REACH_PX)))
    for y in range(2 * REACH_PX + 1):
        for x in range(2 * REACH_PX + 1):
            yield around[:, y : y + rows, x : x + columns].reshape(len(pictures), -1)


def _likeness(blank: np.ndarray) -> np.ndarray:  # (P, P)
    """Covariance of grain between the pixels of a box, from blank ones (M, H, W)."""
    rows, columns = blank.shape[1:]
    strength = np.mean(blank**2, axis=(1, 2))
    quiet = blank[strength <= np.percentile(strength, QUIET)]
    lags = np.zeros((2 * rows - 1, 2 * columns - 1))
    for y in range(LAGS_PX):
        for x in range(-LAGS_PX + 1, LAGS_PX):
            here = quiet[:, y:, max(x, 0) : columns + min(x, 0)]
            there = quiet[:, : rows - y, max(-x, 0) : columns - max(x, 0)]
            fade = (1 - y / LAGS_PX) * (1 - abs(x) / LAGS_PX)  # keeps the matrix positive
            alike = fade * float(np.vdot(here, there)) / quiet.size
            lags[rows - 1 + y, columns - 1 + x] = lags[rows - 1 - y, columns - 1 - x] = alike
    down, across = np.divmod(np.arange(rows * columns), columns)
    found = lags[rows - 1 + down[:, None] - down, columns - 1 + across[:, None] - across]
    variance = lags[rows - 1, columns - 1]
    found[np.diag_indices_from(found)] += OWN * variance + max(STILL - variance, 0)
    return np.asarray(found)
