"""Blocks stacked on pages."""

from dataclasses import replace
from random import Random

import pytest

from forms.field import Box, Digits, Option, Scale, Tick
from forms.form import Block, Form, Stroke, Text
from forms.layout import Layout
from forms.misfits import (
    BlocksTooHigh,
    BoxesOverlap,
    BoxOutside,
    BoxUnknown,
    FieldTwice,
    FieldUnknown,
    OptionTwice,
    TextOutside,
    TooManyPages,
)
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Placed, place

NUMBER = FormNumber.new(Random(1).getrandbits)
BOX = Box(10, 2, 4.8, 4.8)


def form(*blocks: Block) -> Form:
    return Form("trial", "Trial", "401273481", ("An invented table",), blocks)


def placed(*blocks: Block, paper: Paper = Paper.LETTER) -> Placed:
    return place(form(*blocks), paper, NUMBER)


def tick(id_: str, box: Box = BOX) -> Tick:
    return Tick(id_, id_, box)


def pages(layout: Layout) -> list[list[str]]:
    return [[field.id for field in page.fields] for page in layout.pages]


def high(name: str, height: float, **more: bool) -> Block:
    return Block(name, height, fields=(tick(name),), **more)


def test_a_box_stands_in_the_body_below_the_blocks_before_it() -> None:
    layout = placed(Block("air", 30.25), high("level", 20)).layout

    assert layout.pages[0].fields[0].box == Box(20 + 10, 41 + 30.25 + 2, 4.8, 4.8)


def test_the_layout_names_form_kind_and_subject() -> None:
    layout = placed(high("a", 9)).layout

    assert (layout.form, layout.kind, layout.table) == (NUMBER.code, "trial", "401273481")


def test_a_page_names_its_code_and_its_marks() -> None:
    page = placed(high("a", 200), high("b", 200)).layout.pages[1]

    assert (page.code.text, page.marks[0].id) == (f"F1/{NUMBER.code}/2", 8)


def test_a_full_page_is_followed_by_another() -> None:
    assert pages(placed(high("a", 100), high("b", 118.4), high("c", 7)).layout) == [
        ["a", "b"],
        ["c"],
    ]


def test_a4_holds_more_than_letter() -> None:
    blocks = (high("a", 100), high("b", 136))

    assert [len(placed(*blocks, paper=paper).sheets) for paper in Paper] == [1, 2]


def test_a_block_may_ask_for_a_new_page() -> None:
    assert pages(placed(high("a", 9), high("b", 9, new_page=True)).layout) == [["a"], ["b"]]


def test_the_first_block_asks_for_a_new_page_in_vain() -> None:
    assert pages(placed(high("a", 9, new_page=True)).layout) == [["a"]]


def test_blocks_that_stay_together_move_together() -> None:
    head = high("head", 10, keep_with_next=True)

    assert pages(placed(high("a", 200), head, high("b", 10)).layout) == [["a"], ["head", "b"]]


def test_a_new_page_parts_what_wanted_to_stay_together() -> None:
    head = high("head", 10, keep_with_next=True)

    assert pages(placed(head, high("b", 10, new_page=True)).layout) == [["head"], ["b"]]


def test_the_last_block_stays_with_nothing() -> None:
    assert pages(placed(high("a", 10, keep_with_next=True)).layout) == [["a"]]


def test_a_form_without_blocks_is_one_page() -> None:
    assert pages(placed().layout) == [[]]


def test_a_heavy_box_is_framed_and_not_outlined() -> None:
    options = tuple(Option(value, Box(10 + 7 * value, 2, 4, 4)) for value in (0, 1, 2))
    scale = Scale("count", "count", "card", options)
    sheet = placed(Block("a", 9, fields=(scale,), heavy=frozenset({"count=1"}))).sheets[0]

    assert (sheet.ground.frames, len(sheet.ground.outlines)) == ((Box(37, 43, 4, 4),), 2)


def test_all_boxes_of_a_heavy_field_are_framed() -> None:
    sheet = placed(Block("a", 9, fields=(tick("ok"),), heavy=frozenset({"ok"}))).sheets[0]

    assert (len(sheet.ground.frames), sheet.ground.outlines) == (1, ())


def test_a_point_is_printed_before_the_decimals() -> None:
    boxes = tuple(Box(x, 2, 6, 8) for x in (10, 18, 26))
    digits = Digits("size", "size", "mm", boxes, decimals=1)
    sheet = placed(Block("a", 12, fields=(digits,))).sheets[0]

    assert "M44.5 51.0" in sheet.ground.strokes[-1].path  # 20 + (24 + 26) / 2 - 0.5; 41 + 2 + 8


def test_whole_numbers_have_no_point() -> None:
    digits = Digits("size", "size", "mm", (BOX,))
    plain, counted = (
        len(placed(Block("a", 12, fields=(field,))).sheets[0].ground.strokes)
        for field in (tick("done"), digits)
    )

    assert plain == counted


