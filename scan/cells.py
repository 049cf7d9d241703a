"""The boxes of a number: where their outlines lie, what ink is left without them.

People write over the outline of a box: a seven keeps its bar there, a two its foot. So the outline
is not cut off but looked for, its darkness measured where no pen went, and taken off the ink.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from forms.field import Box
from scan.arrays import Floats
from scan.boxes import GRAIN_PX
from scan.glyph import Glyph, Window, glyph_of
from scan.ink import PX_PER_MM, Area
from scan.opencv import cv2

ASTRAY_MM = 1.0  # boxes of a number may lie as far from where the page's squares put them
CORNER_MM = 1.3  # of a side, at both ends, that says nothing about the side
BARE = 0.3  # share of a side that no pen covers, and more
OUTLINE_MM = 0.6  # on both sides of an outline's middle its blur ends
SLACK = 1.25  # as much darker than its sides are on the whole an outline may be at one place
SPECK = 0.06  # darkness near an outline that is none
ABOVE_MM = 1.2  # a digit may leave its box by this above and below
BESIDE_MM = 0.4  # and at the sides, where the next box or a printed point stands
INNER_MM = 0.4  # inside the outline's middle a box is all the pen's
NOISE = 0.05  # darkness of what grain is left in smoothed paper
BARE_SHARES = (0.05, 0.25)  # of a box that no pen covers: their darkness tells grain
GRAINS = 5.0  # as many times as they differ, paper's grain may be darker than they
MOST_NOISE = 0.2  # darkness that is no grain
SHAPELESS = 0.003  # mean ink of a box below which no shape is looked for; digits have .005 and more
BLANK = 0.0018  # and below which it is empty; of 4,700 that are, none between .0015 and .003
HIDES = 0.95  # darkness of print on which no pen is seen
RULED = 0.15  # darkness of a printed rule, along the least of its length that is not covered


@dataclass(frozen=True)
class Cell:
    """What one digit box holds: nothing, a shape, or ink that is no shape."""

    glyph: Glyph | None
    ink: float

    @property
    def is_blank(self) -> bool:
        """Nothing was written."""
        return self.glyph is None and self.ink < BLANK


def cells_of(area: Area, boxes: Sequence[Box]) -> list[Cell]:
    """Cut the boxes of a number out of their piece of the page, without their outlines.

    Parameters
    ----------
    area : Area
        The boxes with a rim of ``ASTRAY_MM + ABOVE_MM + OUTLINE_MM``.
    boxes : sequence of Box
        Where their outlines lie: see ``in_place``. [mm]
    """
    placed = [_pixels(area, box) for box in boxes]
    ink = _without_outlines(_without_rules(np.clip(area.ink, 0, 1), placed), placed)
    return [_cell(ink, box) for box in placed]


def in_place(area: Area, boxes: Sequence[Box]) -> list[Box]:
    """Look for the outlines of a number's boxes; all of them lie off their place by the same. [mm].

    A pen covers a part of a side, an outline all of it.
    """
    placed, most, corner = [_pixels(area, box) for box in boxes], _px(ASTRAY_MM), _px(CORNER_MM)
    down = across = np.zeros(2 * most + 1)
    for box in placed:
        rows = _bare(area.ink[:, box.left + corner : box.right - corner].T)
        columns = _bare(area.ink[box.top + corner : box.bottom - corner])
        down = down + _both(rows, (box.top, box.bottom), most)
        across = across + _both(columns, (box.left, box.right), most)
    dx, dy = ((int(np.argmax(dark)) - most) / PX_PER_MM for dark in (across, down))
    return [box.moved(dx, dy) for box in boxes]


@dataclass(frozen=True)
class _Pixels:
    """A box in the pixels of its area: the middles of its outline."""

    left: int
    top: int
    right: int
    bottom: int

    def grown(self, beside: float, above: float) -> Window:
        """Rows and columns of the box, widened at its sides and above and below. [mm]."""
        across, down = _px(beside), _px(above)
        return (
            slice(max(self.top - down, 0), self.bottom + down),
            slice(max(self.left - across, 0), self.right + across),
        )


def _px(length: float) -> int:
    return round(length * PX_PER_MM)


def _pixels(area: Area, box: Box) -> _Pixels:
    left, top = _px(box.x - area.frame.x), _px(box.y - area.frame.y)
    return _Pixels(left, top, left + _px(box.width), top + _px(box.height))


def _bare(strip: Floats) -> Floats:
    """Darkness across a strip (along, across), where the least of its length is covered."""
    at = int(BARE * len(strip))
    return np.asarray(np.partition(strip, at, axis=0)[at])


def _least(picture: Floats, share: float) -> float:
    """Darkness that a share of a picture stays below."""
    at = int(share * picture.size)
    return float(np.partition(picture.ravel(), at)[at])


def _both(profile: Floats, sides: tuple[int, int], most: int) -> Floats:
    """Darkness (2 most + 1,) of the paler of two opposite sides, if they lie off their place.

    Other rules of the form are not as far from each other. The place itself wins if all is even.
    """
    soft = np.convolve(np.pad(profile, most), np.ones(3) / 3, "same")
    nearer = 1e-3 * (1 - np.abs(np.arange(-most, most + 1)) / most)
    return np.asarray(np.min([soft[at : at + 2 * most + 1] for at in sides], axis=0) + nearer)


def _without_rules(dark: Floats, boxes: Sequence[_Pixels]) -> Floats:
    """Darkness (H, W) without rules that run along above or below boxes, where digits reach to."""
    line = _bare(dark.T)
    line[max(boxes[0].top - _px(OUTLINE_MM), 0) : boxes[0].bottom + _px(OUTLINE_MM) + 1] = 0
    if line.max() < RULED:
        return dark
    wide = cv2.dilate(line[:, None], np.ones((3, 1), np.uint8))
    printed = np.asarray(np.minimum(SLACK * wide, HIDES), np.float32)
    left = np.maximum(dark - printed, 0) / (1 - printed)
    return np.asarray(np.where(printed < HIDES, left, 0), np.float32)


_Side = tuple[Window, bool]


def _sides(box: _Pixels) -> Iterator[_Side]:
    """Give strips around the four sides of a box's outline, and whether each is upright."""
    reach = _px(OUTLINE_MM)
    for x in (box.left, box.right):
        yield (slice(box.top - reach, box.bottom + reach), slice(x - reach, x + reach + 1)), True
    for y in (box.top, box.bottom):
        yield (slice(y - reach, y + reach + 1), slice(box.left - reach, box.right + reach)), False


