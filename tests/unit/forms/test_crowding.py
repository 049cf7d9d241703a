"""Texts that lie over other things."""

import pytest

from forms.crowding import collisions, ink_boxes
from forms.field import Box, Note, Tick
from forms.form import Block, Form, Text
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Placed, place

PT = 25.4 / 72


def found(*texts: Text, note: bool = False) -> list[str]:
    box = Box(20, 10, 5, 5)
    field = Note("note", "note", box) if note else Tick("dry", "dry", box)
    form = Form("t", "T", "1", (), (Block("air", 20, texts, fields=(field,)),))
    return [str(one) for one in collisions(place(form, Paper.A4, FormNumber("16JD000000M")))]


def test_the_sample_is_not_crowded(sample_placed: Placed) -> None:
    assert collisions(sample_placed) == ()


def test_a_text_over_a_text_is_named() -> None:
    assert found(Text(0, 0, "one"), Text(3, 1, "two")) == ["Page 1: “one” lies over “two”."]


def test_a_text_over_a_box_is_named() -> None:
    assert found(Text(17, 11, "dry")) == ["Page 1: “dry” lies over a box of the field “dry”."]


def test_a_text_in_a_note_s_area_is_its_heading() -> None:
    assert found(Text(17, 11, "dry"), note=True) == []


@pytest.mark.parametrize(("text", "crowded"), [("3", 0), ("y", 1)])
def test_a_digit_may_stand_closer_above_a_box_than_a_letter_with_a_tail(
    text: str, crowded: int
) -> None:
    above = Text(21, 10 - 0.98 * 9 * PT, text, 9)  # its baseline is just above the box

    assert len(found(above)) == crowded


def test_each_line_reaches_from_cap_height_to_its_own_tails() -> None:
    boxes = ink_boxes(Text(5, 7, "Wipe\nit all", 10))

    # (.963 - .727) sizes below the line's top; capitals of .727, a tail of .216; lines of 1.2
    assert [value for box in boxes for value in (box.y, box.height)] == pytest.approx(
        [7 + 0.236 * 10 * PT, 0.943 * 10 * PT, 7 + 1.436 * 10 * PT, 0.727 * 10 * PT]
    )


def test_a_short_last_line_leaves_room_beside_it() -> None:
    assert found(Text(0, 0, "a long first line\nand", 8), Text(9, 3.4, "beside", 8)) == []
