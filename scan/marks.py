"""Marks in boxes: none, one, two, faint, filled, beside, scribbled out, or no mark at all.

A mark is a figure of one stroke or two that stays in its box but for its ends. Dots are marks where
a hand marks with dots all over the page; one by itself may be a drop. Whatever else is written, in
a box, on its outline or beside it, is a doubt.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from scan.boxes import Shape
from scan.reading import Reading, Status, Value, Why

DENSE = 0.62  # share of the inside that is dark in a filled or scribbled box
FILLED_RUNS = 1.35  # a filled box has no gaps between its strokes
FILLED_OUTSIDE = 0.02  # share of the walk around a filled box that is inked
MOST_RUNS = 1.9  # of a cross; letters and hatching have more
MOST_EXITS = 5  # a cross leaves its box four times
HALF_DENSE = 0.45  # covered by strokes that leave it more often
MOST_LOOP = 0.1  # mm² of paper enclosed by one stroke over another; a letter's bowl is larger
MOST_THICK_MM = 2.6  # where the strokes of a marker's cross meet
FAT_MM = 1.2  # thickness of a marker's strokes where they meet
ARMS = 3  # of the four corners, that a cross reaches
ROUND = 0.68  # of its length: as thick as that is a blob, no stroke
FILLED = 0.82  # share of the inside; a round blob within a box covers less
SPECK_MM = 1.15  # a drop or a pen's rest is smaller than a mark
DOT_MM = 2.6  # across the largest dot; burns and holes are larger
DOT_THICK_MM = 2.0  # and at its thickest
DOT_LOOP = 0.9  # mm² of paper that a dot drawn round and round may leave
DOTS = 3  # that make a habit, if more than half of a page's marks are dots
LARGE_MM = 3.0  # a cross whose second stroke runs on from the first, in a loop, fills its box
LOOPED_RUNS = 2.5  # of it
LOOPED_LOOP = 2.5  # mm² of paper in it
LOOPED_MM = 1.3  # its thickness
LOOPED_ARMS = 2
LOOPED = 4  # that make a habit, if more than this share of a page's marks are such ones
LOOPED_SHARE = 0.25


class Level(Enum):
    """How much ink a box holds."""

    BLANK = 0
    FAINT = 1
    INKED = 2


class Habit(Enum):
    """What a page's hand marks boxes with."""

    STROKES = 0
    DOTS = 1
    LOOPS = 2


@dataclass(frozen=True)
class BoxInk:
    """One box: how dark, how surely so, what figure, and whether its ink goes beyond it.

    ``core`` is the darkness of its darkest part; ``beside`` tells that unexplained ink is on or
    outside its outline, ``astray`` that most of its own is; ``seen`` that its outline is where it
    should be; ``surely`` is the chance that its level is right. ``shape`` is None where nothing is
    written; ``habit`` says what this page is marked with; ``drowned`` that a faint one may well be
    grain: beside a mark it is none.
    """

    level: Level
    core: float
    surely: float = 0.9999
    shape: Shape | None = None
    beside: bool = False
    seen: bool = True
    astray: bool = False
    habit: Habit = Habit.STROKES
    drowned: bool = False

    @property
    def is_dense(self) -> bool:
        """Tell a filled or scribbled box from a cross or tick."""
        shape = self.shape
        return shape is not None and shape.cover >= DENSE and not _is_fat_cross(shape)

    @property
    def fault(self) -> Why | None:
        """Say why its ink is no clear mark; None if it is one."""
        shape = self.shape
        if self.level is Level.FAINT:
            return Why.FAINT
        if shape is None:
            return None
        if self.astray:
            return _density_fault(shape) or Why.BESIDE
        return _density_fault(shape) or (None if self._is_usual(shape) else _figure_fault(shape))

    def _is_usual(self, shape: Shape) -> bool:
        dots, loops = self.habit is Habit.DOTS, self.habit is Habit.LOOPS
        return (dots and is_dot(shape)) or (loops and is_looped(shape))


def is_dot(shape: Shape) -> bool:
    """Tell a dot from drops, burns, strokes and letters by its size and roundness."""
    small = SPECK_MM <= shape.size_mm <= DOT_MM and shape.thick_mm <= DOT_THICK_MM
    round_ = MOST_LOOP < shape.loops <= DOT_LOOP or (
        shape.thick_mm > ROUND * shape.size_mm and shape.loops <= MOST_LOOP
    )
    return small and round_ and shape.parts == 1


def is_looped(shape: Shape) -> bool:
    """Tell a cross or tick drawn in one stroke, which closes a loop, from letters by its size."""
    loop = shape.runs <= LOOPED_RUNS and shape.loops <= LOOPED_LOOP and shape.parts == 1
    large = shape.size_mm >= LARGE_MM and shape.arms >= LOOPED_ARMS
    return loop and large and shape.thick_mm <= LOOPED_MM


