"""Figures that look like several others of their page: its hand marks boxes so, whatever they are.

A hand repeats itself: the loop of its crosses, the blot that a felt tip makes of a dot, the gap
where its pen skips; but for these, some of its marks are like others that are beyond doubt.
Letters, drops and scribbles are not, nor are burns and punched holes.
"""

from collections.abc import Iterator, Sequence

import numpy as np

from scan.arrays import Floats
from scan.boxes import Cuts
from scan.opencv import cv2
from scan.traces import insides

ALIKE = 0.74  # correlation of two figures that are alike, moved and scaled to fit
LIKE = 4  # proper marks that are like a usual figure
SIZES = (0.85, 1.0, 1.18)  # of the other figure
REACH_PX = 2  # by which it may be moved
MOST_INK = 1.2  # times a core; nothing is darker


def repeated(
    cuts: Cuts, cores: np.ndarray, proper: Sequence[int], asked: Sequence[int]
) -> set[int]:
    """Find the figures that at least four proper marks of a page look like.

    Parameters
    ----------
    cuts : Cuts
        Boxes of one size.
    cores : ndarray of shape (N,)
        How dark each one's ink is.
    proper : sequence of int
        Places of the boxes whose marks are beyond doubt; holes and burns may be all alike.
    asked : sequence of int
        Places of those whose figures are asked about.
    """
    if not asked or len(proper) < LIKE:
        return set()
    inks = insides(cuts) / np.maximum(cores, 1e-6)[:, None, None]
    inks = np.minimum(inks, MOST_INK).astype(np.float32)
    here = _units(inks[list(asked)])
    best = np.full((len(asked), len(proper)), -1.0, np.float32)
    for moved in _moved(inks[list(proper)]):
        np.maximum(best, here @ _units(moved).T, out=best)
    likes = (best >= ALIKE).sum(axis=1)
    return {at for at, count in zip(asked, likes, strict=True) if count >= LIKE}


def _units(pictures: Floats) -> Floats:  # (N, P)
    """Pictures (N, H, W) as vectors of no sum and length 1."""
    flat = pictures.reshape(len(pictures), -1)
    flat = flat - flat.mean(axis=1, keepdims=True)
    return np.asarray(flat / np.maximum(np.linalg.norm(flat, axis=1, keepdims=True), 1e-6))


def _moved(pictures: Floats) -> Iterator[Floats]:
    """Pictures (N, H, W) a little larger and smaller, and a little to all sides."""
    rows, columns = pictures.shape[1:]
    places = [(y, x) for y in range(2 * REACH_PX + 1) for x in range(2 * REACH_PX + 1)]
    for size in SIZES:
        scaled = np.stack([_scaled(one, size) for one in pictures])
        yield from (scaled[:, y : y + rows, x : x + columns] for y, x in places)


def _scaled(picture: Floats, size: float) -> Floats:
    """Scale a picture (H, W) around its middle, with room around it."""
    rows, columns = picture.shape
    middle = np.array(((columns - 1) / 2, (rows - 1) / 2))
    shift = middle + REACH_PX - size * middle
    matrix = np.array(((size, 0, shift[0]), (0, size, shift[1])))
    return np.asarray(
        cv2.warpAffine(picture, matrix, (columns + 2 * REACH_PX, rows + 2 * REACH_PX))
    )
