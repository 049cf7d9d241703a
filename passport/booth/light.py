"""Light on the sheet and the desk: gradient, a shadow's edge, shading where the paper bends."""

import cv2
import numpy as np
from numpy.typing import NDArray

from passport.booth.projection import Projection
from passport.booth.shot import Light
from passport.booth.strokes import Picture, Points

Plane = NDArray[np.float32]  # (H, W)

_CELL = 16  # pixels of the picture to a cell of the coarse maps
_MARGIN = 2  # cells beyond the picture, so that its edge is interpolated too
_METERED = 0.75  # share of the picture that is no brighter than what the camera exposes for
_VIGNETTE = 0.12  # light lost in the corners of a phone's picture


def page_map(projection: Projection) -> tuple[Plane, Plane]:
    """For each pixel of the picture, the point of the sheet seen there [mm].

    Returns
    -------
    x, y : ndarray of shape (H, W)
    """
    centres = _cell_centres(projection.size)
    grid = np.stack(np.meshgrid(*centres), axis=-1)
    page = projection.to_page(grid.reshape(-1, 2)).reshape(grid.shape).astype(np.float32)
    return _spread(page[:, :, 0], projection.size), _spread(page[:, :, 1], projection.size)


def brightness(projection: Projection, light: Light) -> Plane:
    """Share of light at each pixel of the picture, (H, W).

    The camera exposes for the brighter part: where little is lit, that little is burnt out.
    """
    x, y = _cell_centres(projection.size)
    grid = np.stack(np.meshgrid(x, y), axis=-1)
    coarse = _falloff(grid, projection.size, light) * _shading(grid, projection, light)
    exposed = coarse * light.exposure / np.quantile(coarse, _METERED)
    return _spread(exposed.astype(np.float32), projection.size)


def _falloff(grid: Points, size: tuple[int, int], light: Light) -> Points:
    at = (grid - np.array(size) / 2) / (max(size) / 2)  # -1 to 1 along the longer side
    slope = 1 - light.gradient * (0.5 + 0.5 * np.clip(at @ _heading(light.gradient_deg), -1, 1))
    beyond = (at @ _heading(light.shadow_deg) - light.shadow_at) / light.soft
    shadow = 1 - light.shadow / (1 + np.exp(-4 * np.clip(beyond, -9, 9)))
    corner = 1 - _VIGNETTE * (at**2).sum(axis=-1) ** 2 / 1.6**2
    return np.asarray(slope * shadow * corner)


def _shading(grid: Points, projection: Projection, light: Light) -> Points:
    """Paper that leans toward the lamp is lighter; lamp 45° above the desk (Lambert)."""
    page = projection.to_page(grid.reshape(-1, 2))
    lean = projection.sheet.slopes(page) @ _heading(light.gradient_deg)
    return np.asarray(np.clip(1 + 0.8 * lean, 0.6, 1.25)).reshape(grid.shape[:2])


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


def desk(size: tuple[int, int], rng: np.random.Generator) -> Picture:
    """Make a dark, plain desk with a slight grain, (H, W, 3)."""
    width, height = size
    grain = rng.normal(0, 1, (height // 16 + 1, 8)).astype(np.float32)
    fine = rng.normal(0, 0.5, (height // 8 + 1, width // 8 + 1)).astype(np.float32)
    texture = sum(cv2.resize(part, size, interpolation=cv2.INTER_CUBIC) for part in (grain, fine))
    base = rng.uniform(28, 80) * np.array([rng.uniform(0.75, 1.1), 1.0, rng.uniform(0.9, 1.25)])
    planes = [np.clip(level * (1 + 0.07 * texture), 0, 255).astype(np.uint8) for level in base]
    return np.ascontiguousarray(np.dstack(planes))


def shaded_desk(ground: Picture, projection: Projection) -> Picture:
    """Darken the desk around the sheet, which stands a little off it; (H, W, 3)."""
    small = (projection.size[0] // 8, projection.size[1] // 8)
    outline = projection.to_photo(projection.sheet.outline) / 8 + (2, 3)
    under = np.zeros((small[1], small[0]), np.float32)
    cv2.fillPoly(under, [np.round(outline).astype(np.int32)], (1.0,))
    soft = 1 - 0.45 * cv2.GaussianBlur(under, (0, 0), 4)
    light = np.asarray(cv2.resize(soft, projection.size), np.float32)
    planes = [cv2.multiply(plane, light, dtype=cv2.CV_8U) for plane in cv2.split(ground)]
    return np.asarray(cv2.merge(planes), np.uint8)
