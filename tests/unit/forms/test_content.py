"""A page's content stream."""

import re
from random import Random
from zlib import decompress

import pytest

from forms.content import Content, Spot, ground_content, naming_content, path_operators
from forms.form import Block, Form, Text
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Sheet, place
from forms.typeface import glyphs


def sheet(*texts: Text) -> Sheet:
    form = Form("t", "Trial", "1", (), (Block("a", 40, texts),))
    return place(form, Paper.A4, FormNumber.new(Random(1).getrandbits)).sheets[0]


def stream(drawn: Content) -> str:
    return decompress(drawn.packed).decode()


@pytest.mark.parametrize(
    ("path", "operators"),
    [
        ("M1 2L3 4", "1 2 m 3 4 l"),
        ("M1 2H5V-6.25Z", "1 2 m 5 2 l 5 -6.25 l h"),
        ("M0 0C1 1 2 2 3 3V9", "0 0 m 1 1 2 2 3 3 c 3 9 l"),
        ("M0 0A1 1 0 0 1 1 1", "0 0 m 0.5523 0 1 0.4477 1 1 c"),
    ],
)
def test_a_path_is_written_in_the_file_s_operators(path: str, operators: str) -> None:
    assert path_operators(path) == operators


def test_shapes_then_title_then_lines_are_marked() -> None:
    drawn = ground_content(sheet().ground)

    assert [piece.tag for piece in drawn.pieces[:3]] == ["Figure", "H1", "P"]
    assert stream(drawn).count("BDC") == stream(drawn).count("EMC") == len(drawn.pieces)


def test_the_marks_of_a_copy_count_on() -> None:
    drawn = stream(naming_content(sheet(), Spot(first=7)))

    assert re.findall(r"MCID (\d+)", drawn) == ["7", "8", "9", "10"]


def test_texts_at_one_height_are_read_as_one_line_from_left_to_right() -> None:
    drawn = stream(ground_content(sheet(Text(40, 5, "right"), Text(2, 5, "left")).ground))
    line = next(part for part in drawn.split("EMC") if glyphs("left ") in part)

    assert line.index(glyphs("left ")) < line.index(glyphs("right "))


def test_texts_at_two_heights_are_two_lines() -> None:
    one, two = sheet(Text(2, 5, "up")), sheet(Text(2, 5, "up"), Text(2, 9, "on"))
    lines = [len(ground_content(drawn.ground).pieces) for drawn in (one, two)]

    assert lines[1] == lines[0] + 1
