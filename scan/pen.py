"""How dark this page's print and pen are, and which boxes differ from their own kind."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from forms.field import Box

PALEST = 0.022  # darkness inside a box below which nothing was written, on a page without grain
GRAINS = 2.5  # times what most boxes hold
MOST_BLANK = 0.08  # as far as grain may raise that
MOST_GRAIN = 10.0  # standard deviations of grain that a blank box's core may reach
GRAIN_SHARE = 0.6  # of the palest mark, as far as grain is believed
TRACE = 6.5  # standard deviations of grain from which on a figure is a pale mark
LEAST_TRACE = 4.2  # and on a page whose palest marks would drown in grain
PALE = 0.065  # of a page's usual mark: the palest that its hand makes
WRITTEN = 0.12  # darkness of the palest pen
UNKNOWN_PEN = 0.17  # of the palest mark on a page that holds fewer than
FEW = 3  # marks to tell its pen by
PALE_PEN = 0.3  # darkness of usual marks below which they may be what an eraser left
RUBBED = 6  # marks to tell an eraser by
FULL = 0.7  # of a box's inside that only a marker, a filling or a scribble covers
UNEVEN = 1.6  # times the palest tenth, the darkest tenth; pens keep below 1.25, erasers do not
PALE_SHARE = 0.67  # of the page's usual mark; one hand's own marks vary down to 0.73
ALIKE = 0.12  # share by which outlines of one kind differ
LEAST_ALIKE = 0.02  # darkness by which they do
DARKER = np.array([1.32, 1.32, 1.45, 1.32])  # times thin outlines: bold, a pen, above a letter
BOLD = 3.7  # times thin outlines are printed bold ones
UNSEEN_SIDE = 0.35  # of the page's outlines; paler ones are not seen
UNSEEN = 0.55  # of them, in the middle of the four sides
WHOLE = 0.8  # of the page's outlines: three sides that are where they should be
STREAKED = 0.6  # of a column's boxes without the same side: the printer left it out
PALEST_OUTLINE = 0.04  # darkness of outlines below which none is seen on the page
RIM = 0.036  # ink beside a box that is none, a hairline below it among it
BOLD_RIM = 0.15  # share of a bold outline's darkness that blurs into its rim
LONE_RIM = 0.04  # more ink above a lone box that may be the tail of a letter
PRINTED_ROW = 0.4  # share of the boxes of a row with ink on one side: it is print
PRINTED_COLUMN = 0.2  # and of a column, where rows of several kinds take turns
SIMILAR = 0.35  # least ink beside a box, as a share of another's, that may be the same print
CLOSE_MM = 4.0  # boxes of one row stand nearer to each other


@dataclass(frozen=True)
class Norm:
    """What is usual on a page.

    ``blank`` is the darkness inside a box below which nothing was written, ``inked`` above which a
    mark is there; between them nothing is claimed. ``outline`` is that of its thin outlines.
    """

    blank: float
    inked: float
    outline: float


@dataclass(frozen=True)
class Marks:
    """The boxes with a mark: their cores (M,), and the shares of their insides that it covers."""

    cores: np.ndarray
    covers: np.ndarray


def norm_of(cores: np.ndarray, outlines: np.ndarray, marks: Marks) -> Norm:
    """Find what is usual from the boxes' cores (N,) and outlines (N, 4), and from marks."""
    if not len(cores):
        return Norm(PALEST, UNKNOWN_PEN, PALEST_OUTLINE)
    usual = float(np.percentile(cores, 25))
    blank = min(max(PALEST, GRAINS * min(usual, 0.5 * WRITTEN)), MOST_BLANK)
    inked = _least_mark(marks.cores[marks.cores > blank], marks)
    return Norm(blank, max(WRITTEN, blank, inked), usual_outline(outlines))


def usual_outline(outlines: np.ndarray) -> float:
    """Darkness of a page's thin outlines, from all (N, 4)."""
    return float(np.percentile(outlines, 30))


