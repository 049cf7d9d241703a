"""The simulated sheet: how it bends, and what work leaves on it."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import cv2
import numpy as np
from numpy.typing import NDArray

from forms.field import Box
from passport.booth.strokes import Picture, Points

_CREASE_MM = 3.0  # a crease turns the paper over about this length
_THING = (95, 120, 150)  # colour of what lies on a page: skin or wood; blue, green, red
_TABLE_STEP_MM = 0.5  # fine enough that straight pieces are off by less than a micrometre


@dataclass(frozen=True)
class Fold:
    """A crease that was pressed flat again and stayed a little bent.

    Attributes
    ----------
    at_mm : float
        Distance from the sheet's middle, along ``Sheet.bend_deg``. [mm]
    angle_deg : float
        Bend that is left; positive raises the far side. [degrees]
    """

    at_mm: float
    angle_deg: float


@dataclass(frozen=True)
class Sheet:
    """A sheet of paper in space: bent in one direction only, so nothing is stretched.

    Attributes
    ----------
    width, height : float
        Size of the flat sheet. [mm]
    curl_mm : float
        How far the edges stand above the middle (below, if negative). [mm]
    bend_deg : float
        Direction on the sheet in which it bends: 0 along x, 90 along y. [degrees]
    folds : tuple of Fold
        Creases, all across that direction.
    """

    width: float
    height: float
    curl_mm: float = 0.0
    bend_deg: float = 90.0
    folds: tuple[Fold, ...] = ()

    @cached_property
    def _direction(self) -> Points:
        angle = np.radians(self.bend_deg)
        return np.array([np.cos(angle), np.sin(angle)])

    @cached_property
    def _reach(self) -> float:
        """Half the sheet's extent in the direction of bending [mm]."""
        return float(np.abs(self._direction) @ (self.width, self.height)) / 2

    @cached_property
    def _profile(self) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        """Arc length from the middle, and the way along and height above the desk there [mm]."""
        half = 3 * self._reach
        arc = np.linspace(-half, half, 2 * round(half / _TABLE_STEP_MM) + 1)
        slope = self._slope(arc)
        way = [_integral(arc, part) for part in (np.cos(slope), np.sin(slope))]
        return arc, way[0], way[1]

    def _slope(self, arc: NDArray[np.float64]) -> NDArray[np.float64]:
        """Angle of the paper against the desk [rad]."""
        radius_inverse = 2 * self.curl_mm / self._reach**2
        slope = radius_inverse * np.clip(arc, -self._reach, self._reach)
        for fold in self.folds:
            turned = np.clip((arc - fold.at_mm) / _CREASE_MM + 0.5, 0, 1)
            slope = slope + np.radians(fold.angle_deg) * turned
        return slope

    def in_space(self, points: Points) -> Points:
        """Where points of the sheet are in space.

        Parameters
        ----------
        points : ndarray of shape (N, 2)
            From the sheet's top left corner. [mm]

        Returns
        -------
        ndarray of shape (N, 3)
            From the sheet's middle: x right, y down, z up toward the camera. [mm]
        """
        arc_table, along_table, height_table = self._profile
        flat = points - (self.width / 2, self.height / 2)
        arc = flat @ self._direction
        along = np.interp(arc, arc_table, along_table)
        moved = flat + (along - arc)[:, None] * self._direction
        return np.column_stack([moved, np.interp(arc, arc_table, height_table)])

    def slopes(self, points: Points) -> Points:
        """Gradient of the height at points of the sheet, (N, 2) [mm/mm]."""
        arc = (points - (self.width / 2, self.height / 2)) @ self._direction
        return np.tan(self._slope(arc))[:, None] * self._direction

    @property
    def outline(self) -> Points:
        """Points along the sheet's edge, once around, (N, 2) [mm]."""
        share = np.linspace(0, 1, 25)
        zero, one = np.zeros(25), np.ones(25)
        x = np.r_[share, one, share[::-1], zero]
        y = np.r_[zero, share, one, share[::-1]]
        return np.column_stack([x * self.width, y * self.height])


