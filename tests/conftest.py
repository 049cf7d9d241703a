"""Invented forms that several rooms print, fill and read."""

from datetime import UTC, datetime
from random import Random

import pytest

from forms.field import Box, Choice, Digits, Expectation, Note, Option, Scale, Tick
from forms.form import Block, Form, Stroke, Text
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Placed, place

PITCH, SIDE = 7.2, 4.8


def row(x: float, y: float, values: list[int] | list[str], bound: int | None = None) -> tuple:
    """Boxes beside each other, one for each value; the one at ``bound`` means "or more"."""
    return tuple(
        Option(value, Box(x + PITCH * index, y, SIDE, SIDE), index == bound)
        for index, value in enumerate(values)
    )


def station(index: int) -> Block:
    """Every kind of field once."""
    name = f"s{index}"
    digits = tuple(Box(120 + 7.2 * place, 14, 6.5, 8.5) for place in range(3))
    count = Scale(f"{name}.count", "cards", "card", row(24, 4, [*range(6)], 5), Expectation(2, 0.6))
    captions = tuple(
        Text(o.box.x + SIDE / 2, 0.4, str(o.value), 9, align="center") for o in count.options
    )
    fields = (
        count,
        Choice(f"{name}.sign", "sign", row(100, 16, ["+", "-"])),
        Choice(f"{name}.ladder", "last digit", row(96, 4, [*range(10)])),
        Digits(
            f"{name}.size",
            "size",
            "mm",
            digits,
            1,
            0,
            99.9,
            f"{name}.sign",
            f"{name}.ladder",
            (),
            Expectation(12.5, 0.4),
        ),
        Tick(f"{name}.done", "done", Box(24, 16, SIDE, SIDE)),
        Note(f"{name}.note", "note", Box(32, 14, 60, 9)),
    )
    texts = (Text(0, 4, f"Station {index}", 9, bold=True), *captions)
    line = Stroke("M0 25H168", 0.15, 0.7)
    return Block(f"station {index}", 26, texts, (line,), fields, frozenset({f"{name}.count=2"}))


@pytest.fixture()
def sample_form() -> Form:
    """Ten stations with every kind of field, two pages on either paper."""
    drawing = (Stroke("M2 8H76V14H2Z", 0.3), Stroke("M8 14V20M70 14V20", 0.3))
    header = ("Table 401 2734 56, an invented one", "Kit: level 610 mm, card 0.18 mm")
    blocks = tuple(station(index) for index in range(1, 11))
    return Form("sample", "Sample visit", "401273456", header, blocks, "Invented.", drawing)


@pytest.fixture(params=list(Paper), ids=lambda paper: paper.name)
def sample_placed(request: pytest.FixtureRequest, sample_form: Form) -> Placed:
    """The sample form on A4 and on letter."""
    return place(sample_form, request.param, FormNumber.new(Random(2).getrandbits))


@pytest.fixture()
def printed_at() -> datetime:
    """A fixed time of printing."""
    return datetime(2026, 11, 24, 9, 30, tzinfo=UTC)
