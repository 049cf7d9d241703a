"""A written shape, cut out of its box and brought to one size."""

from dataclasses import dataclass

import numpy as np

from scan.arrays import Floats
from scan.opencv import cv2

SIDE = 28  # pixels of the normalised picture
BODY = 20  # the shape's longer side in it; the convention of the MNIST data set
EDGE_SHARE = 0.07  # of a cell, at each edge, where a rest of the box may be
LINE_SHARE = 0.7  # of a row or column that is dark in such a rest
FAINTEST = 0.10  # darkness below this is paper


@dataclass(frozen=True)
class Glyph:
    """A shape and what tells digits from other shapes.

    ``picture`` is (28, 28), 0 paper to 1 ink; ``aspect`` width over height; ``height`` the share of
    the cell's height; ``stroke`` the mean pen width over the shape's longer side; ``ink`` the
    inked share of its frame.
    """

    picture: Floats
    aspect: float
    height: float
    stroke: float
    ink: float


def glyph_of(cell: Floats) -> Glyph | None:
    """Cut the written shape out of a cell.

    Parameters
    ----------
    cell : ndarray of shape (H, W)
        Darkness of the inside of a box: 0 paper, 1 black.

    Returns
    -------
    Glyph or None
        None if nothing but specks and rests of the box's lines is in it.
    """
    mask = _written(cell)
    if not mask.any():
        return None
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    frame = np.s_[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    shape, inked = np.where(mask, cell, 0.0)[frame], mask[frame]
    height, width = shape.shape
    return Glyph(
        picture=_centred(_sized(shape)),
        aspect=width / height,
        height=height / cell.shape[0],
        stroke=stroke_width(inked) / max(height, width),
        ink=float(inked.mean()),
    )


def _written(cell: Floats) -> np.ndarray:  # (H, W) bool
    """Mark the pixels of the pen, without specks and rests of the box."""
    peak = float(np.percentile(cell, 99.5))
    mask = _without_lines(cell > max(FAINTEST, 0.3 * peak)).astype(np.uint8)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=8)
    keep = [i for i in range(1, count) if _is_pen(stats[i], cell.shape)]
    around = cv2.dilate(np.isin(labels, keep).astype(np.uint8), np.ones((3, 3), np.uint8))
    return np.asarray((around > 0) & (cell > FAINTEST / 2))


def _without_lines(mask: np.ndarray) -> np.ndarray:  # (H, W) bool
    """Clear rows and columns at the very edge that are dark from end to end: the box's lines."""
    rows, columns = mask.shape
    dark_rows = mask.mean(axis=1) > LINE_SHARE
    dark_columns = mask.mean(axis=0) > LINE_SHARE
    edge_rows, edge_columns = round(EDGE_SHARE * rows), round(EDGE_SHARE * columns)
    dark_rows[edge_rows : rows - edge_rows] = False
    dark_columns[edge_columns : columns - edge_columns] = False
    return np.asarray(mask & ~dark_rows[:, None] & ~dark_columns)


def _is_pen(stat: np.ndarray, shape: tuple[int, ...]) -> bool:
    """Tell a stroke from a speck or the rest of a box line at the cell's edge."""
    x, y, width, height, area = (int(value) for value in stat[:5])
    rows, columns = shape
    if area < 0.004 * rows * columns:
        return False
    upright_rest = width < 0.12 * columns and (x <= 1 or x + width >= columns - 1)
    flat_rest = height < 0.08 * rows and (y <= 1 or y + height >= rows - 1)
    return not (upright_rest or flat_rest)


def stroke_width(mask: np.ndarray) -> float:
    """Mean pen width: area over half the outline's length. [px]."""
    contours, _ = cv2.findContours(mask.astype(np.uint8), cv2.RETR_LIST, cv2.CHAIN_APPROX_NONE)
    outline = sum(cv2.arcLength(contour, closed=True) for contour in contours)
    return 2 * float(mask.sum()) / max(outline, 1.0)


def _sized(shape: Floats) -> Floats:
    """Bring the longer side to ``BODY`` pixels and the ink to full black."""
    height, width = shape.shape
    factor = BODY / max(height, width)
    size = (max(1, round(width * factor)), max(1, round(height * factor)))
    small = cv2.resize(shape.astype(np.float32), size, interpolation=cv2.INTER_AREA)
    black = float(np.percentile(small[small > 0.02], 90)) if (small > 0.02).any() else 1.0
    return np.asarray(np.clip(small / black, 0.0, 1.0), dtype=np.float32)


def _centred(small: Floats) -> Floats:
    """Put the centre of mass into the middle of the picture."""
    ys, xs = np.mgrid[: small.shape[0], : small.shape[1]]
    total = max(float(small.sum()), 1e-6)
    shift = (
        SIDE / 2 - 0.5 - float((xs * small).sum()) / total,
        SIDE / 2 - 0.5 - float((ys * small).sum()) / total,
    )
    move = np.array([[1, 0, shift[0]], [0, 1, shift[1]]], dtype=np.float32)
    return np.asarray(cv2.warpAffine(small, move, (SIDE, SIDE), flags=cv2.INTER_LINEAR))
