"""Where the paper's millimetres lie in the picture, and how surely.

A homography through all corners of the squares gives the perspective, a thin-plate spline through
their middles the curl. The error at each square, predicted from the others, gates everything.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.interpolate import RBFInterpolator

from forms.layout import Mark, Page
from scan.arrays import Floats, Points
from scan.errors import EdgeMissing, MarksDisagree
from scan.fiducials import ENOUGH, PLACES, Fiducial
from scan.guards import GUARDS
from scan.opencv import cv2

NODE_MM = 4.0  # spacing of the grid on which the map is kept
MOST_STRAYS = 2
ENOUGH_FOR_SPLINE = 6
SMOOTHING = 0.5  # of the spline; scipy's unit


@dataclass(frozen=True)
class Flat:
    """A page's millimetres in the picture's pixels.

    ``nodes`` is (rows, columns, 2): the pixel of every fourth millimetre, from (0, 0).
    ``hull`` holds the middles of the squares that it rests on. [mm]
    """

    nodes: np.ndarray
    hull: Points
    residual_mm: float
    model: str
    px_per_mm: float

    def grid(self, xs: np.ndarray, ys: np.ndarray) -> np.ndarray:
        """Pixels of a grid of millimetres.

        Parameters
        ----------
        xs, ys : ndarray of shape (W,) and (H,)
            Places on the page. [mm]

        Returns
        -------
        ndarray of shape (H, W, 2), float32
            x and y. [px]
        """
        row, down = _split(ys, self.nodes.shape[0])
        column, right = _split(xs, self.nodes.shape[1])
        near = self.nodes[:, column.min() : column.max() + 2]
        column = column - column.min()
        upper = np.take(near, row, axis=0)
        lines = upper + (np.take(near, row + 1, axis=0) - upper) * down[:, None, None]
        left = np.take(lines, column, axis=1)
        between = left + (np.take(lines, column + 1, axis=1) - left) * right[:, None]
        return np.asarray(between, dtype=np.float32)

    def at(self, points: Points) -> Points:
        """Pixels (N, 2) of scattered points (N, 2). [mm -> px]."""
        row, down = _split(points[:, 1], self.nodes.shape[0])
        column, right = _split(points[:, 0], self.nodes.shape[1])
        upper = self.nodes[row, column] * (1 - right)[:, None]
        upper = upper + self.nodes[row, column + 1] * right[:, None]
        lower = self.nodes[row + 1, column] * (1 - right)[:, None]
        lower = lower + self.nodes[row + 1, column + 1] * right[:, None]
        return np.asarray(upper * (1 - down)[:, None] + lower * down[:, None], np.float64)

    def px(self, point: tuple[float, float]) -> Points:
        """Pixel of one point; (2,). [mm -> px]."""
        return np.asarray(self.at(np.array([point]))[0])


def _split(places: np.ndarray, count: int) -> tuple[np.ndarray, Floats]:
    """Node before each place, and how far it lies toward the next; beyond 0 and 1 at the ends."""
    at = places / NODE_MM
    node = np.clip(at.astype(int), 0, count - 2)
    return node, (at - node).astype(np.float32)


def flatten(found: Sequence[Fiducial], page: Page, *, stray_mm: float = GUARDS.stray_mm) -> Flat:
    """Fit the page to its squares.

    Parameters
    ----------
    found : sequence of Fiducial
        This page's squares in the picture, each number once.
    page : Page
        Where they were printed.
    stray_mm : float
        A square farther off than this from where the others put it is not this page's. [mm]

    Raises
    ------
    EdgeMissing
        Fewer than four squares, or all on one side.
    MarksDisagree
        They do not stand as on one sheet.
    """
    pairs = _consistent(_pairs(found, page.marks), page.page, stray_mm)
    if not pairs:
        raise EdgeMissing(page.page, len(found), _missing(found))
    homography = _homography(pairs)
    middles = np.stack([pair.middle_mm for pair in pairs])
    spline = _spline(pairs, homography)
    flat = Flat(
        nodes=_nodes(page, homography, spline),
        hull=middles,
        residual_mm=_residual(pairs),
        model="homography" if spline is None else "spline",
        px_per_mm=0.0,
    )
    return replace(flat, px_per_mm=_px_per_mm(flat, page))


@dataclass(frozen=True)
class _Pair:
    """A square on paper and in the picture."""

    mm: Points  # (4, 2)
    px: Points  # (4, 2)

    @property
    def middle_mm(self) -> Points:
        return np.asarray(self.mm.mean(axis=0))

    @property
    def middle_px(self) -> Points:
        """Where the diagonals meet; unlike the mean, it keeps its place in perspective."""
        (a, b, c, d) = self.px
        one, other = c - a, d - b
        cross = one[0] * other[1] - one[1] * other[0]
        share = ((b - a)[0] * other[1] - (b - a)[1] * other[0]) / cross
        return np.asarray(a + share * one)


def _pairs(found: Sequence[Fiducial], marks: Sequence[Mark]) -> list[_Pair]:
    printed = {mark.id: mark for mark in marks}
    return [_Pair(_corners(printed[one.id]), one.corners) for one in found if one.id in printed]


def _corners(mark: Mark) -> Points:
    x, y, side = *mark.corner, mark.size
    return np.array([[x, y], [x + side, y], [x + side, y + side], [x, y + side]])


def _homography(pairs: Sequence[_Pair]) -> np.ndarray:  # (3, 3)
    mm = np.concatenate([pair.mm for pair in pairs])
    px = np.concatenate([pair.px for pair in pairs])
    matrix, _ = cv2.findHomography(mm, px, 0)
    return np.full((3, 3), np.nan) if matrix is None else np.asarray(matrix)


def _through(homography: np.ndarray, points: Points) -> Points:
    homogeneous = np.column_stack([points, np.ones(len(points))]) @ homography.T
    return np.asarray(homogeneous[:, :2] / homogeneous[:, 2:])


def _consistent(pairs: list[_Pair], page: int, stray_mm: float) -> list[_Pair]:
    """Leave out squares that do not stand where the others say; none if too few remain.

    Raises
    ------
    MarksDisagree
        So many are off that it is not one flat sheet.
    """
    kept = list(pairs)
    while len(kept) >= ENOUGH:
        worst = max(_left_out_errors(kept, straight=True))
        if worst <= stray_mm:
            return kept if _wide_enough(kept) else []
        if len(kept) == ENOUGH or len(pairs) - len(kept) == MOST_STRAYS:
            raise MarksDisagree(page, worst)
        kept = min(([one for one in kept if one is not out] for out in kept), key=_misfit)
    return []


def _missing(found: Sequence[Fiducial]) -> list[str]:
    """Name the places on the page whose squares were not found."""
    seen = {one.place for one in found}
    return [place for place in PLACES if place not in seen]


def _misfit(pairs: Sequence[_Pair]) -> float:
    mm = np.concatenate([pair.mm for pair in pairs])
    px = np.concatenate([pair.px for pair in pairs])
    error = np.abs(_through(_homography(pairs), mm) - px).max()
    return float(error) if np.isfinite(error) else np.inf


def _wide_enough(pairs: Sequence[_Pair]) -> bool:
    """Tell whether the squares span the page both ways; four along one edge do not."""
    middles = np.stack([pair.middle_mm for pair in pairs])
    return bool((np.ptp(middles, axis=0) > 80).all())


def _left_out_errors(pairs: Sequence[_Pair], *, straight: bool) -> list[float]:
    """How far each square's middle lies from where the others predict it. [mm]."""
    errors = []
    for out in pairs:
        others = [pair for pair in pairs if pair is not out]
        homography = _homography(others)
        predicted = _through(homography, out.middle_mm[None])
        spline = None if straight else _spline(others, homography)
        if spline is not None:
            predicted = predicted + spline(out.middle_mm[None])
        scale = np.linalg.norm(out.px[0] - out.px[2]) / np.linalg.norm(out.mm[0] - out.mm[2])
        error = float(np.linalg.norm(predicted[0] - out.middle_px) / scale)
        errors.append(error if np.isfinite(error) else np.inf)
    return errors