def _without_outlines(dark: Floats, boxes: Sequence[_Pixels]) -> Floats:
    """Darkness (H, W) with the outlines of boxes taken off; what a pen adds to them is left."""
    sides = [side for box in boxes for side in _sides(box)]
    profile = np.median([_profile(dark, side) for side in sides], axis=0)
    line = np.minimum(SLACK * profile + SPECK, HIDES).astype(np.float32)
    printed = np.zeros_like(dark)
    for window, upright in sides:
        strip = printed[window]
        np.maximum(strip, line if upright else line[:, None], out=strip)
    return np.asarray(np.maximum(dark - printed, 0) / (1 - printed), np.float32)


def _profile(dark: Floats, side: _Side) -> Floats:
    """Darkness across a side's outline where no pen went over it."""
    strip, corner = dark[side[0]] if side[1] else dark[side[0]].T, _px(CORNER_MM)
    return _bare(strip[corner:-corner])


def _cell(ink: Floats, box: _Pixels) -> Cell:
    inner = ink[box.grown(-INNER_MM, -INNER_MM)]
    soft = np.asarray(cv2.GaussianBlur(inner, (0, 0), GRAIN_PX), np.float32)
    low, paper = (_least(soft, share) for share in BARE_SHARES)
    noise = min(max(NOISE, paper + GRAINS * (paper - low)), MOST_NOISE)
    mean = float(np.clip(soft - noise, 0, 1).mean())
    if mean < SHAPELESS and not _is_written_at_edge(ink, box, noise):
        return Cell(None, mean)
    rows, columns = box.grown(BESIDE_MM, ABOVE_MM)
    inside = (
        slice(box.top - rows.start, box.bottom - rows.start),
        slice(box.left - columns.start, box.right - columns.start),
    )
    return Cell(glyph_of(ink[rows, columns], inside), mean)


def _is_written_at_edge(ink: Floats, box: _Pixels, noise: float) -> bool:
    """Tell whether a pen went along a side of a box that is empty inside."""
    whole = cv2.GaussianBlur(ink[box.grown(0, 0)], (0, 0), GRAIN_PX)
    return float(np.clip(whole - noise, 0, 1).mean()) >= 2 * SHAPELESS
