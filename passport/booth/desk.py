"""The simulated desk: dark and plain, as the instructions for taking photos ask for."""

import cv2
import numpy as np
from numpy.typing import NDArray

from passport.booth.projection import Projection
from passport.booth.strokes import Picture

_COARSE = 8  # the desk is drawn this much smaller: nothing on it is fine
_UNDER = 0.45  # share of light lost right beside the sheet


def bare_desk(size: tuple[int, int], rng: np.random.Generator) -> Picture:
    """Show a desk with nothing on it; (H, W, 3).

    Parameters
    ----------
    size : tuple of int
        Width and height of the picture. [px]
    """
    return _enlarged(_grain(_small(size), rng), size)


def desk_under(projection: Projection, rng: np.random.Generator) -> Picture:
    """Show a desk, darker around the sheet, which stands a little off it; (H, W, 3)."""
    size = projection.size
    outline = projection.to_photo(projection.sheet.outline) / _COARSE
    width, height = _small(size)
    under = np.zeros((height, width), np.float32)
    cv2.fillPoly(under, [np.round(outline + np.array([2, 3])).astype(np.int32)], (1.0,))
    light = 1 - _UNDER * cv2.GaussianBlur(under, (0, 0), 4)
    return _enlarged(_grain((width, height), rng) * light[:, :, None], size)


def _small(size: tuple[int, int]) -> tuple[int, int]:
    return -(-size[0] // _COARSE), -(-size[1] // _COARSE)


def _grain(size: tuple[int, int], rng: np.random.Generator) -> NDArray[np.float64]:
    """Draw a colour and a slight grain along the desk, (h, w, 3)."""
    width, height = size
    along = cv2.resize(rng.normal(0, 1, (height // 2 + 1, 8)), size, interpolation=cv2.INTER_CUBIC)
    fine = rng.normal(0, 0.5, (height, width))
    base = rng.uniform(28, 80) * np.array([rng.uniform(0.75, 1.1), 1.0, rng.uniform(0.9, 1.25)])
    return np.asarray((1 + 0.07 * (along + fine))[:, :, None] * base)


def _enlarged(small: NDArray[np.float64], size: tuple[int, int]) -> Picture:
    coarse = np.clip(small, 0, 255).astype(np.uint8)
    return np.asarray(cv2.resize(coarse, size, interpolation=cv2.INTER_LINEAR), np.uint8)
