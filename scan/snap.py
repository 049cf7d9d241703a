"""Bent paper, second step: the printed boxes themselves show where they lie.

Squares stand at the edges only; between them a curled page keeps its secrets. So the outlines of
all boxes are looked for near where the spline puts them, and what they say together corrects it.
Ink is cut down to the outlines' own grey first, or crosses would pull more than outlines do.
"""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache, lru_cache
from itertools import pairwise

import numpy as np
from scipy.interpolate import RBFInterpolator

from forms.field import Box, Note, boxes_of
from forms.layout import Page
from scan.arrays import Floats, Points
from scan.ink import Sight, grown
from scan.opencv import cv2
from scan.page import NODE_MM, Flat

BENT_MM = 0.06  # residual of the squares below which they place every box well enough
REACH_MM = 2.0  # how far outlines are looked for; under the white between boxes
OUTLINE_INK = 0.40  # darkness of a printed outline; ink is cut down to it
LINE_MM = 0.35  # width of an outline in the photo
LEAST_LIKENESS = 0.30  # correlation below which no outline was found
STRAY_MM = 0.35  # a field farther off than this from its neighbours' offset is left out
FEWEST = 5  # pieces to correct a page by
PROBES = 24  # pieces that are looked for first
MOST_PROBES = 0.9  # of them must be found
SETTLED_MM = (0.06, 0.15)  # median and largest offset of what needs no correction
LEAST_SEEN = 0.25  # of those that were looked for
SMOOTHING = 60.0  # of the correction; scipy's unit
SNAP_PX_PER_MM = 5.0  # at which outlines are looked for


