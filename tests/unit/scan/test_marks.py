from dataclasses import replace

import numpy as np
import pytest

from scan.boxes import Shape
from scan.figures import Habit, habit_of
from scan.marks import BoxInk, Level, read_choice, read_tick
from scan.reading import Reading, Status, Why

VALUES = (0, 1, 2, 3)
FIGURE = Shape(cover=0.25, runs=1.5, parts=1, size_mm=3.5, exits=2, outside=0.05)
SOLID = Shape(cover=0.95, runs=1.0, parts=1, size_mm=3.8, exits=0, outside=0.0)
HATCHED = Shape(cover=0.7, runs=2.6, parts=1, size_mm=3.8, exits=0, outside=0.0)
RAGGED = Shape(cover=0.9, runs=1.2, parts=1, size_mm=3.8, exits=8, outside=0.3)
LETTERS = Shape(cover=0.3, runs=2.7, parts=1, size_mm=2.5, exits=0, outside=0.0)
TWO_PARTS = Shape(cover=0.2, runs=1.5, parts=2, size_mm=2.5, exits=0, outside=0.0)
BOWL = Shape(cover=0.25, runs=1.6, parts=1, size_mm=3.0, exits=0, outside=0.0, loops=0.5)
BURN = Shape(cover=0.5, runs=1.0, parts=1, size_mm=3.0, exits=0, outside=0.0, thick_mm=2.9)
MARKER = Shape(
    cover=0.7, runs=1.5, parts=1, size_mm=3.8, exits=4, outside=0.2, thick_mm=2.3, arms=4
)
DOT = Shape(cover=0.15, runs=1.0, parts=1, size_mm=1.7, exits=0, outside=0.0, thick_mm=1.5)
BROAD = Shape(cover=0.66, runs=1.5, parts=1, size_mm=3.8, exits=1, outside=0.05, thick_mm=1.9)
DROP = Shape(cover=0.04, runs=1.0, parts=1, size_mm=0.7, exits=0, outside=0.0)

BLANK = BoxInk(Level.BLANK, 0.01)
CROSS = BoxInk(Level.INKED, 0.6, 0.9999, FIGURE)
PALER = BoxInk(Level.INKED, 0.4, 0.9999, FIGURE)
FAINT = BoxInk(Level.FAINT, 0.1, 0.6, FIGURE)
FILLED = BoxInk(Level.INKED, 0.7, 0.9999, SOLID)
SCRIBBLE = BoxInk(Level.INKED, 0.8, 0.9999, RAGGED)
CIRCLED = BoxInk(Level.BLANK, 0.01, beside=True)
HIDDEN = BoxInk(Level.BLANK, 0.0, seen=False)
ASTRAY = BoxInk(Level.INKED, 0.6, 0.9999, FIGURE, beside=True, astray=True)


def ink(shape: Shape) -> BoxInk:
    return BoxInk(Level.INKED, 0.6, 0.9999, shape)


def row(**written: BoxInk) -> list[BoxInk]:
    """Make a row of four boxes, ``_2=CROSS`` for one that is marked."""
    return [written.get(f"_{value}", BLANK) for value in VALUES]


@pytest.mark.parametrize(
    ("inks", "status", "value", "why"),
    [
        (row(), Status.EMPTY, None, None),
        (row(_2=CROSS), Status.SURE, 2, None),
        (row(_1=FILLED), Status.SURE, 1, None),
        (row(_1=FAINT), Status.DOUBTFUL, 1, Why.FAINT),
        (row(_0=CROSS, _3=PALER), Status.DOUBTFUL, 0, Why.TWO_MARKS),
        (row(_0=CROSS, _3=FAINT), Status.DOUBTFUL, 0, Why.TWO_MARKS),
        (row(_0=FILLED, _3=CROSS), Status.DOUBTFUL, 3, Why.FILLED),
        (row(_0=SCRIBBLE, _3=CROSS), Status.DOUBTFUL, 3, Why.FILLED),
        (row(_0=FILLED, _3=FILLED), Status.DOUBTFUL, 0, Why.TWO_MARKS),
        (row(_1=SCRIBBLE), Status.DOUBTFUL, 1, Why.FILLED),
        (row(_1=ink(HATCHED)), Status.DOUBTFUL, 1, Why.FILLED),
        (row(_1=ink(LETTERS)), Status.DOUBTFUL, 1, Why.NO_MARK),
        (row(_1=ink(TWO_PARTS)), Status.DOUBTFUL, 1, Why.NO_MARK),
        (row(_1=ink(DROP)), Status.DOUBTFUL, 1, Why.SPECK),
        (row(_1=CIRCLED), Status.DOUBTFUL, 1, Why.BESIDE),
        (row(_1=CIRCLED, _3=CROSS), Status.DOUBTFUL, 3, Why.BESIDE),
        (row(_1=ASTRAY), Status.DOUBTFUL, 1, Why.BESIDE),
        (row(_1=HIDDEN), Status.OUTSIDE, None, None),
        (row(_1=HIDDEN, _3=CROSS), Status.DOUBTFUL, 3, Why.HIDDEN),
    ],
)
def test_row_says(inks, status, value, why):
    reading = read_choice(VALUES, inks)

    assert (reading.status, reading.value, reading.why) == (status, value, why)