def test_a_block_that_is_too_high_is_named() -> None:
    with pytest.raises(BlocksTooHigh) as caught:
        placed(high("legs", 220))

    assert str(caught.value) == (
        "Block “legs” is 220.0 mm high; a page holds 218.4 mm. "
        "Take 1.6 mm out, or split it into blocks that may be parted."
    )


def test_blocks_that_stay_together_and_are_too_high_are_named() -> None:
    with pytest.raises(BlocksTooHigh) as caught:
        placed(high("head", 120, keep_with_next=True), high("legs", 100))

    assert str(caught.value) == (
        "The blocks “head” to “legs”, which stay together, are 220.0 mm high; "
        "a page holds 218.4 mm. Take 1.6 mm out, or split it into blocks that may be parted."
    )


def test_a_form_of_seven_pages_is_refused() -> None:
    with pytest.raises(TooManyPages) as caught:
        placed(*(high(str(index), 200) for index in range(7)))

    assert str(caught.value) == (
        "The form needs 7 pages; at most 6 can be told apart. "
        "Make two forms of it, or leave blocks out."
    )


def test_a_text_outside_its_block_is_refused() -> None:
    with pytest.raises(TextOutside) as caught:
        placed(Block("air", 9, texts=(Text(175.9, 0, "x", align="left"),)))

    assert caught.value.place == "block “air”"


def test_a_box_outside_its_block_is_refused() -> None:
    with pytest.raises(BoxOutside) as caught:
        placed(Block("air", 6, fields=(tick("dry"),)))

    assert str(caught.value) == (
        "In block “air” a box of the field “dry” goes 0.80 mm below the bottom edge. Move the box."
    )


def test_two_boxes_on_one_spot_are_refused() -> None:
    with pytest.raises(BoxesOverlap) as caught:
        placed(Block("air", 9, fields=(tick("dry"), tick("wet", BOX.moved(4.7, 0)))))

    assert str(caught.value) == (
        "In block “air” a box of the field “dry” lies over a box of the field “wet”. "
        "Move one of them."
    )


def test_boxes_may_touch() -> None:
    assert placed(Block("air", 9, fields=(tick("dry"), tick("wet", BOX.moved(4.8, 0)))))


def test_an_id_may_stand_only_once() -> None:
    with pytest.raises(FieldTwice) as caught:
        placed(high("dry", 9), Block("air", 9, fields=(tick("dry"),)))

    assert str(caught.value) == (
        "The field “dry” stands twice: in block “dry” and block “air”. "
        "Give each field an id of its own."
    )


def test_an_answer_may_be_given_by_one_box_only() -> None:
    options = (Option(1, BOX), Option(1, BOX.moved(9, 0)))

    with pytest.raises(OptionTwice) as caught:
        placed(Block("air", 9, fields=(Scale("count", "count", "card", options),)))

    assert str(caught.value) == (
        "Two boxes of the field “count” give the same answer, “1”. "
        "Give each box an answer of its own."
    )


@pytest.mark.parametrize("name", ["sign", "witness"])
def test_a_reference_must_name_a_field(name: str) -> None:
    digits = replace(Digits("size", "size", "mm", (BOX,)), **{name: "gone"})

    with pytest.raises(FieldUnknown):
        placed(Block("air", 9, fields=(digits,)))


def test_an_unknown_reference_is_named() -> None:
    digits = Digits("size", "size", "mm", (BOX,), sum_of=("size", "gone"))

    with pytest.raises(FieldUnknown) as caught:
        placed(Block("air", 9, fields=(digits,)))

    assert str(caught.value) == (
        "The field “size” refers to the field “gone”, which is not on this form. "
        "Correct the reference or add that field."
    )


def test_a_heavy_frame_must_name_a_box() -> None:
    with pytest.raises(BoxUnknown) as caught:
        placed(Block("air", 9, fields=(tick("dry"),), heavy=frozenset({"dry=1"})))

    assert str(caught.value) == (
        "Block “air” asks for a heavy frame at “dry=1”, but has no such field or option. "
        "Write the field's id, or id=value for one option."
    )


def test_strokes_of_a_block_move_with_it() -> None:
    sheet = placed(Block("a", 10), Block("b", 9, strokes=(Stroke("M0 1H3"),))).sheets[0]

    assert sheet.ground.strokes[-1].path == "M20 52H23"


def test_line_on_how_to_mark_stands_only_where_something_is_asked():
    """The back of a card is read, not marked."""
    read = Block("read", 10.0, (Text(0, 0, "Keep it dry.", 7),), new_page=True)
    asked = Block("asked", 10.0, fields=(tick("a"),))
    two = place(replace(form(asked, read), footer="Mark with a cross."), Paper.A4, NUMBER)

    said = [[text.text for text in sheet.ground.texts] for sheet in two.sheets]
    assert ["Mark with a cross." in one for one in said] == [True, False]
