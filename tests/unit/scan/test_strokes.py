import numpy as np
import pytest

from forms.field import Box
from scan.ink import Area
from scan.strokes import gap_between, is_crossed, strokes_at


def area(picture: str) -> Area:
    """Make an area from letters: ``.`` paper, ``#`` ink, one a millimetre."""
    rows = [[1.0 if letter == "#" else 0.0 for letter in line] for line in picture.split()]
    ink = np.kron(np.array(rows, np.float32), np.ones((8, 8), np.float32))
    frame = Box(0, 0, len(rows[0]), len(rows))
    return Area(ink, np.ones(ink.shape, bool), frame)


class Sheet:
    """A page that is one picture."""

    def __init__(self, picture: str):
        self.whole = area(picture)

    def area(self, frame: Box) -> Area:
        assert frame[:2] == (0, 0)
        return self.whole


LEFT, RIGHT = Box(2, 2, 4, 4), Box(8, 2, 4, 4)
JOINED = Sheet(
    ".............. .............. .............. ...########... " + ".............. " * 4
)
APART = Sheet(
    ".............. .............. .............. ...##....##... " + ".............. " * 4
)
UPPER, LOWER = Box(10, 10, 4.5, 4.5), Box(10, 20, 4.5, 4.5)


@pytest.mark.parametrize(("sheet", "joined"), [(JOINED, True), (APART, False)])
def test_ink_is_anothers_only_if_one_stroke_joins_them(sheet, joined):
    assert strokes_at(sheet, LEFT, 2, 0.3).reach_into([RIGHT]) is joined


def test_stroke_that_leaves_its_box_lies_astray():
    assert strokes_at(JOINED, LEFT, 2, 0.3).astray() == pytest.approx((7 - 4) / 2, abs=0.05)


def test_box_without_ink_has_none_astray():
    assert strokes_at(APART, Box(2, 2, 4, 1.2), 2, 0.3).astray() == 0


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
