"""Which boxes of a page differ from their own kind: what print does to them it does to all."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from forms.field import Box
from scan.arrays import percentile
from scan.boxes import nearest
from scan.pen import FEW, PALEST_OUTLINE, Norm, usual_outline

ALIKE = 0.12  # share by which outlines of one kind differ
LEAST_ALIKE = 0.15  # times thin outlines, by which they do
DARKER = np.array([1.32, 1.32, 1.45, 1.32])  # times thin outlines: bold, a pen, above a letter
BOLD = 3.7  # times thin outlines are printed bold ones
UNSEEN_SIDE = 0.35  # of the page's outlines; paler ones are not seen
UNSEEN = 0.55  # of them, in the middle of the four sides
WHOLE = 0.8  # of the page's outlines: three sides that are where they should be
PALE_SIDE = 0.6  # of them: one that a streak runs through
STREAKED = 0.6  # of a column's boxes whose same side is pale: the printer left it out
RIM = 0.036  # ink beside a box that is none, a hairline below it among it
BOLD_RIM = 0.15  # share of a bold outline's darkness that blurs into its rim
LONE_RIM = 0.04  # more ink above a lone box that may be the tail of a letter
PRINTED_ROW = 0.4  # share of the boxes of a row with ink on one side: it is print
PRINTED_ABOVE = 0.08  # above them, where letters of some of the names have tails
PRINTED_COLUMN = 0.2  # and of a column, where rows of several kinds take turns
SIMILAR = 0.35  # least ink beside a box, as a share of another's, that may be the same print
HAIRLINE = 0.75  # of all the darkness beside one, where a line too pale to count runs on
CLOSE_MM = 4.0  # boxes of one row stand nearer to each other
GRAIN_DARKENS = 1.1  # times its standard deviation, what grain adds to the darkness of outlines
GRAIN_BLURS = 0.5  # times it, and by how much it may be off in one side
LIKE = 15  # boxes close by, whose outlines are lit alike
THIN = 30  # percentile of them that are thin
GLARE = 0.6  # of the page's darkness: where glare leaves less, a pen is not believed


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


def unseen(
    norm: Norm, outlines: np.ndarray, kin: Kin, left: float | np.ndarray = 1.0
) -> np.ndarray:  # (N,) bool
    """Tell which boxes' outlines (N, 4) are not where they were printed, or washed out.

    A side that all boxes of a column or row lack was lost in the printer; three show the place.
    Where glare leaves a share of the page's darkness, ``left`` (N,), paler ones will do.
    """
    if norm.outline < PALEST_OUTLINE:
        return np.ones(len(outlines), dtype=bool)
    usual = np.maximum(left * norm.outline, PALEST_OUTLINE) * np.ones(len(outlines))
    sides = outlines / usual[:, None]
    gone = sides < UNSEEN_SIDE
    others = np.sort(sides, axis=1)[:, 1] > WHOLE  # all but the palest
    lost = (gone & ~(_streaks(sides < PALE_SIDE, kin) & others[:, None])).any(axis=1)
    return np.asarray(lost | (np.median(sides, axis=1) < UNSEEN))


def _streaks(gone: np.ndarray, kin: Kin) -> np.ndarray:  # (N, 4) bool
    """Tell which pale sides (N, 4) are so in most others of the same column or row as well."""
    found = np.zeros_like(gone)
    for like, sides in ((kin.column, (0, 1)), (kin.row, (2, 3))):
        count = like.sum(axis=1)
        for side in sides:
            share = (like & gone[:, side]).sum(axis=1) / np.maximum(count, 1)
            found[:, side] = (count >= FEW) & (share >= STREAKED)
    return found


def surely(boxes: Sequence[Box], outline: np.ndarray, grain: np.ndarray) -> np.ndarray:
    """How many times thin ones close by outlines (N, 4) are, at least, on paper as grainy (N,)."""
    plain, near = _thin_near(boxes, outline, grain)
    thin = np.maximum(near, max(usual_outline(plain), PALEST_OUTLINE))
    least = np.maximum(plain - GRAIN_BLURS * grain[:, None], 0)
    return np.asarray(least / thin[:, None])


def contrast(boxes: Sequence[Box], outline: np.ndarray, grain: np.ndarray) -> np.ndarray:  # (N,)
    """Share of the page's darkness that glare leaves: it makes pens as pale as outlines (N, 4)."""
    _, near = _thin_near(boxes, outline, grain)
    return np.clip(near / max(float(np.median(near)), PALEST_OUTLINE), GLARE, 1)


def _thin_near(
    boxes: Sequence[Box], outline: np.ndarray, grain: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Outlines (N, 4) less what grain (N,) adds to them, and how dark thin ones close by are."""
    plain = np.maximum(outline - GRAIN_DARKENS * grain[:, None], 0)
    return plain, percentile(np.median(plain, axis=1)[nearest(boxes, LIKE)], THIN)


def drawn_over(outlines: np.ndarray, least: np.ndarray, kin: Kin) -> np.ndarray:  # (N, 4) bool
    """Tell which sides of outlines hold more than print.

    Bold outlines are printed in groups: their neighbours in row or column are like them, on all
    four sides. One that stands alone is as bold as print is. What a pen drew has no like.

    Parameters
    ----------
    outlines, least : ndarray of shape (N, 4)
        As multiples of the page's thin outlines, and what ``surely`` says of them.
    kin : Kin
        Which boxes stand together.
    """
    dark = least > DARKER
    bold = np.full((1, 4), BOLD)
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


def unprinted(ink: np.ndarray, kin: Kin, rims: np.ndarray | None = None) -> np.ndarray:
    """Tell which ink (N, 4) beside boxes is no print; (N, 4) bool.

    Headings, names and lines stand at the same side of many boxes of a row or column, and are about
    as dark there; hairlines may be too pale to count as ink by themselves, so all darkness there,
    ``rims`` (N, 4), is compared. Above a box that has no like, anything may stand.
    """
    rims = ink if rims is None else rims
    inked = ink > 0
    printed = np.zeros_like(inked)
    printed[~(kin.column | kin.row).any(axis=1), 2] = True
    row = (PRINTED_ROW, PRINTED_ROW, PRINTED_ABOVE, PRINTED_ROW)
    for like, share in ((kin.column, PRINTED_COLUMN), (kin.row, row)):
        count = np.maximum(like.sum(axis=1), 1)
        for at in np.flatnonzero(inked.any(axis=1)):
            as_dark = inked & (ink >= SIMILAR * ink[at]) | (rims >= HAIRLINE * rims[at])
            printed[at] |= as_dark[like[at]].sum(axis=0) / count[at] > share
    return np.asarray(inked & ~printed)