def habit_of(inks: Sequence[BoxInk]) -> Habit:
    """Say what the hand of a page marks its boxes with."""
    figures = [ink.shape for ink in inks if ink.level is Level.INKED and ink.shape is not None]
    dots = sum(map(is_dot, figures))
    if dots >= DOTS and dots > len(figures) / 2:
        return Habit.DOTS
    loops = sum(_figure_fault(one) is not None and is_looped(one) for one in figures)
    most = max(LOOPED - 1, LOOPED_SHARE * len(figures))
    return Habit.LOOPS if loops > most else Habit.STROKES


def _density_fault(shape: Shape) -> Why | None:
    """Take a box filled solid for a mark, a scribble for none."""
    filled = shape.runs <= FILLED_RUNS and shape.outside <= FILLED_OUTSIDE
    ragged = shape.exits > MOST_EXITS and shape.cover >= HALF_DENSE
    if ragged and not _is_fat_cross(shape):
        return Why.FILLED
    if shape.cover >= DENSE and not (filled or _is_fat_cross(shape)):
        return Why.FILLED
    return None


def _is_fat_cross(shape: Shape) -> bool:
    """Tell a marker's cross, which covers most of a box, from scribbles and blobs: it has arms."""
    fat = FAT_MM < shape.thick_mm <= MOST_THICK_MM and shape.cover < FILLED
    return fat and shape.arms >= ARMS and shape.runs <= MOST_RUNS


def _figure_fault(shape: Shape) -> Why | None:
    if shape.size_mm < SPECK_MM:
        return Why.SPECK
    several = shape.parts > 1 or shape.runs > MOST_RUNS
    letter = shape.loops > MOST_LOOP and shape.cover < DENSE
    return Why.NO_MARK if several or letter or _is_blob(shape) else None


def _is_blob(shape: Shape) -> bool:
    """Tell holes, burns and stains from strokes, and from a box that is filled to its corners."""
    if _is_fat_cross(shape):
        return False
    thick = shape.thick_mm > min(MOST_THICK_MM, ROUND * shape.size_mm)
    return thick and shape.cover < FILLED


def read_tick(ink: BoxInk) -> Reading:
    """Say whether one box is marked."""
    if ink.level is Level.BLANK:
        return _unmarked([ink], Reading(Status.SURE, False, ink.surely), True)
    return _one_mark(True, ink, [])


def read_choice(
    values: Sequence[int | str], inks: Sequence[BoxInk], second_mark: float = 0.0
) -> Reading:
    """Say which box of a row is marked.

    Two inked boxes are a doubt whose best guess is the one not scribbled out, or else the darker.
    """
    ranks = sorted(range(len(inks)), key=lambda at: inks[at].core, reverse=True)
    written = _written(inks, ranks)
    if not written:
        guess = next((at for at in ranks if inks[at].beside), ranks[0])
        blank = Reading(Status.EMPTY, None, min(ink.surely for ink in inks))
        return _unmarked(inks, blank, values[guess])
    floor = second_mark * inks[written[0]].core
    if any(inks[at].core >= floor for at in written[1:]):
        return _two_marks(values, inks, written)
    others = [ink for at, ink in enumerate(inks) if at != written[0]]
    return _one_mark(values[written[0]], inks[written[0]], others)


def _written(inks: Sequence[BoxInk], ranks: Sequence[int]) -> list[int]:
    """Places of the boxes that hold ink, darkest first."""
    written = [at for at in ranks if inks[at].level is not Level.BLANK]
    if any(inks[at].level is Level.INKED for at in written):
        return [at for at in written if not inks[at].drowned]
    return written


def _one_mark(value: Value, ink: BoxInk, others: Sequence[BoxInk]) -> Reading:
    if ink.fault is not None:
        return Reading(Status.DOUBTFUL, value, 0.6, ink.fault)
    if not all(one.seen for one in (ink, *others)):
        return Reading(Status.DOUBTFUL, value, 0.6, Why.HIDDEN)
    if any(other.beside for other in others):
        return Reading(Status.DOUBTFUL, value, 0.6, Why.BESIDE)
    return Reading(Status.SURE, value, ink.surely)


def _two_marks(values: Sequence[int | str], inks: Sequence[BoxInk], at: list[int]) -> Reading:
    clean = [place for place in at if not inks[place].is_dense]
    if clean and len(clean) < len(at):
        chance = 0.9 if len(clean) == 1 and inks[clean[0]].level is Level.INKED else 0.5
        return Reading(Status.DOUBTFUL, values[clean[0]], chance, Why.FILLED)
    share = inks[at[0]].core / sum(inks[place].core for place in at)
    return Reading(Status.DOUBTFUL, values[at[0]], round(0.9 * share, 3), Why.TWO_MARKS)


def _unmarked(inks: Sequence[BoxInk], blank: Reading, guess: Value) -> Reading:
    """Take a blank row for blank, unless there is ink beside its boxes, or they can't be seen."""
    if any(ink.beside for ink in inks):
        return Reading(Status.DOUBTFUL, guess, 0.5, Why.BESIDE)
    if not all(ink.seen for ink in inks):
        return Reading(Status.OUTSIDE, None, 1.0)
    return blank