def is_written(cores: np.ndarray, grain: np.ndarray) -> np.ndarray:  # (N,) bool
    """Tell cores (N,) that are darker than grain (N,) makes paper."""
    return cores > np.maximum(WRITTEN, MOST_GRAIN * grain)


def _least_mark(pens: np.ndarray, marks: Marks) -> float:
    """Say how dark a mark is at least on a page with marks (N,) as dark as these."""
    if len(pens) < FEW:
        return UNKNOWN_PEN
    usual = float(np.median(pens))
    if usual < PALE_PEN and _is_uneven(marks):
        return 1.01 * float(pens.max())  # rubbed out, all of them: none is claimed to be a mark
    return PALE_SHARE * usual


def _is_uneven(marks: Marks) -> bool:
    """Tell what an eraser leaves from a pen; boxes filled or scribbled full are darker anyway."""
    thin = marks.cores[marks.covers < FULL]
    if len(thin) < RUBBED:
        return False
    palest, darkest = np.percentile(thin, (10, 90))
    return bool(darkest > UNEVEN * palest)


@dataclass(frozen=True)
class Limits:
    """From which on a box is not blank, and from which on it is marked.

    ``blank`` and ``inked`` are the darkness (N,) of cores, ``trace`` that of figures, in standard
    deviations of grain.
    """

    blank: np.ndarray
    inked: np.ndarray
    trace: float


def limits_of(norm: Norm, grain: np.ndarray, cores: np.ndarray, traces: np.ndarray) -> Limits:
    """Say what the norm is in each box, where paper is as grainy (N,) as there."""
    blank = np.maximum(norm.blank, np.minimum(MOST_GRAIN * grain, GRAIN_SHARE * norm.inked))
    inked = np.maximum(norm.inked, blank)
    if norm.inked <= norm.blank:
        return Limits(blank, inked, np.inf)
    pens = traces[cores >= inked]
    palest = PALE * float(np.median(pens)) if len(pens) >= FEW else TRACE
    return Limits(blank, inked, float(np.clip(palest, LEAST_TRACE, TRACE)))


def narrowed(norm: Norm, share: float) -> Norm:
    """Keep a share of the band in which nothing is claimed; 1 is all of it, 0 none."""
    return replace(norm, inked=norm.blank + share * (norm.inked - norm.blank))


@dataclass(frozen=True)
class Kin:
    """Which boxes (N, N) stand in one column, and which in one row; ``beside`` in it."""

    column: np.ndarray
    row: np.ndarray
    beside: np.ndarray


def kin_of(boxes: Sequence[Box]) -> Kin:
    """Compare where boxes of one size stand."""
    places = np.array(boxes, dtype=np.float32)
    across = np.abs(places[:, 0, None] - places[:, 0])
    down = np.abs(places[:, 1, None] - places[:, 1])
    column, row = across < 0.5, down < 0.5
    np.fill_diagonal(column, False)
    np.fill_diagonal(row, False)
    return Kin(column, row, row & (across < CLOSE_MM + boxes[0].width))


def unseen(norm: Norm, outlines: np.ndarray, kin: Kin) -> np.ndarray:  # (N,) bool
    """Tell which boxes' outlines (N, 4) are not where they were printed, or washed out.

    A side that all boxes of a column or row lack was lost in the printer; three show the place.
    """
    if norm.outline < PALEST_OUTLINE:
        return np.ones(len(outlines), dtype=bool)
    gone = outlines < UNSEEN_SIDE * norm.outline
    others = np.sort(outlines, axis=1)[:, 1] > WHOLE * norm.outline  # all but the palest
    lost = (gone & ~(_streaks(gone, kin) & others[:, None])).any(axis=1)
    return np.asarray(lost | (np.median(outlines, axis=1) < UNSEEN * norm.outline))


def _streaks(gone: np.ndarray, kin: Kin) -> np.ndarray:  # (N, 4) bool
    """Tell which missing sides (N, 4) most others of the same column or row lack as well."""
    found = np.zeros_like(gone)
    for like, sides in ((kin.column, (0, 1)), (kin.row, (2, 3))):
        count = like.sum(axis=1)
        for side in sides:
            share = (like & gone[:, side]).sum(axis=1) / np.maximum(count, 1)
            found[:, side] = (count >= FEW) & (share >= STREAKED)
    return found


