"""Handwriting that comes as pictures: put into a box with a pen's colour and grain."""

import cv2
import numpy as np
from numpy.typing import NDArray

from forms.field import Box
from passport.booth.pens import Pen
from passport.booth.strokes import Picture, worn_cover
from passport.booth.writer import Hand

_FINE = 12  # pixels of the enlarged picture for one of the small one
_EDGE = 6.0  # how steeply ink goes over into paper: share of ink for one of grey


def stamp(
    sheet: Picture, ink: NDArray[np.float64], box: Box, hand: Hand, rng: np.random.Generator
) -> None:
    """Write a picture of a digit into a box, in place, in the size and place this hand writes.

    Parameters
    ----------
    sheet : ndarray of shape (H, W, 3)
        The page, whose width is that of the page that ``box`` belongs to.
    ink : ndarray of shape (h, w)
        Share of ink, 0 to 1, small pictures are made smooth.
    box : Box
        Where to, in pixels of the sheet.
    """
    height = min(box.height * hand.size, box.width * 1.45) * rng.normal(1, 0.04)
    cover = _enlarged(_cropped(ink), height)
    middle = np.array([box.x + box.width / 2, box.y + box.height / 2])
    aim = middle + rng.normal(0, hand.wander * 0.5, 2) * (box.width, box.height)
    left, top = (round(float(v)) for v in aim - np.array(cover.shape[::-1]) / 2)
    _blend(sheet, worn_cover(cover, hand.pen, rng), (left, top), hand.pen)


def _cropped(ink: NDArray[np.float64]) -> NDArray[np.float64]:
    rows, columns = (np.flatnonzero((ink > 0.2).any(axis=axis)) for axis in (1, 0))
    part = ink[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    return np.pad(part, 1)


def _enlarged(ink: NDArray[np.float64], height: float) -> NDArray[np.float64]:
    """Enlarge so that the digit, without its margin, is so many pixels high."""
    fine = cv2.resize(ink, None, fx=_FINE, fy=_FINE, interpolation=cv2.INTER_CUBIC)
    crisp = np.clip((cv2.GaussianBlur(fine, (0, 0), _FINE / 4) - 0.45) * _EDGE + 0.5, 0, 1)
    scale = height / ((ink.shape[0] - 2) * _FINE)
    return np.asarray(cv2.resize(crisp, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA))


def _blend(sheet: Picture, cover: NDArray[np.float64], corner: tuple[int, int], pen: Pen) -> None:
    left, top = max(corner[0], 0), max(corner[1], 0)
    part = sheet[top : top + cover.shape[0], left : left + cover.shape[1]]
    through = 1 - cover[: part.shape[0], : part.shape[1], None] * (1 - np.array(pen.colour))
    part[:] = np.round(part * through)
