import numpy as np
import pytest

from forms.field import Box
from scan.ink import Area
from scan.marks import (
    BLANK,
    INKED,
    BoxInk,
    Level,
    box_inks,
    gap_between,
    is_crossed,
    read_choice,
    read_tick,
    without_floor,
)
from scan.reading import Reading, Status, Why

VALUES = (0, 1, 2, 3)
BLANK_BOX = BoxInk(0.0, 0.0, 0.0, 0.0)
CROSS = BoxInk(0.15, 0.3, 0.02, 0.0)
FAINT = BoxInk(0.01, 0.1, 0.0, 0.0)
FILLED = BoxInk(0.7, 0.95, 0.0, 0.0)
SCRIBBLE = BoxInk(0.6, 0.9, 0.5, 0.45)
BESIDE = BoxInk(0.0, 0.0, 0.3, 0.0)


def row(**written: BoxInk) -> list[BoxInk]:
    """Make a row of four boxes, ``_2=CROSS`` for one that is marked."""
    return [written.get(f"_{value}", BLANK_BOX) for value in VALUES]


@pytest.mark.parametrize(
    ("inks", "status", "value", "why"),
    [
        (row(), Status.EMPTY, None, None),
        (row(_2=CROSS), Status.SURE, 2, None),
        (row(_1=FILLED), Status.SURE, 1, None),
        (row(_1=FAINT), Status.DOUBTFUL, 1, Why.FAINT),
        (row(_0=CROSS, _3=CROSS), Status.DOUBTFUL, 0, Why.TWO_MARKS),
        (row(_0=CROSS, _3=FAINT), Status.DOUBTFUL, 0, Why.TWO_MARKS),
        (row(_0=FILLED, _3=CROSS), Status.DOUBTFUL, 3, Why.FILLED),
        (row(_0=SCRIBBLE, _3=CROSS), Status.DOUBTFUL, 3, Why.FILLED),
        (row(_0=FILLED, _3=FILLED), Status.DOUBTFUL, 0, Why.TWO_MARKS),
        (row(_1=SCRIBBLE), Status.DOUBTFUL, 1, Why.FILLED),
        (row(_1=BESIDE), Status.DOUBTFUL, 1, Why.BESIDE),
    ],
)
def test_row_says(inks, status, value, why):
    reading = read_choice(VALUES, inks)

    assert (reading.status, reading.value, reading.why) == (status, value, why)


@pytest.mark.parametrize(
    ("ink", "status", "value"),
    [
        (BLANK_BOX, Status.SURE, False),
        (CROSS, Status.SURE, True),
        (FILLED, Status.SURE, True),
        (FAINT, Status.DOUBTFUL, True),
        (SCRIBBLE, Status.DOUBTFUL, True),
        (BESIDE, Status.DOUBTFUL, False),
    ],
)
def test_tick_says(ink, status, value):
    reading = read_tick(ink)

    assert (reading.status, reading.value) == (status, value)


def test_tick_is_never_empty():
    inks = [
        BoxInk(mean, 0.3, beside, 0.0) for mean in np.arange(0, 0.3, 0.002) for beside in (0, 1)
    ]

    assert Status.EMPTY not in {read_tick(ink).status for ink in inks}


def test_doubt_is_less_likely_right_than_a_sure_mark():
    assert read_choice(VALUES, row(_0=CROSS, _1=CROSS)).confidence < 0.5
    assert read_choice(VALUES, row(_0=CROSS)).confidence > 0.99


def test_levels_leave_a_band_where_nothing_is_claimed():
    means = (0.0, BLANK, INKED)

    levels = [BoxInk(mean, 0, 0, 0).level for mean in means]

    assert levels == [Level.BLANK, Level.FAINT, Level.INKED]


def test_floor_of_the_print_is_taken_off():
    inks = [BoxInk(0.008, 0, 0, 0)] * 3 + [BoxInk(0.1, 0, 0, 0)]

    assert [round(ink.mean, 3) for ink in without_floor(inks)] == [0, 0, 0, 0.092]


def test_floor_never_hides_a_page_full_of_marks():
    inks = [BoxInk(0.1, 0, 0, 0)] * 4

    assert {ink.level for ink in without_floor(inks)} == {Level.INKED}


def test_no_boxes_have_no_floor():
    assert without_floor([]) == []


def area(picture: str) -> Area:
    """Make an area from letters: ``.`` paper, ``#`` ink, one a millimetre."""
    rows = [[1.0 if letter == "#" else 0.0 for letter in line] for line in picture.split()]
    ink = np.kron(np.array(rows, np.float32), np.ones((8, 8), np.float32))
    frame = Box(10, 10, len(rows[0]), len(rows))
    return Area(ink, np.ones(ink.shape, bool), frame)


def test_ink_outside_the_box_does_not_count_inside():
    around = area("####### #.....# #.....# #.....# #.....# #.....# #######")

    (ink,) = box_inks(around, [Box(11, 11, 5, 5)])

    assert ink.mean == 0
    assert ink.beside > 0.5


def test_filled_box_is_solid():
    (ink,) = box_inks(area("....... ..###.. ..###.. ..###.. ......."), [Box(12, 11, 3, 3)])

    assert ink.is_solid
    assert ink.beside == 0


UPPER, LOWER = Box(10, 10, 4.5, 4.5), Box(10, 20, 4.5, 4.5)


def test_gap_lies_between_two_boxes():
    assert gap_between(UPPER, LOWER) == pytest.approx((9, 14.8, 6.5, 4.9))


@pytest.mark.parametrize("lower", [Box(30, 20, 4.5, 4.5), Box(10, 60, 4.5, 4.5), UPPER])
def test_boxes_far_apart_have_no_gap(lower):
    assert gap_between(UPPER, lower) is None


@pytest.mark.parametrize(
    ("picture", "crossed"),
    [
        ("..#.. ..#.. .##.. .#...", True),
        ("..... ..#.. .##.. .....", False),  # printed text keeps clear of both boxes
        ("..#.. ..#.. ..... ..#..", False),
        ("#.... #...# #...# ....#", False),
    ],
)
def test_strip_is_crossed_by_one_stroke_only(picture, crossed):
    assert is_crossed(area(picture).ink) is crossed


def test_reading_of_a_blank_row_is_as_sure_as_a_mark():
    assert read_choice(VALUES, row()) == Reading(Status.EMPTY, None, 0.9999)
