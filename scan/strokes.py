"""Strokes that reach from one box to another."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from forms.field import Box
from scan.arrays import Floats
from scan.ink import PX_PER_MM, Area, Sight, grown
from scan.opencv import cv2

LONGEST_MM = 12.0  # between boxes of two rows that one stroke may join
ASTRAY_MM = 1.0  # how far to the side of both boxes it may run
EDGE_MM = 0.3  # beyond the outlines, which are no pen
STROKE_INK = 0.25  # darkness of a stroke
BESIDE_MM = 1.1  # around a box whose ink is to be explained
INSIDE_MM = 0.8  # into a box, beyond its outline
CIRCLE_MM = 5.0  # around a box, in which a circle around it would close
CIRCLE_PX_PER_MM = 4.0  # at which it is looked for
ROUND_MM = 0.5  # around a box: a circle holds more; its own outline's blur does not
OUTLINE_MM = 0.25  # on both sides of a box's own outline


def gap_between(upper: Box, lower: Box) -> Box | None:
    """Find the strip between two boxes, one below the other; None if no stroke would join them."""
    left = max(upper.x, lower.x) - ASTRAY_MM
    right = min(upper.x + upper.width, lower.x + lower.width) + ASTRAY_MM
    top, bottom = upper.y + upper.height + EDGE_MM, lower.y - EDGE_MM
    if not 0 < bottom - top <= LONGEST_MM or right <= left:
        return None
    return Box(left, top, right - left, bottom - top)


def is_crossed(ink: Floats) -> bool:
    """Tell whether one stroke crosses a strip (H, W) of darkness from top to bottom.

    Printed text between two rows keeps clear of both boxes; a pen that goes through does not.
    """
    dark = ink > STROKE_INK
    if not dark.any(axis=1).all():
        return False
    _, labels = cv2.connectedComponents(dark.astype(np.uint8), connectivity=8)
    return bool(set(labels[0][dark[0]]) & set(labels[-1][dark[-1]]))


@dataclass(frozen=True)
class Strokes:
    """Connected ink around a box: ``pieces`` (H, W), each with its number, 0 for paper."""

    pieces: Area
    box: Box

    def at(self, box: Box) -> set[float]:
        """Numbers of the pieces in a box. [mm]."""
        return set(np.unique(self.pieces.cut(box)).tolist()) - {0.0}

    def reach_into(self, boxes: Sequence[Box]) -> bool:
        """Tell whether ink at this box goes on to the inside of one of the others."""
        here = self.at(grown(self.box, BESIDE_MM))
        return any(here & self.at(grown(other, -INSIDE_MM)) for other in boxes)

    def astray(self) -> float:
        """How far the middle of the ink in this box lies from the box's. [half its width]."""
        ink = np.isin(self.pieces.ink, list(self.at(grown(self.box, -INSIDE_MM))))
        rows, columns = np.nonzero(ink)
        if not len(rows):
            return 0.0
        x = columns.mean() / PX_PER_MM + self.pieces.frame.x - self.box.x - self.box.width / 2
        y = rows.mean() / PX_PER_MM + self.pieces.frame.y - self.box.y - self.box.height / 2
        return float(max(abs(x), abs(y)) / (self.box.width / 2))


def strokes_at(sight: Sight, box: Box, reach: float, darkness: float) -> Strokes:
    """Follow the ink around a box.

    Parameters
    ----------
    sight : Sight
        The page.
    box : Box
        Whose ink is to be explained. [mm]
    reach : float
        How far around it. [mm]
    darkness : float
        From which on a place counts as inked.
    """
    area = sight.area(grown(box, reach))
    dark = cv2.morphologyEx(  # a pen that skips is still one stroke
        (area.ink > darkness).astype(np.uint8), cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8)
    )
    _, labels = cv2.connectedComponents(dark, connectivity=8)
    return Strokes(Area(labels.astype(np.float32), area.seen, area.frame), box)


def is_circled(sight: Sight, box: Box, darkness: float) -> bool:
    """Tell whether one stroke goes all the way around a box, as far as it looks for it.

    It holds more than the box does, or it is the blur of the box's outline.

    Parameters
    ----------
    sight : Sight
        The page.
    box : Box
        What might be circled. [mm]
    darkness : float
        From which on a place counts as inked.
    """
    frame = grown(box, CIRCLE_MM)
    ink, seen = sight.ink(frame, CIRCLE_PX_PER_MM)
    dark = (ink > darkness) & _off_outline(*ink.shape)
    walls = cv2.morphologyEx(dark.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((5, 5), np.uint8))
    size = ink.shape
    _, labels = cv2.connectedComponents(1 - walls, connectivity=4)
    edge = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    middle = labels[size[0] // 2, size[1] // 2]
    round_ = grown(box, ROUND_MM)
    least = round_.width * round_.height * CIRCLE_PX_PER_MM**2
    return bool(seen.all() and middle not in edge and (labels == middle).sum() > least)


@cache
def _off_outline(*size: int) -> np.ndarray:  # bool
    """Tell what is not the outline of the box in the middle of a picture (H, W) for circles."""
    off = np.ones(size, dtype=bool)
    for beyond, clear in ((-OUTLINE_MM, False), (OUTLINE_MM, True)):
        cut = round((CIRCLE_MM + beyond) * CIRCLE_PX_PER_MM)
        off[cut:-cut, cut:-cut] = clear
    return off
