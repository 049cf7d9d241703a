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

DIRECTIONS = tuple(np.arange(18) * np.pi / 18)  # of the bend that are tried [rad]
FINER = (3.0, 1.0)  # [deg] steps around the best one
REWEIGHTED = 2  # times, so that distances in the picture count, not algebraic ones


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
    tried: Sequence[float] = directions
    for step in (*np.radians(FINER), 0.0):
        fits = [(*_fit(paper, picture, angle), angle) for angle in tried]
        _, matrix, angle = min(fits, key=lambda fit: fit[0])
        if len(tried) == 1:
            break
        tried = [angle + step * at for at in range(-3, 4)]
    return Bent(matrix, angle, middle, size, spot, scale)


def _terms(paper: Points, direction: float) -> np.ndarray:  # (N, 5)
    """Places, heights of both degrees, and 1."""
    along = paper @ np.array((np.cos(direction), np.sin(direction)))
    return np.column_stack([paper, along**2, along**3, np.ones(len(paper))])


def _fit(paper: Points, picture: Points, direction: float) -> tuple[float, np.ndarray]:
    """Matrix for one direction of bend, and the mean square distance that it leaves."""
    terms = _terms(paper, direction)
    depth, matrix = np.ones(len(paper)), np.zeros((3, 5))
    for _ in range(1 + REWEIGHTED):
        weighed, none = terms / depth[:, None], np.zeros_like(terms)
        rows = np.vstack(
            [
                np.hstack([weighed, none, -picture[:, :1] * weighed]),
                np.hstack([none, weighed, -picture[:, 1:] * weighed]),
            ]
        )
        matrix = np.linalg.eigh(rows.T @ rows)[1][:, 0].reshape(3, 5)
        depth = terms @ matrix[2]
    away = terms @ matrix[:2].T / depth[:, None] - picture
    return float(np.mean(away**2)), matrix
