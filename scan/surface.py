"""A sheet in perspective: flat, or bent one way like a roof or a wave.

Paper does not stretch: where it is not flat, it curves along one direction and is straight across
it. So its height is a function of one coordinate, here of second and third degree, and the picture
of such a surface is linear in that height: one matrix takes places, heights and all to the picture.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from scan.arrays import Points
from scan.opencv import cv2

DIRECTIONS = tuple(np.arange(9) * np.pi / 9)  # of the bend that are tried first [rad]
FINER = (7.0, 2.5)  # [deg] steps around the best one


@dataclass(frozen=True)
class Plane:
    """Millimetres of a flat sheet in the picture: a homography (3, 3)."""

    matrix: np.ndarray

    def at(self, points: Points) -> Points:
        """Pixels (N, 2) of places on the sheet (N, 2). [mm -> px]."""
        homogeneous = np.column_stack([points, np.ones(len(points))]) @ self.matrix.T
        return np.asarray(homogeneous[:, :2] / homogeneous[:, 2:])


def plane_through(mm: Points, px: Points) -> Plane:
    """Fit a flat sheet to places on paper (N, 2) and in the picture (N, 2); N at least 4."""
    matrix, _ = cv2.findHomography(mm, px, 0)
    return Plane(np.full((3, 3), np.nan) if matrix is None else np.asarray(matrix))


@dataclass(frozen=True)
class Bent:
    """Millimetres of a bent sheet in the picture: a matrix (3, 5) and the bend's direction. [rad].

    ``middle`` and ``size`` take millimetres to about ±1, ``spot`` and ``scale`` back to pixels.
    """

    matrix: np.ndarray
    direction: float
    middle: Points
    size: float
    spot: Points
    scale: float

    def at(self, points: Points) -> Points:
        """Pixels (N, 2) of places on the sheet (N, 2). [mm -> px]."""
        homogeneous = _terms((points - self.middle) / self.size, self.direction) @ self.matrix.T
        return np.asarray(homogeneous[:, :2] / homogeneous[:, 2:] * self.scale + self.spot)


Surface = Plane | Bent


def bent_through(mm: Points, px: Points, directions: Sequence[float] = DIRECTIONS) -> Bent:
    """Fit a bent sheet.

    Parameters
    ----------
    mm : ndarray of shape (N, 2)
        Places on paper; at least 24, on six squares. [mm]
    px : ndarray of shape (N, 2)
        Where they are in the picture. [px]
    directions : sequence of float
        Of the bend, to start from. [rad]
    """
    middle, spot = mm.mean(axis=0), px.mean(axis=0)
    size, scale = float(np.abs(mm - middle).max()), float(np.abs(px - spot).max())
    paper, picture = (mm - middle) / size, (px - spot) / scale
    direction = directions[0]
    if len(directions) > 1:
        direction = _straightest(paper, picture, directions)
        for step in np.radians(FINER):
            near = [direction + step * at for at in (-2, -1, 0, 1, 2)]
            direction = _straightest(paper, picture, near)
    terms = _terms(paper, direction)
    matrix, _ = _fit(terms, picture, np.ones(len(paper)))
    matrix, _ = _fit(terms, picture, terms @ matrix[2])  # distances count, not algebraic ones
    return Bent(matrix, direction, middle, size, spot, scale)


def _terms(paper: Points, direction: float) -> np.ndarray:  # (N, 5)
    """Places, heights of both degrees, and 1."""
    along = paper @ np.array((np.cos(direction), np.sin(direction)))
    return np.column_stack([paper, along**2, along**3, np.ones(len(paper))])


def _straightest(paper: Points, picture: Points, directions: Sequence[float]) -> float:
    """Direction of bend that leaves least."""
    ones = np.ones(len(paper))
    return min(directions, key=lambda angle: _fit(_terms(paper, angle), picture, ones)[1])


def _fit(terms: np.ndarray, picture: Points, depth: np.ndarray) -> tuple[np.ndarray, float]:
    """Matrix (3, 5) for places at a depth (N,), and the mean square of what it leaves."""
    weighed, none = terms / depth[:, None], np.zeros_like(terms)
    rows = np.vstack(
        [
            np.hstack([weighed, none, -picture[:, :1] * weighed]),
            np.hstack([none, weighed, -picture[:, 1:] * weighed]),
        ]
    )
    left, vectors = np.linalg.eigh(rows.T @ rows)
    return vectors[:, 0].reshape(3, 5), float(left[0])