def _residual(pairs: Sequence[_Pair]) -> float:
    """Root mean square of the left-out errors. [mm]."""
    return float(np.sqrt(np.mean(np.square(_left_out_errors(pairs, straight=False)))))


def _spline(pairs: Sequence[_Pair], homography: np.ndarray) -> RBFInterpolator | None:
    """Fit what the homography leaves at the squares' middles. [mm -> px]."""
    if len(pairs) < ENOUGH_FOR_SPLINE:
        return None
    middles = np.stack([pair.middle_mm for pair in pairs])
    left = np.stack([pair.middle_px for pair in pairs]) - _through(homography, middles)
    return RBFInterpolator(middles, left, kernel="thin_plate_spline", smoothing=SMOOTHING)


def _nodes(page: Page, homography: np.ndarray, spline: RBFInterpolator | None) -> np.ndarray:
    columns, rows = (int(np.ceil(length / NODE_MM)) + 2 for length in (page.width, page.height))
    ys, xs = np.mgrid[:rows, :columns] * NODE_MM
    points = np.stack([xs.ravel(), ys.ravel()], axis=1)
    px = _through(homography, points)
    if spline is not None:
        px = px + spline(points)
    return np.asarray(px.reshape(rows, columns, 2), dtype=np.float32)


def _px_per_mm(flat: Flat, page: Page) -> float:
    """Resolution in the middle of the page: root of the area of a square millimetre. [px/mm]."""
    x, y = page.width / 2, page.height / 2
    a, b, c = (flat.px(point) for point in ((x, y), (x + 8, y), (x, y + 8)))
    one, other = (b - a) / 8, (c - a) / 8
    return float(np.sqrt(abs(one[0] * other[1] - one[1] * other[0])))


__all__ = ["PLACES", "Flat", "flatten"]
