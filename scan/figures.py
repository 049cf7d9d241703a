"""Figures that ink makes in a box: marks, letters, holes, drops, fillings, scribbles.

What is no mark by itself may be one where a page's hand, or its pen, makes all its marks so.
"""

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum

from scan.boxes import Shape
from scan.reading import Why

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
DOT_MM = 2.8  # across the largest dot; burns and holes are larger
DOT_THICK_MM = 2.2  # and at its thickest
DOT_LOOP = 1.2  # mm² of paper that a dot drawn round and round may leave
DOTS = 3  # that make a habit, if more than half of a page's marks are dots
LARGE_MM = 3.0  # a cross whose second stroke runs on from the first, in a loop, fills its box
LOOPED_RUNS = 2.5  # of it
LOOPED_LOOP = 2.5  # mm² of paper in it
LOOPED_MM = 1.3  # its thickness
LOOPED_ARMS = 2
LOOPED = 4  # that make a habit, if more than this share of a page's marks are such ones
LOOPED_SHARE = 0.15
BROAD_MM = 1.4  # half of a page's marks are thicker: a carpenter's pencil, a marker
BROAD = 6  # marks to tell by
BROAD_DENSE = 0.8  # share of a box that its cross may cover; scribbles cover more than .95
BROAD_THICK_MM = 3.0  # where its strokes meet
BROAD_ROUND = 0.78  # of the cross's length; holes and burns are rounder
GAPS = 3  # marks in two pieces that make a pen one that skips


class Habit(Enum):
    """What a page's hand marks boxes with."""

    STROKES = 0
    DOTS = 1
    LOOPS = 2
    GAPS = 3
    BROAD = 4


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


def is_gappy(shape: Shape) -> bool:
    """Tell a mark that a skipping pen left in two pieces."""
    return shape.parts == 2 and figure_fault(replace(shape, parts=1)) is None


def is_broad(shape: Shape) -> bool:
    """Tell a cross or tick of a broad pen from scribbles and blobs by the paper that it leaves."""
    figure = shape.parts == 1 and shape.runs <= MOST_RUNS and shape.exits <= MOST_EXITS
    stroke = shape.thick_mm <= min(BROAD_THICK_MM, BROAD_ROUND * shape.size_mm)
    sparse = shape.loops <= MOST_LOOP and shape.cover < BROAD_DENSE
    return figure and stroke and sparse and shape.size_mm >= SPECK_MM


_USUAL = {
    Habit.DOTS: is_dot,
    Habit.LOOPS: is_looped,
    Habit.GAPS: is_gappy,
    Habit.BROAD: is_broad,
}


def is_usual(shape: Shape, habit: Habit) -> bool:
    """Tell a figure that counts as a mark on a page marked so, whatever it is elsewhere."""
    return habit in _USUAL and _USUAL[habit](shape)


def is_dense(shape: Shape) -> bool:
    """Tell a filled or scribbled box from a cross or tick."""
    return shape.cover >= DENSE and not is_fat_cross(shape)


def habit_of(figures: Sequence[Shape]) -> Habit:
    """Say what the hand of a page marks its boxes with."""
    dots = sum(map(is_dot, figures))
    if dots >= DOTS and dots > len(figures) / 2:
        return Habit.DOTS
    loops = sum(figure_fault(one) is not None and is_looped(one) for one in figures)
    if loops > max(LOOPED - 1, LOOPED_SHARE * len(figures)):
        return Habit.LOOPS
    if sum(map(is_gappy, figures)) >= GAPS:
        return Habit.GAPS
    broad = sum(one.thick_mm > BROAD_MM and is_broad(one) for one in figures)
    return Habit.BROAD if len(figures) >= BROAD and broad > len(figures) / 2 else Habit.STROKES


def density_fault(shape: Shape) -> Why | None:
    """Take a box filled solid for a mark, a scribble for none."""
    filled = shape.runs <= FILLED_RUNS and shape.outside <= FILLED_OUTSIDE
    ragged = shape.exits > MOST_EXITS and shape.cover >= HALF_DENSE
    if ragged and not is_fat_cross(shape):
        return Why.FILLED
    if shape.cover >= DENSE and not (filled or is_fat_cross(shape)):
        return Why.FILLED
    return None


def is_fat_cross(shape: Shape) -> bool:
    """Tell a marker's cross, which covers most of a box, from scribbles and blobs: it has arms."""
    fat = FAT_MM < shape.thick_mm <= MOST_THICK_MM and shape.cover < FILLED
    return fat and shape.arms >= ARMS and shape.runs <= MOST_RUNS


def figure_fault(shape: Shape) -> Why | None:
    """Take specks, letters, holes, burns and stains for no marks."""
    if shape.size_mm < SPECK_MM:
        return Why.SPECK
    several = shape.parts > 1 or shape.runs > MOST_RUNS
    letter = shape.loops > MOST_LOOP and shape.cover < DENSE
    return Why.NO_MARK if several or letter or _is_blob(shape) else None


def _is_blob(shape: Shape) -> bool:
    """Tell holes, burns and stains from strokes, and from a box that is filled to its corners."""
    if is_fat_cross(shape):
        return False
    thick = shape.thick_mm > min(MOST_THICK_MM, ROUND * shape.size_mm)
    return thick and shape.cover < FILLED
