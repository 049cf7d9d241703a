"""What the lens sees of the sheet, and its light: gradient, shadow's edge, bends."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from passport.booth.projection import Projection
from passport.booth.shot import Light
from passport.booth.strokes import Points

Plane = NDArray[np.float32]  # (H, W)

_CELL = 16  # pixels of the picture to a cell of the coarse maps
_MARGIN = 2  # cells beyond the picture, so that its edge is interpolated too
_METERED = 0.75  # share of the picture that is no brighter than what the camera exposes for
_VIGNETTE = 0.12  # light lost in the corners of a phone's picture


@dataclass(frozen=True)
class Sight:
    """What a grid of pixels, every sixteenth one each way, sees of the sheet.

    Attributes
    ----------
    pixels : ndarray of shape (h, w, 2)
        The grid, a little larger than the picture. [px]
    page : ndarray of shape (h, w, 2)
        The point of the sheet seen there, its plane going on beyond its edge. [mm]
    """

    projection: Projection
    pixels: Points
    page: Points


def sight_of(projection: Projection) -> Sight:
    """Look at the sheet through a coarse grid; the rest is interpolated."""
    grid = np.stack(np.meshgrid(*_cell_centres(projection.size)), axis=-1)
    page = projection.to_page(grid.reshape(-1, 2)).reshape(grid.shape)
    return Sight(projection, grid, page)


def page_map(sight: Sight) -> tuple[Plane, Plane]:
    """For each pixel of the picture, the point of the sheet seen there [mm].

    Returns
    -------
    x, y : ndarray of shape (H, W)
    """
    page, size = sight.page.astype(np.float32), sight.projection.size
    return _spread(page[:, :, 0], size), _spread(page[:, :, 1], size)


def brightness(sight: Sight, light: Light) -> Plane:
    """Share of light at each pixel of the picture, (H, W).

    The camera exposes for the brighter part: where little is lit, that little is burnt out.
    """
    size = sight.projection.size
    coarse = _falloff(sight.pixels, size, light) * _shading(sight, light)
    exposed = coarse * light.exposure / np.quantile(coarse, _METERED)
    return _spread(exposed.astype(np.float32), size)


def _falloff(grid: Points, size: tuple[int, int], light: Light) -> Points:
    at = (grid - np.array(size) / 2) / (max(size) / 2)  # -1 to 1 along the longer side
    slope = 1 - light.gradient * (0.5 + 0.5 * np.clip(at @ _heading(light.gradient_deg), -1, 1))
    beyond = (at @ _heading(light.shadow_deg) - light.shadow_at) / light.soft
    shadow = 1 - light.shadow / (1 + np.exp(-4 * np.clip(beyond, -9, 9)))
    corner = 1 - _VIGNETTE * (at**2).sum(axis=-1) ** 2 / 1.6**2
    return np.asarray(slope * shadow * corner)


def _shading(sight: Sight, light: Light) -> Points:
    """Paper that leans toward the lamp is lighter; lamp 45° above the desk (Lambert)."""
    slopes = sight.projection.sheet.slopes(sight.page.reshape(-1, 2))
    lean = slopes @ _heading(light.gradient_deg)
    return np.asarray(np.clip(1 + 0.8 * lean, 0.6, 1.25)).reshape(sight.page.shape[:2])


def _heading(degrees: float) -> Points:
    angle = np.radians(degrees)
    return np.array([np.cos(angle), np.sin(angle)])


def _cell_centres(size: tuple[int, int]) -> list[NDArray[np.float64]]:
    """Middles of the coarse cells, in pixels of the picture."""
    cells = (np.arange(-_MARGIN, -(-side // _CELL) + _MARGIN) for side in size)
    return [(np.asarray(cell, float) + 0.5) * _CELL - 0.5 for cell in cells]


def _spread(coarse: Plane, size: tuple[int, int]) -> Plane:
    """Give a coarse map at every pixel of the picture.

    Linear interpolation, as OpenCV's cubic one bends straight ramps (by a pixel here).
    """
    rows, columns = coarse.shape
    fine = (columns * _CELL, rows * _CELL)
    whole = np.asarray(cv2.resize(coarse, fine, interpolation=cv2.INTER_LINEAR), np.float32)
    start = _MARGIN * _CELL
    return whole[start : start + size[1], start : start + size[0]]