def drawn_over(norm: Norm, outlines: np.ndarray, kin: Kin) -> np.ndarray:  # (N, 4) bool
    """Tell which sides of outlines (N, 4) hold more than print.

    Bold outlines are printed in groups: their neighbours in row or column are like them, on all
    four sides. One that stands alone is as bold as print is. What a pen drew has no like.
    """
    dark = outlines > DARKER * norm.outline
    bold = np.full((1, 4), BOLD * norm.outline)
    strange = [
        at
        for at in np.flatnonzero(dark.any(axis=1))
        if not _is_among(outlines[at], outlines[kin.column[at] | kin.beside[at]])
    ]
    grouped = dark.all(axis=1).sum() > len(strange)
    single = [at for at in strange if not grouped and _is_among(outlines[at], bold)]
    drawn = np.zeros_like(dark)
    drawn[strange] = dark[strange]
    drawn[single if len(single) == 1 else []] = False
    return drawn


def _is_among(outline: np.ndarray, others: np.ndarray) -> bool:
    """Tell whether one of other outlines (N, 4) is like this one (4,) on all sides."""
    allowed = np.maximum(ALIKE * outline, LEAST_ALIKE)
    return bool((np.abs(others - outline) < allowed).all(axis=1).any())


@dataclass(frozen=True)
class Room:
    """The white around the boxes of one field, by side (N, 4).

    ``print`` is the ink that a text close by may put there; ``narrow`` tells where white is narrow;
    ``alone`` (N,) which boxes have no neighbour in their own field.
    """

    print: np.ndarray
    narrow: np.ndarray
    alone: np.ndarray


def room_of(boxes: Sequence[Box]) -> Room:
    """Say where texts stand: maybe above lone boxes, and left of a row."""
    x, y, width = (np.array(boxes)[:, at] for at in (0, 1, 2))
    away = x - x[:, None]
    close = (np.abs(y - y[:, None]) < 0.5) & (np.abs(away) < CLOSE_MM + width)
    no_left, no_right = (~(close & beyond).any(axis=1) for beyond in (away < 0, away > 0))
    alone = no_left & no_right
    text = np.zeros((len(boxes), 4))
    text[no_left & ~alone, 0] = np.inf
    text[alone, 2] = LONE_RIM
    narrow = np.stack([alone, no_right, alone, alone], axis=1)
    return Room(text, narrow, alone)


def joined(rooms: Sequence[Room]) -> Room:
    """Put the rooms of all fields into one."""
    parts = [(room.print, room.narrow, room.alone) for room in rooms]
    return Room(*(np.concatenate(part) for part in zip(*parts, strict=True)))


def rim_ink(norm: Norm, rims: np.ndarray, outlines: np.ndarray, room: Room) -> np.ndarray:
    """Ink beside boxes (N, 4) that neither blur nor a text close by explains."""
    bold = np.maximum(outlines - DARKER * norm.outline, 0)
    return np.asarray(np.maximum(rims - RIM - BOLD_RIM * bold - room.print, 0))


def unprinted(ink: np.ndarray, kin: Kin) -> np.ndarray:  # (N, 4) bool
    """Tell which ink (N, 4) beside boxes is no print.

    Headings, names and lines stand at the same side of many boxes of a row or column, and are about
    as dark there. Above a box that has no like, anything may stand.
    """
    inked = ink > 0
    printed = np.zeros_like(inked)
    printed[~(kin.column | kin.row).any(axis=1), 2] = True
    for like, share in ((kin.column, PRINTED_COLUMN), (kin.row, PRINTED_ROW)):
        count = np.maximum(like.sum(axis=1), 1)
        for at in np.flatnonzero(inked.any(axis=1)):
            as_dark = inked & (ink >= SIMILAR * ink[at])
            printed[at] |= as_dark[like[at]].sum(axis=0) / count[at] > share
    return np.asarray(inked & ~printed)
