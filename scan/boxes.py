"""What ink lies in, on and around each printed box of a page.

All boxes of one size are cut out at once, with a margin. The print is the same in all of them, the
pen is not: so each measure of a box can be held against the same measure of the others.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from forms.field import Box
from scan.arrays import Floats, percentile
from scan.ink import PX_PER_MM, Area, grown
from scan.opencv import cv2

MARGIN_MM = 1.4  # cut out around a box
GRAIN_PX = 1.3  # sigma that smooths the paper's and the camera's grain away
SHARP_PX = 0.7  # sigma that leaves figures their shape
PAPER = 20  # percentile of a cut that is bare paper even in a filled box
CORE = 0.04  # share of the inside whose darkness counts: the darkest part of a thin stroke
INSIDE_MM = 0.72  # from the outline's middle inward: bold outlines stay out
LINE_MM = 0.5  # on both sides of an outline's middle
CORNER_MM = 0.7  # left out at both ends of an outline


@dataclass(frozen=True)
class Cuts:
    """Boxes of one size: darkness ``ink`` and smoothed ``soft``, both (N, H, W), paper taken off.

    ``width`` and ``height`` are the boxes'. [mm]
    """

    ink: Floats
    soft: Floats
    width: float
    height: float

    def window(self, pictures: Floats, box: Box) -> Floats:
        """Cut every picture down to a box whose origin is the printed box's corner. [mm]."""
        rows = _span(box.y, box.height, pictures.shape[1])
        columns = _span(box.x, box.width, pictures.shape[2])
        return pictures[:, rows, columns]

    def inside(self, pictures: Floats, inset: float = INSIDE_MM) -> Floats:
        """Cut every picture down to the inside of its box."""
        return self.window(pictures, grown(Box(0, 0, self.width, self.height), -inset))


def _span(start: float, length: float, most: int) -> slice:
    first = round((start + MARGIN_MM) * PX_PER_MM)
    return slice(max(first, 0), min(first + max(round(length * PX_PER_MM), 1), most))


def cuts_of(areas: Sequence[Area], boxes: Sequence[Box]) -> Cuts:
    """Cut boxes of one size out of the pieces of the page that they stand in."""
    pairs = zip(areas, boxes, strict=True)
    ink = np.stack([area.cut(grown(box, MARGIN_MM)) for area, box in pairs])
    ink -= percentile(ink[:, ::3, ::3].reshape(len(ink), -1), PAPER)[:, None, None]
    np.maximum(ink, 0, out=ink)
    soft = np.empty_like(ink)
    for one, smooth in zip(ink, soft, strict=True):
        cv2.GaussianBlur(one, (0, 0), GRAIN_PX, dst=smooth)
    return Cuts(ink, soft, boxes[0].width, boxes[0].height)


def nearest(boxes: Sequence[Box], count: int) -> np.ndarray:  # (N, K)
    """Numbers of the ``count`` boxes closest to each, itself first; at one distance, the first."""
    x, y = np.array(boxes, dtype=np.float32)[:, :2].T
    apart = np.maximum(np.abs(x[:, None] - x), np.abs(y[:, None] - y))
    apart = np.rint(1000 * apart).astype(np.int64)
    keys = np.partition(apart * len(boxes) + np.arange(len(boxes)), min(count, len(boxes)) - 1)
    return np.sort(keys[:, :count]) % len(boxes)


def stained(cuts: Cuts, darkness: float | np.ndarray) -> np.ndarray:  # (N,)
    """Share of the inside of each box that is darker than ``darkness``, or (N,) of them."""
    least = np.reshape(darkness, (-1, 1, 1))
    return np.asarray((cuts.inside(cuts.soft) > least).mean(axis=(1, 2)))


def cores(cuts: Cuts) -> np.ndarray:  # (N,)
    """Darkness of the darkest part inside each box."""
    inside = cuts.inside(cuts.soft).reshape(len(cuts.soft), -1)
    count = max(1, round(CORE * inside.shape[1]))
    return np.asarray(np.partition(inside, -count, axis=1)[:, -count:].mean(axis=1))


def outlines(cuts: Cuts, line: float = LINE_MM) -> np.ndarray:  # (N, 4)
    """Mean darkness along each side of each box's outline: left, right, above, below."""
    width, height, corner = cuts.width, cuts.height, CORNER_MM
    upright = [Box(x - line, corner, 2 * line, height - 2 * corner) for x in (0, width)]
    level = [Box(corner, y - line, width - 2 * corner, 2 * line) for y in (0, height)]
    means = [cuts.window(cuts.ink, strip).mean(axis=(1, 2)) for strip in (*upright, *level)]
    return np.stack(means, axis=1)


@dataclass(frozen=True)
class Shape:
    """The figure that ink makes in a box.

    ``cover`` is the dark share of the inside; ``runs`` how often a line across it meets ink, on
    average; ``parts`` how many pieces it has; ``size_mm`` the longer side of the largest; ``exits``
    how often, and ``outside`` on what share, ink crosses a walk around the outline; ``loops`` how
    much paper ink encloses [mm²]; ``thick_mm`` its widest place;
    ``arms`` how many of the four corners it reaches, if it leaves paper between them.
    """

    cover: float
    runs: float
    parts: int
    size_mm: float
    exits: int
    outside: float
    loops: float = 0.0
    thick_mm: float = 0.5
    arms: int = 0


