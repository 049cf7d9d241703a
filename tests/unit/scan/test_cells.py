"""Boxes of a number drawn by the test itself: 8 pixels a millimetre, outlines 2 pixels wide."""

import numpy as np
import pytest

from forms.field import Box
from scan.cells import cells_of, in_place
from scan.ink import Area

LEFT = TOP = 24  # of the first box's outline
WIDTH, HEIGHT = 52, 68
BOXES = [Box(3 + 7.2 * at, 3, 6.5, 8.5) for at in range(2)]


def page(down: int = 0, across: int = 0) -> np.ndarray:
    """Draw two boxes side by side, some pixels off their place."""
    ink = np.zeros((116, 160), np.float32)
    for left in (LEFT, LEFT + 58):
        for x in (left, left + WIDTH):
            ink[TOP : TOP + HEIGHT + 1, x - 1 : x + 1] = 0.5
        for y in (TOP, TOP + HEIGHT):
            ink[y - 1 : y + 1, left : left + WIDTH + 1] = 0.5
    return np.roll(ink, (down, across), axis=(0, 1))


def area(ink: np.ndarray) -> Area:
    return Area(ink, np.ones(ink.shape, bool), Box(0, 0, 20, 14.5))


def cells(ink: np.ndarray):
    return cells_of(area(ink), in_place(area(ink), BOXES))


@pytest.mark.parametrize(("down", "across"), [(0, 0), (3, -2), (-5, 5), (7, 7)])
def test_boxes_are_found_where_their_outlines_lie(down, across):
    found = in_place(area(page(down, across)), BOXES)

    off = np.array([(box.x, box.y) for box in found]) - [(box.x, box.y) for box in BOXES]
    assert np.abs(off - np.array([across, down]) / 8).max() <= 0.13


def test_a_rule_beside_the_boxes_is_not_their_outline():
    ink = page(2, 0)
    ink[TOP - 8 : TOP - 5] = 1.0

    assert [box.y for box in in_place(area(ink), BOXES)] == pytest.approx([3.25, 3.25], abs=0.13)


def test_boxes_that_nothing_shows_stay_where_they_were_printed():
    assert in_place(area(np.zeros((116, 160), np.float32)), BOXES) == BOXES


@pytest.mark.parametrize("moved", [0, 2, 4, -4])
def test_outlines_of_empty_boxes_are_no_digits(moved):
    assert all(cell.is_blank for cell in cells(page(moved, moved)))


@pytest.mark.parametrize("grain", [0.05, 0.15])
def test_grain_in_an_empty_box_is_no_digit(grain):
    noise = np.random.default_rng(1).normal(0, grain, (116, 160)).astype(np.float32)

    assert all(cell.is_blank for cell in cells(np.clip(page() + noise, 0, 1)))


@pytest.mark.parametrize("column", [29, 42, 54, 70])
def test_a_one_is_no_outline_wherever_it_stands(column):
    ink = page()
    ink[TOP + 8 : TOP + 60, column : column + 4] = 0.8

    first, second = cells(ink)

    assert first.glyph is not None
    assert second.is_blank


def test_bar_on_the_outline_belongs_to_the_digit():
    seven = page()
    seven[TOP - 2 : TOP + 3, LEFT + 8 : LEFT + 44] = 0.9
    seven[TOP : TOP + 60, LEFT + 40 : LEFT + 44] = 0.9

    glyph = cells(seven)[0].glyph

    assert glyph.aspect == pytest.approx(36 / 62, abs=0.06)
    assert glyph.height == pytest.approx(62 / HEIGHT, abs=0.04)


def test_stroke_of_a_neighbour_is_not_part_of_the_digit():
    ink = page()
    ink[TOP + 8 : TOP + 60, LEFT + 20 : LEFT + 24] = 0.8
    alone = cells(ink)[0].glyph
    ink[TOP + HEIGHT - 6 : TOP + HEIGHT + 12, LEFT + 8 : LEFT + 12] = 0.8

    assert np.abs(cells(ink)[0].glyph.picture - alone.picture).max() < 0.01


def test_share_beyond_the_box_is_told():
    ink = page()
    ink[TOP + HEIGHT - 30 : TOP + HEIGHT + 8, LEFT + 20 : LEFT + 24] = 0.8

    assert cells(ink)[0].glyph.beyond == pytest.approx(8 / 38, abs=0.04)


def test_rule_above_the_boxes_is_not_part_of_a_digit():
    ink = page()
    ink[TOP + 2 : TOP + 60, LEFT + 20 : LEFT + 24] = 0.8
    alone = cells(ink)[0].glyph
    ink[TOP - 9 : TOP - 6] = 0.7
    ink[TOP - 6 : TOP + 2, LEFT + 20 : LEFT + 24] = 0.8  # the digit touches it

    glyph = cells(ink)[0].glyph

    assert glyph.aspect == pytest.approx(alone.aspect, abs=0.02)


def test_a_black_rule_hides_what_runs_into_it():
    ink = page()
    ink[TOP + 2 : TOP + 60, LEFT + 20 : LEFT + 24] = 0.8
    alone = cells(ink)[0].glyph
    ink[TOP - 9 : TOP - 5] = 1.0
    ink[TOP - 5 : TOP + 2, LEFT + 20 : LEFT + 24] = 0.8

    assert cells(ink)[0].glyph.aspect == pytest.approx(alone.aspect, abs=0.02)


def test_what_is_too_pale_for_a_shape_is_not_empty():
    ink = page()
    ink[TOP + 8 : TOP + 50, LEFT + 24 : LEFT + 26] = 0.22

    (pale, empty) = cells(ink)

    assert (pale.glyph, pale.is_blank, empty.is_blank) == (None, False, True)
