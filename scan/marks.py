"""Marks in boxes: none, one, two, faint, filled, beside, scribbled out, or no mark at all.

A mark is a figure of one stroke or two that stays in its box but for its ends. Dots are marks where
a hand marks with dots all over the page; one by itself may be a drop. Whatever else is written, in
a box, on its outline or beside it, is a doubt.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from scan.boxes import Shape
from scan.figures import BROAD_DENSE, Habit, density_fault, figure_fault, is_dense, is_usual
from scan.reading import Reading, Status, Value, Why

# How often a doubt's guess is right, of simulated hands' marks and slips
FAINT_IS_MEANT = 0.57  # of 700; others were rubbed out
DROWNED_IS_BLANK = 0.92  # of 514 fields whose only ink may well be grain
BESIDE_IS_MEANT = 0.03  # of 85 blank boxes with ink beside them: it is another field's, or print's
MARK_IS_MEANT = 0.97  # of 320 marks that are doubts for where they lie, or what else is there
FIGURE_IS_MEANT = 0.95  # of 181 that look unlike marks; letters and burns were not among them
SCRIBBLE_IS_MEANT = 0.37  # of 520 boxes filled or scribbled full, alone
CLEAN_IS_MEANT = 0.97  # of 141 marks beside a scribble
DARKER_IS_MEANT = 0.95  # of 139 pairs of which one is half as dark again
EITHER_IS_MEANT = 0.07  # of 161 pairs about as dark as each other
DARKER = 0.6  # share of the ink of all boxes


class Level(Enum):
    """How much ink a box holds."""

    BLANK = 0
    FAINT = 1
    INKED = 2


@dataclass(frozen=True)
class BoxInk:
    """One box: how dark, how surely so, what figure, and whether its ink goes beyond it.

    ``core`` is the darkness of its darkest part; ``beside`` tells that unexplained ink is on or
    outside its outline, ``astray`` that most of its own is; ``seen`` that its outline is where it
    should be; ``surely`` is the chance that its level is right. ``shape`` is None where nothing is
    written; ``habit`` says what this page is marked with, ``repeated`` that several of its marks
    look like this one; ``drowned`` that a faint one may well be grain: beside a mark it is none.
    """

    level: Level
    core: float
    surely: float = 0.9999
    shape: Shape | None = None
    beside: bool = False
    seen: bool = True
    astray: bool = False
    habit: Habit = Habit.STROKES
    repeated: bool = False
    drowned: bool = False

    @property
    def is_dense(self) -> bool:
        """Tell a filled or scribbled box from a cross or tick."""
        shape = self.shape
        return shape is not None and not self._is_usual(shape) and is_dense(shape)

    @property
    def fault(self) -> Why | None:
        """Say why its ink is no clear mark; None if it is one."""
        shape = self.shape
        if self.level is Level.FAINT:
            return Why.FAINT
        if shape is None:
            return None
        usual = self._is_usual(shape)
        sparse = self.repeated and shape.cover < BROAD_DENSE
        broad = usual and self.habit is Habit.BROAD
        dense = None if sparse or broad else density_fault(shape)
        if self.astray and not self.repeated:  # a tick's tail may run into a word
            return dense or Why.BESIDE
        return dense or (None if usual else figure_fault(shape))

    def _is_usual(self, shape: Shape) -> bool:
        return self.repeated or is_usual(shape, self.habit)


def read_tick(ink: BoxInk) -> Reading:
    """Say whether one box is marked."""
    if ink.level is Level.BLANK:
        return _unmarked([ink], Reading(Status.SURE, False, ink.surely), True)
    if ink.drowned:
        return Reading(Status.DOUBTFUL, False, DROWNED_IS_BLANK, Why.FAINT)
    return _one_mark(True, ink, [])


def read_choice(
    values: Sequence[int | str], inks: Sequence[BoxInk], second_mark: float = 0.0
) -> Reading:
    """Say which box of a row is marked.

    Two inked boxes are a doubt whose best guess is the one not scribbled out, or else the darker.
    Faint ink that grain may have made is a doubt whose best guess is none.
    """
    ranks = sorted(range(len(inks)), key=lambda at: inks[at].core, reverse=True)
    written = _written(inks, ranks)
    if not written:
        guess = next((at for at in ranks if inks[at].beside), ranks[0])
        blank = Reading(Status.EMPTY, None, min(ink.surely for ink in inks))
        return _unmarked(inks, blank, values[guess])
    if all(inks[at].drowned for at in written):
        return Reading(Status.DOUBTFUL, None, DROWNED_IS_BLANK, Why.FAINT)
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
        return Reading(Status.DOUBTFUL, value, _CHANCES[ink.fault], ink.fault)
    if not all(one.seen for one in (ink, *others)):
        return Reading(Status.DOUBTFUL, value, MARK_IS_MEANT, Why.HIDDEN)
    if any(other.beside for other in others):
        return Reading(Status.DOUBTFUL, value, MARK_IS_MEANT, Why.BESIDE)
    return Reading(Status.SURE, value, ink.surely)


_CHANCES = {
    Why.FAINT: FAINT_IS_MEANT,
    Why.BESIDE: MARK_IS_MEANT,
    Why.FILLED: SCRIBBLE_IS_MEANT,
    Why.NO_MARK: FIGURE_IS_MEANT,
    Why.SPECK: FAINT_IS_MEANT,
}


def _two_marks(values: Sequence[int | str], inks: Sequence[BoxInk], at: list[int]) -> Reading:
    clean = [place for place in at if not inks[place].is_dense]
    if clean and len(clean) < len(at):
        alone = len(clean) == 1 and inks[clean[0]].level is Level.INKED
        chance = CLEAN_IS_MEANT if alone else EITHER_IS_MEANT
        return Reading(Status.DOUBTFUL, values[clean[0]], chance, Why.FILLED)
    darker = inks[at[0]].core > DARKER * sum(inks[place].core for place in at)
    chance = DARKER_IS_MEANT if darker else EITHER_IS_MEANT
    return Reading(Status.DOUBTFUL, values[at[0]], chance, Why.TWO_MARKS)


def _unmarked(inks: Sequence[BoxInk], blank: Reading, guess: Value) -> Reading:
    """Take a blank row for blank, unless there is ink beside its boxes, or they can't be seen."""
    if any(ink.beside for ink in inks):
        return Reading(Status.DOUBTFUL, guess, BESIDE_IS_MEANT, Why.BESIDE)
    if not all(ink.seen for ink in inks):
        return Reading(Status.OUTSIDE, None, 1.0)
    return blank
