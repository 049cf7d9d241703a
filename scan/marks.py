"""Marks in boxes: none, one, two, faint, filled, beside, and strokes through several rows.

The share of ink inside a box decides, after what the box's own outline and the camera's blur put
there in this photo has been taken off. Between "blank" and "inked" lies a band in which nothing is
claimed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np

from forms.field import Box
from scan.arrays import Floats
from scan.ink import Area
from scan.opencv import cv2
from scan.reading import Reading, Status, Value, Why

INNER = 0.70  # share of a box's side that is looked at: its outline stays out
NOISE = 0.07  # darkness below this is grain of paper and camera
BLANK = 0.006  # mean ink below which nothing was written; clean boxes of bad photos had 0.0015
INKED = 0.018  # above which a mark is there; the faintest slash of a hard pencil had 0.019
FAINTEST_BLACK = 0.2  # darkness of the faintest pen
SOLID = 0.55  # share of the inside that is dark in a filled or scribbled box
SPILL = 0.07  # mean ink on both sides when a scribble leaves its box
ASIDE = 0.10  # mean ink beside boxes that a stray line does not reach
CLOSE_MM = 4.0  # boxes of one scale stand nearer to each other
SPILL_MM = (0.35, 0.85)  # where a scribble's overrun is looked for
RIM_MM = (0.45, 1.05)  # where marks beside a box are looked for, outward from its outline
LONGEST_MM = 12.0  # between boxes of two rows that one stroke may join
ASTRAY_MM = 1.0  # how far to the side of both boxes it may run
EDGE_MM = 0.3  # beyond the outlines, which are no pen
STROKE_INK = 0.25  # darkness of a stroke


class Level(Enum):
    """How much ink a box holds."""

    BLANK = 0
    FAINT = 1
    INKED = 2


@dataclass(frozen=True)
class BoxInk:
    """Ink of one box: mean inside, dark share inside, mean beside (left and right), dark rim."""

    mean: float
    solid: float
    beside: float
    rim: float

    @property
    def level(self) -> Level:
        """Blank, faint or inked."""
        if self.mean < BLANK:
            return Level.BLANK
        return Level.INKED if self.mean >= INKED else Level.FAINT

    @property
    def is_solid(self) -> bool:
        """Tell a filled or scribbled box from a cross or tick."""
        return self.solid >= SOLID


def shrunk(box: Box, share: float) -> Box:
    """Cut a box down around its middle."""
    dx, dy = box.width * (1 - share) / 2, box.height * (1 - share) / 2
    return Box(box.x + dx, box.y + dy, box.width - 2 * dx, box.height - 2 * dy)


def grown(box: Box, by: float) -> Box:
    """Widen a box on all sides. [mm]."""
    return Box(box.x - by, box.y - by, box.width + 2 * by, box.height + 2 * by)


def box_inks(area: Area, boxes: Sequence[Box]) -> list[BoxInk]:
    """Measure the boxes of one field, which are of one size."""
    inside = _cuts(area, [shrunk(box, INNER) for box in boxes])  # (N, pixels)
    black = np.maximum(np.percentile(inside, 95, axis=1), FAINTEST_BLACK)
    solid = (inside > 0.5 * black[:, None]).mean(axis=1)
    around, spilt = (
        np.stack([_mean_ink(_cuts(area, strip)) for strip in _rims(boxes, reach)], axis=1)
        for reach in (RIM_MM, SPILL_MM)
    )
    means, rim = _mean_ink(inside), spilt.min(axis=1)
    beside = np.where(_bare_sides(boxes), around, 0).max(axis=1)
    return [BoxInk(*map(float, row)) for row in zip(means, solid, beside, rim, strict=True)]


def _rims(boxes: Sequence[Box], reach: tuple[float, float]) -> tuple[list[Box], list[Box]]:
    """Give the strips to the left and right of each box, from and to so far outside it. [mm]."""
    near, far = reach
    left = [Box(box.x - far, box.y, far - near, box.height) for box in boxes]
    right = [Box(box.x + box.width + near, box.y, far - near, box.height) for box in boxes]
    return left, right


def _bare_sides(boxes: Sequence[Box]) -> np.ndarray:  # (N, 2) bool
    """Tell on which sides of each box, left and right, no print is to be expected.

    Between the boxes of a scale there is none; elsewhere a label may stand at the right.
    """
    sides = np.array(boxes)
    gaps = sides[1:, 0] - (sides[:-1, 0] + sides[:-1, 2])
    level = np.abs(np.diff(sides[:, 1])) < 1.0
    close = level & (gaps > 0) & (gaps < CLOSE_MM)
    right, left = np.append(close, False), np.insert(close, 0, False)
    alone = ~left & ~right  # the first box of a scale has its row's name at its left
    return np.stack([left | alone, right], axis=1)


def _cuts(area: Area, boxes: Sequence[Box]) -> Floats:  # (N, pixels)
    return np.stack([area.cut(box).ravel() for box in boxes])


def _mean_ink(inks: Floats) -> np.ndarray:  # (N,)
    return np.asarray(np.clip(inks - NOISE, 0, 1).mean(axis=1))


def without_floor(inks: Sequence[BoxInk]) -> list[BoxInk]:
    """Take off what the print itself leaves in the boxes of this photo.

    Most boxes of a page are blank, so the lower half of all boxes shows what outlines and blur put
    into a blank one.
    """
    if not inks:
        return []
    floor = float(np.percentile([ink.mean for ink in inks], 25))
    floor = min(floor, 2 * BLANK)
    return [BoxInk(max(0.0, ink.mean - floor), ink.solid, ink.beside, ink.rim) for ink in inks]


def read_tick(ink: BoxInk) -> Reading:
    """Say whether one box is marked."""
    if ink.level is Level.FAINT:
        return Reading(Status.DOUBTFUL, True, 0.6, Why.FAINT)
    if ink.level is Level.BLANK:
        return _unmarked(ink, Reading(Status.SURE, False, _surely(ink)), False)
    if ink.is_solid and ink.rim > SPILL:
        return Reading(Status.DOUBTFUL, True, 0.6, Why.FILLED)
    return Reading(Status.SURE, True, _surely(ink))


def read_choice(values: Sequence[int | str], inks: Sequence[BoxInk]) -> Reading:
    """Say which box of a row is marked.

    Two inked boxes are a doubt whose best guess is the one not scribbled out, or else the darker.
    """
    ranks = sorted(range(len(inks)), key=lambda at: inks[at].mean, reverse=True)
    written = [at for at in ranks if inks[at].level is not Level.BLANK]
    if not written:
        nearest = max(inks, key=lambda ink: ink.beside)
        guess = values[list(inks).index(nearest)]
        return _unmarked(nearest, Reading(Status.EMPTY, None, min(map(_surely, inks))), guess)
    if len(written) > 1:
        return _two_marks(values, inks, written)
    return _one_mark(values[written[0]], inks[written[0]])


def _one_mark(value: Value, ink: BoxInk) -> Reading:
    if ink.level is Level.FAINT:
        return Reading(Status.DOUBTFUL, value, 0.6, Why.FAINT)
    if ink.is_solid and ink.rim > SPILL:
        return Reading(Status.DOUBTFUL, value, 0.6, Why.FILLED)
    return Reading(Status.SURE, value, _surely(ink))


def _two_marks(values: Sequence[int | str], inks: Sequence[BoxInk], at: list[int]) -> Reading:
    clean = [place for place in at if not inks[place].is_solid]
    if clean and len(clean) < len(at):
        chance = 0.9 if len(clean) == 1 and inks[clean[0]].level is Level.INKED else 0.5
        return Reading(Status.DOUBTFUL, values[clean[0]], chance, Why.FILLED)
    share = inks[at[0]].mean / sum(inks[place].mean for place in at)
    return Reading(Status.DOUBTFUL, values[at[0]], round(0.9 * share, 3), Why.TWO_MARKS)


def _unmarked(ink: BoxInk, blank: Reading, guess: Value) -> Reading:
    """Take a blank row for blank, unless there is ink close beside its boxes."""
    if ink.beside < ASIDE:
        return blank
    return Reading(Status.DOUBTFUL, guess, 0.5, Why.BESIDE)


def _surely(ink: BoxInk) -> float:
    """Chance of being right, by the distance from the band in which nothing is claimed."""
    if ink.level is Level.BLANK:
        return 0.9999 if ink.mean < BLANK / 2 else 0.999
    return 0.9999 if ink.mean > 1.5 * INKED else 0.999


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
