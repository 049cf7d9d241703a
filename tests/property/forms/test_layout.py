"""Layouts and paths: written and read, moved and moved back."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from forms.field import Box, Choice, Digits, Expectation, Field, Note, Option, Scale, Tick
from forms.layout import Code, Layout, Mark, Page, dumps, loads
from forms.path import extent, moved_path
from forms.typeface import width_mm, wrap

MICROMETRES = st.integers(0, 300_000).map(lambda count: count / 1000)
SIZES = st.integers(1, 300_000).map(lambda count: count / 1000)
BOXES = st.builds(Box, MICROMETRES, MICROMETRES, SIZES, SIZES)
NAMES = st.text(max_size=12)
NUMBERS = st.floats(-1000, 1000)
EXPECTATIONS = st.none() | st.builds(Expectation, NUMBERS, NUMBERS)


def options(values: st.SearchStrategy) -> st.SearchStrategy:
    return st.lists(st.builds(Option, values, BOXES, st.booleans()), min_size=1, max_size=4).map(
        tuple
    )


FIELDS = st.one_of(
    st.builds(Tick, NAMES, NAMES, BOXES),
    st.builds(Note, NAMES, NAMES, BOXES),
    st.builds(Choice, NAMES, NAMES, options(NAMES | st.integers(-9, 9))),
    st.builds(Scale, NAMES, NAMES, NAMES, options(st.integers(-9, 9)), EXPECTATIONS),
    st.builds(
        Digits,
        *(NAMES, NAMES, NAMES, st.lists(BOXES, min_size=1, max_size=4).map(tuple)),
        *(st.integers(0, 3),),
        *(st.floats(-1000, 0), st.floats(0, 1000)),
        *(st.none() | NAMES.filter(bool), st.none() | NAMES.filter(bool)),
        *(st.lists(NAMES, max_size=2).map(tuple), EXPECTATIONS),
    ),
)
MARKS = st.builds(Mark, NAMES, st.integers(0, 49), st.tuples(MICROMETRES, MICROMETRES), MICROMETRES)
PAGES = st.builds(
    Page,
    *(st.integers(1, 6), MICROMETRES, MICROMETRES, st.builds(Code, NAMES, BOXES)),
    *(st.lists(MARKS, max_size=2).map(tuple), st.lists(FIELDS, max_size=4).map(tuple)),
)


def leaning(layout: Layout) -> Layout:
    """Let fields lean on fields that are there."""
    there = [field.id for page in layout.pages for field in page.fields]
    pages = tuple(
        replace(page, fields=tuple(_leaning(field, there) for field in page.fields))
        for page in layout.pages
    )
    return replace(layout, pages=pages)


def _leaning(field: Field, there: list[str]) -> Field:
    if not isinstance(field, Digits):
        return field
    first = next(filter(None, there), None)
    return replace(
        field,
        witness=field.witness and first,
        sign=field.sign and first,
        sum_of=tuple(there[0] for _ in field.sum_of),
    )


LAYOUTS = st.builds(Layout, NAMES, NAMES, NAMES, st.lists(PAGES, max_size=2).map(tuple)).map(
    leaning
)
POINTS = st.tuples(st.integers(-500, 500), st.integers(-500, 500))


@settings(max_examples=60)
@given(LAYOUTS)
def test_a_layout_written_and_read_is_the_same(layout: Layout) -> None:
    assert loads(dumps(layout)) == layout


@given(st.lists(POINTS, min_size=1, max_size=8), POINTS)
def test_a_path_moved_and_moved_back_is_the_same(
    points: list[tuple[int, int]], by: tuple[int, int]
) -> None:
    path = "M" + "L".join(f"{x} {y}" for x, y in points)
    back = moved_path(moved_path(path, *by), -by[0], -by[1])

    assert back == path


@given(st.lists(POINTS, min_size=1, max_size=8), POINTS)
def test_an_extent_moves_with_its_path(points: list[tuple[int, int]], by: tuple[int, int]) -> None:
    path = "M" + "L".join(f"{x} {y}" for x, y in points)
    left, top, right, bottom = extent(path)
    dx, dy = by

    assert extent(moved_path(path, dx, dy)) == (left + dx, top + dy, right + dx, bottom + dy)


@given(st.text("abc de", max_size=60), st.floats(20, 60))
def test_wrapped_lines_hold_the_same_words_and_fit(text: str, width: float) -> None:
    lines = wrap(text, width, 8)

    assert " ".join(lines).split() == text.split()
    assert all(width_mm(line, 8) <= width + 1e-6 or " " not in line for line in lines)