WALK_MM = 0.6  # outside the outline
EDGE_MM = 0.5  # inside it, where the outline ends
SIDE_MM = 0.45  # of the inside: half the width and the depth of a side's middle
MOST_SIDE_INK = 0.4  # of it, with paper in it
LEAST_ARM = 0.25  # of a corner, twice as wide, with an arm of a cross in it
SKIP_PX = 5  # where a pen skips less, it is still one stroke
SKIPPING_RUNS = 1.75  # of a cross or tick in which it skips; letters have more
PART = 0.15  # share of the ink that makes a piece of its own


def shape_of(cuts: Cuts, at: int, core: float, soft_px: float = SHARP_PX) -> Shape:
    """Describe the ink in one box whose darkest part is as dark as ``core``.

    ``soft_px`` is the sigma that smooths its grain away. [px]
    """
    inside = cuts.inside(cuts.ink[at : at + 1], EDGE_MM)[0]
    dark = cv2.GaussianBlur(inside, (0, 0), soft_px) > 0.5 * core  # no outline blurs in
    parts, size = _parts(dark.astype(np.uint8))
    runs = _runs(dark)
    if parts > 1 and runs <= SKIPPING_RUNS:
        parts, _ = _parts(_without_skips(dark))
    picture = np.asarray(cv2.GaussianBlur(cuts.ink[at], (0, 0), soft_px), np.float32)
    walk = _walk(cuts, picture[None]) > 0.4 * core
    exits = int((walk & ~np.roll(walk, 1)).sum())
    outside, cover = float(walk.mean()), float(dark.mean())
    form = (_loops(dark), _thickness(dark), _arms(dark))
    return Shape(cover, runs, parts, size, exits, outside, *form)


def _without_skips(dark: np.ndarray) -> np.ndarray:
    """Close the gaps that a skipping pen leaves in its strokes (H, W)."""
    brush = np.ones((SKIP_PX, SKIP_PX), np.uint8)
    return np.asarray(cv2.morphologyEx(dark.astype(np.uint8), cv2.MORPH_CLOSE, brush))


def _parts(dark: np.ndarray) -> tuple[int, float]:
    """Count the pieces of a figure (H, W); and the longer side of the largest. [mm]."""
    _, _, stats, _ = cv2.connectedComponentsWithStats(dark, connectivity=8)
    stats = stats[1:]
    if not len(stats):
        return 0, 0.0
    areas = stats[:, cv2.CC_STAT_AREA]
    largest = stats[int(areas.argmax())]
    size = max(largest[cv2.CC_STAT_WIDTH], largest[cv2.CC_STAT_HEIGHT])
    free = (stats[:, :2] > 0).all(axis=1) & (stats[:, :2] + stats[:, 2:4] < dark.shape[::-1]).all(1)
    own = free | (areas == areas.max())  # the ends of others' strokes come in from outside
    return int((own & (areas >= max(PART * areas.sum(), 4))).sum()), float(size) / PX_PER_MM


def _loops(dark: np.ndarray) -> float:
    """Paper that a figure (H, W) encloses, as letters do and crosses don't. [mm²]."""
    _, labels, stats, _ = cv2.connectedComponentsWithStats((~dark).astype(np.uint8), connectivity=4)
    edge = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    inner = np.setdiff1d(np.arange(1, len(stats)), edge)
    return float(stats[inner, cv2.CC_STAT_AREA].max(initial=0)) / PX_PER_MM**2


def _arms(dark: np.ndarray) -> int:
    """Count the corners that a figure (H, W) reaches; none if it fills the sides between them."""
    deep, (rows, columns) = round(SIDE_MM * PX_PER_MM), dark.shape
    down, across = (slice(side // 2 - deep, side // 2 + deep) for side in (rows, columns))
    ends = (slice(None, deep), slice(-deep, None))
    middles = [dark[end, across] for end in ends] + [dark[down, end] for end in ends]
    wide = (slice(None, 2 * deep), slice(-2 * deep, None))
    corners = [dark[upper, left] for upper in wide for left in wide]
    closed = sum(float(middle.mean()) > MOST_SIDE_INK for middle in middles)
    return sum(float(corner.mean()) > LEAST_ARM for corner in corners) if closed <= 1 else 0


def _thickness(dark: np.ndarray) -> float:
    """Twice the largest distance of ink from paper in a figure (H, W). [mm]."""
    away = cv2.distanceTransform(dark.astype(np.uint8), cv2.DIST_L2, 3)
    return 2 * float(away.max()) / PX_PER_MM


def _runs(dark: np.ndarray) -> float:
    """How often rows, or columns if more, of a figure (H, W) meet ink; of those that do."""
    most = 0.0
    for lines in (dark, dark.T):
        counts = lines[:, 0] + (lines[:, 1:] & ~lines[:, :-1]).sum(axis=1)
        most = max(most, float(counts[counts > 0].mean()) if counts.any() else 0.0)
    return most


def _walk(cuts: Cuts, picture: Floats) -> Floats:
    """Darkness along a walk around a box, outside its outline."""
    far = grown(Box(0, 0, cuts.width, cuts.height), WALK_MM)
    ring = cuts.window(picture, far)[0]
    return np.concatenate([ring[0], ring[1:, -1], ring[-1, -2::-1], ring[-2:0:-1, 0]])
