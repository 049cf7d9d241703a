"""An invented form that several rooms print, fill and read."""

from datetime import UTC, datetime
from random import Random

import pytest
from hypothesis import settings

from forms.field import Box, Choice, Digits, Expectation, Note, Option, Scale, Tick
from forms.form import Block, Form, Stroke, Text
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Placed, place


def row(x: float, y: float, values: list, bound: int | None = None) -> tuple[Option, ...]:
    spots = [Box(x + 7.2 * index, y, 4.8, 4.8) for index in range(len(values))]
    return tuple(
        Option(value, spot, value == bound) for value, spot in zip(values, spots, strict=True)
    )


def station(name: str) -> Block:
    spots = tuple(Box(x, 14, 6.5, 8.5) for x in (120, 127.2, 136.2))
    count = row(24, 4, [-1, 0, 1, 2, 3, 4, 5], bound=5)
    fields = (
        Scale(f"{name}.count", "cards", "card", count, Expectation(2, 0.6)),
        Choice(f"{name}.sign", "sign", row(100, 16, ["+", "-"])),
        Choice(f"{name}.tenths", "tenths", row(96, 4, [*range(10)])),
        Digits(
            *(f"{name}.size", "size", "mm", spots, 1, 0, 99.9),
            *(f"{name}.sign", f"{name}.tenths", (), Expectation(12.5, 0.4)),
        ),
        Tick(f"{name}.done", "done", Box(24, 16, 4.8, 4.8)),
        Note(f"{name}.note", "note", Box(32, 14, 60, 9)),
    )
    heavy = frozenset({f"{name}.count=2"})
    heads = [Text(o.box.x + 2.4, 0.3, str(o.value), 9, align="center") for o in count]
    texts = (Text(0, 4, f"Station {name}", 9, bold=True), *heads)
    return Block(name, 26, texts, (Stroke("M0 25H168", 0.15, 0.7),), fields, heavy)


@pytest.fixture
def sample_form() -> Form:
    header = ("Table 401 2734 56, an invented one", "Kit: level 610 mm, card 0.18 mm")
    drawing = (Stroke("M2 8H76V14H2Z", 0.3), Stroke("M8 14V20M70 14V20", 0.3))
    blocks = tuple(station(f"s{index}") for index in range(1, 11))
    return Form("sample", "Sample visit", "401273456", header, blocks, "Invented.", drawing)


@pytest.fixture(params=list(Paper), ids=lambda paper: paper.name)
def sample_placed(request: pytest.FixtureRequest, sample_form: Form) -> Placed:
    return place(sample_form, request.param, FormNumber.new(Random(2).getrandbits))


@pytest.fixture
def printed_at() -> datetime:
    return datetime(2026, 11, 24, 9, 30, tzinfo=UTC)


def pytest_configure(config: pytest.Config) -> None:
    """Draw the same examples in every run; in a long run more of them, and others each time."""
    settings.register_profile("same", derandomize=True, deadline=None)
    settings.register_profile("other", max_examples=1000, deadline=None, print_blob=True)
    settings.load_profile("other" if config.getoption("--whole") else "same")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--whole", action="store_true", help="long runs in full, not a tenth of them")


@pytest.fixture
def share(request: pytest.FixtureRequest) -> float:
    """How much of a long run is made: a tenth unless tests/run --long asks for all of it."""
    return 1.0 if request.config.getoption("--whole") else 0.1