@pytest.mark.parametrize(
    ("ink", "status", "value"),
    [
        (BLANK, Status.SURE, False),
        (CROSS, Status.SURE, True),
        (FILLED, Status.SURE, True),
        (FAINT, Status.DOUBTFUL, True),
        (SCRIBBLE, Status.DOUBTFUL, True),
        (CIRCLED, Status.DOUBTFUL, True),
        (HIDDEN, Status.OUTSIDE, None),
    ],
)
def test_tick_says(ink, status, value):
    reading = read_tick(ink)

    assert (reading.status, reading.value) == (status, value)


def test_tick_is_never_empty():
    inks = [
        BoxInk(level, core, 0.999, None if level is Level.BLANK else FIGURE, beside, seen)
        for level in Level
        for core in np.arange(0, 1, 0.2)
        for beside in (False, True)
        for seen in (False, True)
    ]

    assert Status.EMPTY not in {read_tick(ink).status for ink in inks}


def test_doubt_is_less_likely_right_than_a_sure_mark():
    assert read_choice(VALUES, row(_0=CROSS, _1=CROSS)).confidence < 0.5
    assert read_choice(VALUES, row(_0=CROSS)).confidence > 0.99


def test_reading_of_a_blank_row_is_as_sure_as_a_mark():
    assert read_choice(VALUES, row()) == Reading(Status.EMPTY, None, 0.9999)


@pytest.mark.parametrize("shape", [BOWL, BURN])
def test_letters_and_burns_are_no_marks(shape):
    assert read_tick(ink(shape)) == Reading(Status.DOUBTFUL, True, 0.95, Why.NO_MARK)


@pytest.mark.parametrize("shape", [BURN, BOWL, LETTERS, TWO_PARTS, BROAD])
def test_a_figure_that_the_page_repeats_is_a_mark(shape):
    seen = [read_tick(replace(ink(shape), repeated=one)).status for one in (True, False)]

    assert seen == [Status.SURE, Status.DOUBTFUL]


def test_a_tick_like_the_page_s_others_is_no_stray_for_the_word_that_its_tail_runs_into():
    assert read_tick(replace(ASTRAY, repeated=True)).status is Status.SURE


def test_a_full_box_is_a_doubt_however_often_the_page_repeats_it():
    assert read_tick(replace(SCRIBBLE, repeated=True)).status is Status.DOUBTFUL


def test_ink_that_may_well_be_grain_is_a_doubt_that_guesses_none():
    drowned = replace(FAINT, drowned=True)

    assert read_tick(drowned) == Reading(Status.DOUBTFUL, False, 0.92, Why.FAINT)
    assert read_choice(VALUES, row(_1=drowned, _2=drowned)) == Reading(
        Status.DOUBTFUL, None, 0.92, Why.FAINT
    )


@pytest.mark.parametrize(
    ("second", "chance"), [(CROSS, 0.07), (replace(CROSS, core=0.3), 0.95), (SCRIBBLE, 0.97)]
)
def test_of_two_marks_one_is_meant_if_it_is_clearly_the_better(second, chance):
    reading = read_choice(VALUES, row(_0=CROSS, _1=second))

    assert (reading.value, reading.confidence) == (VALUES[0], chance)


def test_cross_of_a_marker_is_a_mark():
    assert read_tick(ink(MARKER)) == Reading(Status.SURE, True, 0.9999)


@pytest.mark.parametrize(
    ("shapes", "habit"),
    [
        ([DOT] * 3, Habit.DOTS),
        ([DOT] * 2, Habit.STROKES),
        ([DOT] * 3 + [FIGURE] * 3, Habit.STROKES),
        ([DOT] * 4 + [FIGURE] * 3, Habit.DOTS),
        ([BURN] * 9, Habit.STROKES),
        ([DROP] * 9, Habit.STROKES),
        ([BROAD] * 6, Habit.BROAD),
        ([BROAD] * 5, Habit.STROKES),
        ([BROAD] * 6 + [FIGURE] * 6, Habit.STROKES),
        ([TWO_PARTS] * 3 + [FIGURE] * 9, Habit.GAPS),
        ([TWO_PARTS] * 2 + [FIGURE] * 3, Habit.STROKES),
    ],
)
def test_what_a_page_is_marked_with_is_told_by_its_marks(shapes, habit):
    assert habit_of(shapes) is habit


@pytest.mark.parametrize(
    ("habit", "status"), [(Habit.DOTS, Status.SURE), (Habit.STROKES, Status.DOUBTFUL)]
)
def test_a_dot_is_a_mark_where_the_page_is_marked_with_dots(habit, status):
    assert read_tick(replace(ink(DOT), habit=habit)).status is status


@pytest.mark.parametrize(("habit", "shape"), [(Habit.BROAD, BROAD), (Habit.GAPS, TWO_PARTS)])
def test_marks_of_a_broad_or_skipping_pen_are_marks_where_the_page_s_pen_does_so(habit, shape):
    seen = [read_tick(replace(ink(shape), habit=one)).status for one in (habit, Habit.STROKES)]

    assert seen == [Status.SURE, Status.DOUBTFUL]


@pytest.mark.parametrize("habit", [Habit.BROAD, Habit.GAPS])
@pytest.mark.parametrize("shape", [BURN, DROP, BOWL, LETTERS, HATCHED, RAGGED])
def test_no_pen_makes_letters_holes_drops_and_scribbles_marks(habit, shape):
    assert read_tick(replace(ink(shape), habit=habit)).status is Status.DOUBTFUL


@pytest.mark.parametrize("shape", [BURN, DROP, BOWL, LETTERS, TWO_PARTS])
def test_what_is_no_dot_is_no_mark_among_dots_either(shape):
    assert read_tick(replace(ink(shape), habit=Habit.DOTS)).status is Status.DOUBTFUL
