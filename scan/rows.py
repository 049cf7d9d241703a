"""All boxes of a page that may be marked, each held against the others."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from forms.field import Box
from scan.alike import repeated
from scan.boxes import (
    GRAIN_PX,
    SHARP_PX,
    Cuts,
    Shape,
    cores,
    cuts_of,
    outlines,
    shape_of,
    stained,
)
from scan.figures import Habit, habit_of
from scan.heavy import take_blur_off
from scan.ink import Area, Sight
from scan.kin import (
    contrast,
    drawn_over,
    joined,
    kin_of,
    rim_ink,
    room_of,
    surely,
    unprinted,
    unseen,
)
from scan.marks import BoxInk, Level
from scan.pale import own_traces
from scan.pen import (
    FULL,
    MOST_GRAIN,
    PALEST,
    PALEST_OUTLINE,
    Limits,
    Marks,
    Norm,
    Paper,
    is_written,
    limits_of,
    narrowed,
    norm_of,
    usual_outline,
)
from scan.rims import LONE_RIM_MM, NOISE, ROW_RIM_MM, TEXT_RIM_MM, rims, ruled
from scan.spill import STROKE, held_to_its_box, without_spill
from scan.strokes import is_circled
from scan.traces import grain_of, traces

PLAIN_TRACE = 9.0  # standard deviations of grain from which on a figure is none of its making
GRAINY = ((12.0, 2.0), (30.0, GRAIN_PX))  # times grain: paler figures are smoothed so far [px]
GRAINS = 1.5  # times grain: what is beside a box is darker, or none
CLEAN = 0.006  # grain up to which specks show what they are
CLEAR = 0.7  # share of the least trace below which a box is surely blank
STRONG = 1.5  # times the inked limit above which it is surely inked
DUST_MM = 1.05  # a pale speck smaller than this is no mark
DUST_COVER = 0.04  # of a box's inside that it may cover
STAIN = 0.04  # darkness of the end of another box's mark
MOST_STAINED = 0.05  # of a box's inside by the end of another box's mark
MOST_CIRCLED = 0.3  # of a page's blank lone boxes; what is around more of them is print
MOST_SIDES = 2  # of a box that another box's mark touches


@dataclass(frozen=True)
class Row:
    """The boxes of one field and the flattened piece of the page that they stand in."""

    boxes: tuple[Box, ...]
    area: Area


def row_inks(sight: Sight, rows: Sequence[Row], faint_band: float = 1.0) -> list[list[BoxInk]]:
    """Measure every box of every row.

    Parameters
    ----------
    sight : Sight
        The page.
    rows : sequence of Row
        All in the picture.
    faint_band : float, optional
        Share of the band between no ink and a mark in which nothing is claimed.

    Returns
    -------
    list of list of BoxInk
        As the rows and their boxes stand.
    """
    found: list[list[BoxInk]] = [[] for _ in rows]
    for same in _by_size(rows):
        for at, inks in zip(
            same, _of_one_size(sight, [rows[at] for at in same], faint_band), strict=True
        ):
            found[at] = inks
    marks = [ink.shape for inks in found for ink in inks if ink.level is Level.INKED and ink.shape]
    habit = habit_of(marks)
    if habit is Habit.STROKES:
        return found
    return [[replace(ink, habit=habit) for ink in inks] for inks in found]


def _by_size(rows: Sequence[Row]) -> list[list[int]]:
    """Places of the rows of each size of box; a field's boxes are of one size."""
    sizes = [tuple(np.round(row.boxes[0][2:], 1)) for row in rows]
    return [[at for at, size in enumerate(sizes) if size == kind] for kind in dict.fromkeys(sizes)]


@dataclass(frozen=True)
class _Measured:
    """Boxes of one size: (N,) or, by side, (N, 4)."""

    boxes: Sequence[Box]
    cuts: Cuts
    norm: Norm
    limits: Limits
    grain: np.ndarray
    core: np.ndarray
    trace: np.ndarray
    stained: np.ndarray
    spread: np.ndarray  # share of the inside that is half as dark as its core
    sides: np.ndarray  # with unexplained ink
    alone: np.ndarray
    seen: np.ndarray

    def ink(self, at: int) -> BoxInk:
        """Describe one box."""
        core, beside = float(self.core[at]), bool(self.sides[at].any())
        level, surely = self._level(at)
        shape = None if level is Level.BLANK else self._shape(at, core)
        if level is Level.FAINT and self._is_speck(at, shape):
            level, surely, shape = Level.BLANK, 0.999, None
        drowned = level is Level.FAINT and self._is_drowned(at)
        seen = bool(self.seen[at])
        return BoxInk(level, core, surely, shape, beside, seen, drowned=drowned)

    def _level(self, at: int) -> tuple[Level, float]:
        """Say how much ink a box holds, and how surely so."""
        core, blank, inked = self.core[at], self.limits.blank[at], self.limits.inked[at]
        if core >= inked:
            return Level.INKED, 0.9999 if core > STRONG * inked else 0.999
        figure = self.trace[at] / self.limits.trace[at]  # shade and grain have none
        if figure >= 1 or (core >= blank and figure >= CLEAR):
            return Level.FAINT, 0.6
        return Level.BLANK, 0.9999 if figure < CLEAR else 0.999

    def _shape(self, at: int, core: float) -> Shape:
        """Describe the figure of a box; a pale one by its smoothed picture, without grain."""
        soft = (px for times, px in GRAINY if core < times * self.grain[at])
        return shape_of(self.cuts, at, core, next(soft, SHARP_PX))

    def _is_drowned(self, at: int) -> bool:
        """Tell a figure that grain makes in one of 1,000 boxes, or of a few hundred."""
        grain = max(self.limits.blank[at], MOST_GRAIN * self.grain[at])
        return bool(self.core[at] < grain and self.trace[at] < PLAIN_TRACE)

    def _is_speck(self, at: int, shape: Shape | None) -> bool:
        """Tell dust and very pale specks from pale marks by how little of the box they darken."""
        core, drowned = self.core[at], self.core[at] < self.limits.blank[at]
        if drowned and self.grain[at] > CLEAN:
            return False  # no figure is to be seen in grain
        dust = shape is not None and shape.size_mm < DUST_MM and shape.cover < DUST_COVER
        return bool(dust or (core < STAIN and self.spread[at] < MOST_STAINED))

    def may_be_spilt(self, at: int) -> bool:
        """Tell whether the ink at a box is little enough to be the end of another one's mark."""
        few = self.sides[at].sum() <= MOST_SIDES and self.stained[at] <= MOST_STAINED
        seen = self.sides[at].any() or self.core[at] >= self.limits.blank[at]
        return bool(few and seen and self.core[at] < self.limits.inked[at])