def _integral(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    """Sum trapezoids, running, zero in the middle of the table."""
    pieces = (y[1:] + y[:-1]) / 2 * np.diff(x)
    total = np.concatenate([[0.0], np.cumsum(pieces)])
    return np.asarray(total - total[len(total) // 2])


@dataclass(frozen=True)
class Stain:
    """A spot of coffee, wax or a dirty thumb.

    Attributes
    ----------
    x, y : float
        Middle. [mm]
    radius : float
        Size. [mm]
    colour : tuple of float
        Share of light let through: blue, green, red. [1]
    ring : float
        0 an even spot, 1 a ring that dried at its rim. [1]
    """

    x: float
    y: float
    radius: float
    colour: tuple[float, float, float] = (0.55, 0.72, 0.82)
    ring: float = 0.0


def stained(page_image: Picture, stains: Sequence[Stain], scale: float, seed: int) -> Picture:
    """Spill on a page.

    Parameters
    ----------
    page_image : ndarray of shape (H, W, 3)
        The page in colour; it stays as it is.
    scale : float
        Resolution of the picture. [px/mm]

    Returns
    -------
    ndarray of shape (H, W, 3)
    """
    sheet = page_image.copy()
    rng = np.random.default_rng([seed, 31])
    for stain in stains:
        depth = _stain_depth(sheet.shape[:2], stain, scale, rng)[:, :, None]
        sheet = np.round(sheet * (1 - depth * (1 - np.array(stain.colour)))).astype(np.uint8)
    return sheet


def _stain_depth(
    shape: tuple[int, ...], stain: Stain, scale: float, rng: np.random.Generator
) -> NDArray[np.float64]:
    """How strongly a stain colours each pixel, 0 to 1."""
    y, x = np.ogrid[: shape[0], : shape[1]]
    dx, dy = x - stain.x * scale, y - stain.y * scale
    ragged = np.ones_like(dx * dy, dtype=float)
    for lobes in range(2, 7):
        phase, strength = rng.uniform(0, 2 * np.pi), rng.normal(0, 0.04)
        ragged += strength * np.cos(lobes * np.arctan2(dy, dx) + phase)
    share = np.hypot(dx, dy) / (stain.radius * scale * ragged)
    rim = np.exp(-(((share - 0.93) / 0.06) ** 2))
    inside = 1 / (1 + np.exp(np.clip((share - 1) * 40, -50, 50)))
    return np.asarray((1 - 0.85 * stain.ring) * inside * 0.6 + stain.ring * rim * inside)


def covered(page_image: Picture, box: Box, scale: float) -> Picture:
    """Leave something lying on a page: a ruler, a thumb, another sheet's corner.

    Parameters
    ----------
    page_image : ndarray of shape (H, W, 3)
        The page in colour; it stays as it is.
    box : Box
        What is covered. [mm]
    scale : float
        Resolution of the picture. [px/mm]

    Returns
    -------
    ndarray of shape (H, W, 3)
    """
    sheet = page_image.copy()
    corners = (box.x, box.y), (box.x + box.width, box.y + box.height)
    (left, top), (right, bottom) = (tuple(round(v * scale) for v in xy) for xy in corners)
    sheet[max(0, top) : max(0, bottom), max(0, left) : max(0, right)] = _THING
    return sheet


def speckled(picture: Picture, expected: float, rng: np.random.Generator) -> Picture:
    """Dust: so many light and dark specks, on average, of one to three pixels."""
    spotted = picture.copy()
    count = rng.poisson(expected)
    at = rng.integers((picture.shape[1], picture.shape[0]), size=(count, 2))
    for (x, y), shade in zip(at, rng.integers(60, 256, count), strict=True):
        centre = (int(x), int(y))
        cv2.circle(spotted, centre, int(rng.integers(0, 2)), (int(shade),) * 3, cv2.FILLED)
    return spotted


def jpeg(picture: Picture, quality: int) -> bytes:
    """Write a picture as a JPEG file."""
    _, data = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, quality])
    return bytes(data)
