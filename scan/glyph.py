"""A written shape, cut out of its box and brought to one size."""

from dataclasses import dataclass

import numpy as np

from scan.arrays import Floats
from scan.opencv import cv2

SIDE = 28  # pixels of the normalised picture
BODY = 20  # the shape's longer side in it; the convention of the MNIST data set
GRAIN_PX = 0.8  # sigma that smooths the paper's grain, and no stroke
FAINTEST = 0.10  # darkness below this is paper
PEAK = 15  # pixels that are darker than what counts as the pen's own darkness
SPECK = 0.004  # share of the box that the smallest stroke covers
OWN = 0.5  # share of a stroke that lies in its own box
REST_SHARE = 0.09  # of a box, on both sides of its outline, where a rest of it may be
REST_DARK = 0.3  # darkness of such a rest
REST_PALE = 0.5  # and as a share of the pen's

Window = tuple[slice, slice]


@dataclass(frozen=True)
class Glyph:
    """A shape and what tells digits from other shapes.

    ``picture`` is (28, 28), 0 paper to 1 ink; ``aspect`` width over height; ``height`` the share of
    the box's height; ``stroke`` the mean pen width over the shape's longer side; ``ink`` the
    inked share of its frame; ``beyond`` the share of its ink above and below the box.
    """

    picture: Floats
    aspect: float
    height: float
    stroke: float
    ink: float
    beyond: float = 0.0


def glyph_of(cell: Floats, inside: Window | None = None) -> Glyph | None:
    """Cut the written shape out of a cell.

    Parameters
    ----------
    cell : ndarray of shape (H, W)
        Darkness: 0 paper, 1 black.
    inside : tuple of two slices, optional
        Rows and columns of the box; the cell around it holds what a digit may reach into. All of
        the cell if left out.

    Returns
    -------
    Glyph or None
        None if nothing but specks, rests of the box's lines and neighbours' strokes is in it.
    """
    inside = inside or (slice(0, cell.shape[0]), slice(0, cell.shape[1]))
    mask = _written(cell, inside)
    if not mask.any():
        return None
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    frame = np.s_[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    shape, inked = np.where(mask, cell, 0.0)[frame], mask[frame]
    height, width = shape.shape
    return Glyph(
        picture=_centred(_sized(shape)),
        aspect=width / height,
        height=height / (inside[0].stop - inside[0].start),
        stroke=stroke_width(inked) / max(height, width),
        ink=float(inked.mean()),
        beyond=_beyond(mask, inside),
    )


def _written(cell: Floats, inside: Window) -> np.ndarray:  # (H, W) bool
    """Mark the pixels of the pen, without specks, rests of the box and neighbours' strokes."""
    cell = np.asarray(cv2.GaussianBlur(cell, (0, 0), GRAIN_PX))
    peak = float(np.partition(cell[inside].ravel(), -PEAK)[-PEAK])
    dark = (cell > max(FAINTEST, 0.3 * peak)).astype(np.uint8)
    joined = cv2.morphologyEx(dark, cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(joined, connectivity=8)
    own = np.bincount(labels[inside].ravel(), minlength=count)
    size = float(np.prod(labels[inside].shape))
    keep = [
        at
        for at in range(1, count)
        if own[at] >= max(SPECK * size, OWN * stats[at, cv2.CC_STAT_AREA])
        and not _is_rest(cell[labels == at], stats[at], inside, peak)
    ]
    around = cv2.dilate(np.isin(labels, keep).astype(np.uint8), np.ones((3, 3), np.uint8))
    return np.asarray((around > 0) & (cell > FAINTEST / 2))


def _is_rest(ink: Floats, stat: np.ndarray, inside: Window, peak: float) -> bool:
    """Tell a rest of the box's outline: thin, along one side of it, and paler than the pen."""
    left, top, width, height = (int(value) for value in stat[:4])
    spans = ((top, height, inside[0]), (left, width, inside[1]))
    along = any(
        abs(start + length / 2 - line) + length / 2 <= REST_SHARE * (side.stop - side.start)
        for start, length, side in spans
        for line in (side.start, side.stop)
    )
    return along and float(ink.mean()) < max(REST_DARK, REST_PALE * peak)


def _beyond(mask: np.ndarray, inside: Window) -> float:
    """Share of a shape (H, W) above and below its box."""
    return 1 - float(mask[inside[0]].sum()) / float(mask.sum())


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