def _of_one_size(sight: Sight, rows: Sequence[Row], faint_band: float) -> list[list[BoxInk]]:
    boxes = [box for row in rows for box in row.boxes]
    measured = _measured(
        cuts_of([row.area for row in rows for _ in row.boxes], boxes), rows, faint_band
    )
    inks = _explained(sight, measured, [measured.ink(at) for at in range(len(boxes))])
    inks = _with_repeated(measured, _circled(sight, measured, inks))
    starts = np.cumsum([0, *(len(row.boxes) for row in rows)])
    return [inks[start:end] for start, end in pairwise(starts)]


def _measured(cuts: Cuts, rows: Sequence[Row], faint_band: float) -> _Measured:
    boxes = [box for row in rows for box in row.boxes]
    kin, outline, grain = kin_of(boxes), outlines(cuts), grain_of(cuts, boxes)
    take_blur_off(cuts, boxes, usual_outline(outline))
    dark = cores(cuts)
    spread = stained(cuts, dark / 2)
    pens = is_written(dark, grain)
    marks = Marks(dark[pens], spread[pens])
    norm = narrowed(norm_of(dark, outline, marks), faint_band)
    trace = own_traces(cuts, grain, dark, pens & (spread < FULL))
    if not len(trace):
        trace = traces(cuts, grain)
    paper = Paper(grain, contrast(boxes, outline, grain))
    limits = limits_of(norm, paper, dark, trace)
    room = joined([room_of(row.boxes) for row in rows])
    noise = np.maximum(NOISE, np.maximum(limits.blank, GRAINS * grain))
    rim = np.where(room.narrow, rims(cuts, LONE_RIM_MM, noise), rims(cuts, ROW_RIM_MM, noise))
    rim[room.alone, 1] = rims(cuts, TEXT_RIM_MM, noise)[room.alone, 1]
    rim[ruled(cuts)] = 0
    beside = unprinted(rim_ink(norm, rim, outline, room), kin, rim)
    return _Measured(
        boxes=boxes,
        cuts=cuts,
        norm=norm,
        limits=limits,
        grain=grain,
        core=dark,
        trace=trace,
        stained=stained(cuts, np.maximum(STAIN, limits.blank)),
        spread=spread,
        sides=beside
        | drawn_over(
            outline / max(norm.outline, PALEST_OUTLINE), surely(boxes, outline, grain), kin
        ),
        alone=room.alone,
        seen=~unseen(norm, outline, kin, paper.contrast),
    )


def _explained(sight: Sight, measured: _Measured, inks: Sequence[BoxInk]) -> list[BoxInk]:
    """Follow strokes that leave a box: this one's mark, or the end of another's."""
    marked = [
        box
        for box, ink in zip(measured.boxes, inks, strict=True)
        if ink.level is Level.INKED and ink.beside
    ]
    explained = list(inks)
    for at, ink in enumerate(inks):
        if ink.level is Level.INKED and ink.beside:
            explained[at] = held_to_its_box(sight, measured.boxes[at], ink)
        elif (ink.beside or ink.level is Level.FAINT) and measured.may_be_spilt(at):
            darkness = STROKE * measured.norm.inked
            explained[at] = without_spill(sight, measured.boxes[at], ink, marked, darkness)
    return explained


def _circled(sight: Sight, measured: _Measured, inks: list[BoxInk]) -> list[BoxInk]:
    """Find lone boxes with a circle around them; beside others, those would show it."""
    darkness = max(STROKE * measured.norm.inked, PALEST)
    blank = [
        at
        for at in np.flatnonzero(measured.alone).tolist()
        if inks[at].level is Level.BLANK and not inks[at].beside
    ]
    found = [at for at in blank if is_circled(sight, measured.boxes[at], darkness)]
    if len(found) > MOST_CIRCLED * len(blank):
        return inks  # printed frames
    return [replace(ink, beside=True) if at in found else ink for at, ink in enumerate(inks)]


def _with_repeated(measured: _Measured, inks: Sequence[BoxInk]) -> list[BoxInk]:
    """Find marks that are none by themselves, but like those of the page that are."""
    marks = [at for at, ink in enumerate(inks) if ink.level is Level.INKED]
    habit = habit_of([shape for at in marks if (shape := inks[at].shape)])
    asked = [at for at in marks if inks[at].fault is not None]
    proper = [at for at in marks if replace(inks[at], habit=habit).fault is None]
    usual = repeated(measured.cuts, measured.core, proper, asked)
    return [replace(ink, repeated=at in usual) for at, ink in enumerate(inks)]
