"""Texts and strokes held inside their area."""

import pytest

from forms.drawing import broken, fitted, fitted_strokes, stroke_box, text_box
from forms.field import Box
from forms.form import Stroke, Text
from forms.misfits import DrawingOutside, TextOutside
from forms.typeface import line_mm, width_mm

AREA = Box(20, 41, 100, 30)
WIDE = width_mm("level", 9)


@pytest.mark.parametrize(
    ("align", "left"), [("left", 50), ("center", 50 - WIDE / 2), ("right", 50 - WIDE)]
)
def test_alignment_says_which_end_of_a_text_is_at_x(align: str, left: float) -> None:
    box = text_box(Text(50, 3, "level", 9, align=align))

    assert box == pytest.approx((left, 3, WIDE, line_mm(9)))


def test_a_text_of_two_lines_is_two_lines_high() -> None:
    assert text_box(Text(0, 0, "one\ntwo", 9)).height == pytest.approx(2 * line_mm(9))


def test_a_text_with_a_width_is_broken_into_lines() -> None:
    assert broken(Text(0, 0, "level check", 9, width=WIDE)).text == "level\ncheck"


def test_a_stroke_s_box_is_its_path_s() -> None:
    assert stroke_box(Stroke("M1 2H5V9")) == Box(1, 2, 4, 7)


def test_a_fitted_text_stands_on_the_page() -> None:
    assert fitted(Text(1, 2, "level"), AREA, "block “x”") == Text(21, 43, "level")


def test_a_fitted_stroke_stands_on_the_page() -> None:
    assert fitted_strokes([Stroke("M1 2H5")], AREA, "block “x”") == (Stroke("M21 43H25"),)


@pytest.mark.parametrize(
    ("text", "over"),
    [
        (Text(-1, 2, "level"), "1.00 mm beyond the left edge"),
        (Text(1, -2, "level"), "2.00 mm above the top edge"),
        (Text(103, 2, "level", align="right"), "3.00 mm beyond the right edge"),
        (Text(1, 30.5 - line_mm(8), "level"), "0.50 mm below the bottom edge"),
    ],
)
def test_a_text_may_not_leave_its_area(text: Text, over: str) -> None:
    with pytest.raises(TextOutside) as caught:
        fitted(text, AREA, "block “x”")

    assert caught.value.over == over


def test_a_text_outside_is_named_with_its_block() -> None:
    with pytest.raises(TextOutside) as caught:
        fitted(Text(-1, 2, "level"), AREA, "block “air”")

    assert str(caught.value) == (
        "In block “air” the text “level” goes 1.00 mm beyond the left edge. "
        "Shorten it, print it smaller, move it or give it more room."
    )


def test_a_word_may_not_leave_the_text_s_own_width() -> None:
    with pytest.raises(TextOutside) as caught:
        fitted(Text(1, 2, "a level", 9, width=WIDE - 1), AREA, "block “air”")

    assert caught.value.over == "1.00 mm beyond its own width"


def test_a_drawing_outside_is_named_with_its_block() -> None:
    with pytest.raises(DrawingOutside) as caught:
        fitted_strokes([Stroke("M0 0V31.25")], AREA, "block “air”")

    assert str(caught.value) == (
        "In block “air” the drawing “M0 0V31.25” goes 1.25 mm below the bottom edge. "
        "Draw it smaller or move it."
    )