def settled(sight: Sight, page: Page) -> Flat:
    """Correct a bent page by the outlines of its boxes.

    Parameters
    ----------
    sight : Sight
        The page as its squares alone put it.
    page : Page
        Where its boxes were printed.

    Returns
    -------
    Flat
        With the remaining disagreement of the boxes as its residual; unchanged where the paper is
        flat, or too few outlines can be seen.
    """
    flat = sight.flat
    if flat.residual_mm < BENT_MM:
        return flat
    pieces = _all_pieces(page)
    offset = cache(lambda at: _offset(sight, pieces[at]))
    probes = [offset(at) for at in range(0, len(pieces), max(1, len(pieces) // PROBES))]
    if _are_settled(probes):
        return flat
    found = [(*_middle(piece), *away) for at, piece in enumerate(pieces) if (away := offset(at))]
    seen = np.array(found).reshape(-1, 4)
    if len(seen) < max(FEWEST, LEAST_SEEN * len(pieces)):
        return flat
    places, offsets = _with_squares(flat, seen)
    smooth, left = _smooth(places, offsets)
    return replace(_moved(flat, smooth), residual_mm=left, model=f"{flat.model} and boxes")


def _all_pieces(page: Page) -> list[Sequence[Box]]:
    """List the runs of boxes whose outlines are looked for."""
    fields = [field for field in page.fields if not isinstance(field, Note)]
    return [boxes for field in fields for boxes in _pieces(boxes_of(field))]


def _are_settled(offsets: Sequence[tuple[float, float] | None]) -> bool:
    """Tell whether the squares already put the outlines of some boxes where they are."""
    away = [float(np.hypot(*offset)) for offset in offsets if offset is not None]
    found = len(away) > MOST_PROBES * len(offsets)
    return bool(found and np.median(away) < SETTLED_MM[0] and max(away) < SETTLED_MM[1])


def _pieces(boxes: Sequence[Box]) -> list[Sequence[Box]]:
    """Split a long row, which may be bent in itself, into runs of about four boxes."""
    count = max(1, round(len(boxes) / 4))
    bounds = np.linspace(0, len(boxes), count + 1).round().astype(int)
    return [boxes[a:b] for a, b in pairwise(bounds)]


def _middle(boxes: Sequence[Box]) -> tuple[float, float]:
    sides = np.array(boxes)
    middle = (sides[:, :2] + sides[:, 2:] / 2).mean(axis=0)
    return float(middle[0]), float(middle[1])


def _offset(sight: Sight, boxes: Sequence[Box]) -> tuple[float, float] | None:
    """Find how far boxes lie from where they should. [mm]."""
    sides = np.array(boxes)
    left, top = sides[:, :2].min(axis=0)
    right, bottom = (sides[:, :2] + sides[:, 2:]).max(axis=0)
    frame = grown(Box(left, top, right - left, bottom - top), REACH_MM + 1.0)
    ink, seen = sight.ink(frame, SNAP_PX_PER_MM)
    if not seen.all():
        return None
    inner = grown(frame, -REACH_MM)
    near = tuple(Box(round(x - inner.x, 3), round(y - inner.y, 3), w, h) for x, y, w, h in boxes)
    pattern = _outlines(near, Box(0, 0, round(inner.width, 3), round(inner.height, 3)))
    likeness = cv2.matchTemplate(
        np.minimum(ink, OUTLINE_INK).astype(np.float32), pattern, cv2.TM_CCOEFF_NORMED
    )
    return _peak(np.asarray(likeness, dtype=np.float32))


@lru_cache(maxsize=256)
def _outlines(boxes: tuple[Box, ...], frame: Box) -> Floats:
    """Draw the outlines of boxes alone."""
    scale = SNAP_PX_PER_MM
    size = (round(frame.height * scale), round(frame.width * scale))
    pattern = np.zeros(size, dtype=np.float32)
    for box in boxes:
        outer = _filled(grown(box, LINE_MM / 2), frame, size)
        inner = _filled(grown(box, -LINE_MM / 2), frame, size)
        pattern = np.maximum(pattern, outer - inner)
    return pattern


def _filled(box: Box, frame: Box, size: tuple[int, int]) -> Floats:
    """Share of each pixel that a rectangle covers."""
    scale = SNAP_PX_PER_MM
    down = _covered((box.y - frame.y) * scale, (box.y + box.height - frame.y) * scale, size[0])
    across = _covered((box.x - frame.x) * scale, (box.x + box.width - frame.x) * scale, size[1])
    return np.outer(down, across).astype(np.float32)


def _covered(start: float, end: float, count: int) -> np.ndarray:
    at = np.arange(count)
    return np.asarray(np.clip(np.minimum(at + 1, end) - np.maximum(at, start), 0, 1))


def _peak(likeness: Floats) -> tuple[float, float] | None:
    """Offset of the best match, to a fraction of a pixel. [mm]."""
    row, column = (int(at) for at in np.unravel_index(np.argmax(likeness), likeness.shape))
    rows, columns = likeness.shape
    at_edge = row in (0, rows - 1) or column in (0, columns - 1)
    if at_edge or likeness[row, column] < LEAST_LIKENESS:
        return None
    x = column + _vertex(likeness[row, column - 1 : column + 2])
    y = row + _vertex(likeness[row - 1 : row + 2, column])
    return x / SNAP_PX_PER_MM - REACH_MM, y / SNAP_PX_PER_MM - REACH_MM


def _vertex(three: Floats) -> float:
    """Vertex of the parabola through three neighbours, from the middle one. [px]."""
    left, middle, right = (float(value) for value in three)
    bend = left - 2 * middle + right
    return 0.0 if bend >= 0 else float(np.clip((left - right) / (2 * bend), -0.5, 0.5))


def _with_squares(flat: Flat, seen: np.ndarray) -> tuple[Points, Points]:
    """Add the squares, which are where they are."""
    places = np.concatenate([seen[:, :2], flat.hull])
    offsets = np.concatenate([seen[:, 2:], np.zeros_like(flat.hull)])
    return places, offsets


def _smooth(places: Points, offsets: Points) -> tuple[RBFInterpolator, float]:
    """Fit a smooth correction, without those that stray; and what it leaves. [mm]."""
    keep = np.ones(len(places), dtype=bool)
    for _ in range(3):
        smooth = RBFInterpolator(
            places[keep], offsets[keep], kernel="thin_plate_spline", smoothing=SMOOTHING
        )
        left = np.linalg.norm(smooth(places) - offsets, axis=1)
        limit = max(STRAY_MM, 3 * float(np.median(left)))
        if (left[keep] <= limit).all():
            break
        keep = left <= limit
    return smooth, float(np.sqrt(np.mean(left[keep] ** 2)))


def _moved(flat: Flat, smooth: RBFInterpolator) -> Flat:
    """Shift every place of the page by its correction."""
    rows, columns = flat.nodes.shape[:2]
    ys, xs = np.mgrid[:rows, :columns] * NODE_MM
    points = np.stack([xs.ravel(), ys.ravel()], axis=1)
    nodes = flat.at(points + smooth(points)).reshape(rows, columns, 2)
    return replace(flat, nodes=nodes.astype(np.float32))
