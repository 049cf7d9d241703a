"""What must hold of readings whatever was written."""

from decimal import Decimal

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as some

from forms.field import Box, Digits
from scan.boxes import Shape
from scan.cells import Cell
from scan.digits import checked, read_number
from scan.glyph import Glyph, glyph_of
from scan.guards import GUARDS
from scan.marks import BoxInk, Level, read_choice
from scan.network import Guess
from scan.output import to_json
from scan.reading import PageReading, PhotoReading, Reading, Status

SHAPE = Glyph(np.zeros((28, 28), np.float32), 0.6, 0.8, 0.1, 0.4)
shapes = some.builds(
    Shape,
    cover=some.floats(0, 1),
    runs=some.floats(0, 5),
    parts=some.integers(0, 4),
    size_mm=some.floats(0, 4),
    exits=some.integers(0, 12),
    outside=some.floats(0, 1),
)
inks = some.builds(
    BoxInk,
    level=some.sampled_from(Level),
    core=some.floats(0.01, 1),
    surely=some.floats(0.6, 1),
    shape=shapes,
    beside=some.booleans(),
    seen=some.booleans(),
    astray=some.booleans(),
)
rows = some.lists(inks, min_size=2, max_size=11)
digits = some.lists(some.integers(0, 9), min_size=1, max_size=6)


@given(rows, some.randoms())
def test_order_of_the_boxes_does_not_change_what_is_marked(row, random):
    pairs = list(enumerate(row))
    random.shuffle(pairs)
    values, shuffled = zip(*pairs, strict=True)

    one, other = read_choice(range(len(row)), row), read_choice(values, shuffled)

    assert (one.status, one.why) == (other.status, other.why)


@given(rows)
def test_sure_value_has_the_only_ink(row):
    reading = read_choice(range(len(row)), row)

    written = [at for at, ink in enumerate(row) if ink.level is not Level.BLANK]
    if reading.status is Status.SURE:
        assert written == [reading.value]
        assert row[written[0]].level is Level.INKED
        assert all(ink.seen for ink in row)
        assert not any(ink.beside for at, ink in enumerate(row) if at != written[0])


@given(rows)
def test_empty_row_has_no_ink_anywhere(row):
    if read_choice(range(len(row)), row).status is Status.EMPTY:
        assert {ink.level for ink in row} == {Level.BLANK}
        assert all(ink.seen and not ink.beside for ink in row)


def _guess(digit, chance, like=True):
    chances = [(1 - chance) / 9] * 10
    chances[digit] = chance
    return Guess(tuple(chances), like)


@given(digits, some.integers(0, 3))
def test_number_reads_as_it_is_written(written, decimals):
    boxes = (Box(0, 0, 6.5, 8.5),) * len(written)
    guesses = [_guess(digit, 0.999) for digit in written]

    reading = read_number(
        Digits("n", "", "", boxes, decimals), [Cell(SHAPE, 0.1)] * len(written), guesses
    )

    text = "".join(map(str, written)).rjust(decimals + 1, "0")
    point = len(text) - decimals
    assert reading.value == Decimal(f"{text[:point]}.{text[point:]}")


@given(digits, some.floats(0, 1), some.booleans())
def test_number_is_sure_only_if_each_digit_is(written, chance, like):
    boxes = (Box(0, 0, 6.5, 8.5),) * len(written)
    guesses = [_guess(digit, 0.9999) for digit in written[1:]] + [_guess(1, chance, like)]

    reading = read_number(Digits("n", "", "", boxes), [Cell(SHAPE, 0.1)] * len(written), guesses)

    assert (reading.status is Status.SURE) == (like and chance >= GUARDS.digit_chance)


@given(some.decimals(-999, 999, places=1), some.decimals(-999, 999, places=1))
def test_checks_never_change_the_size_of_a_number(value, total):
    field = Digits("n", "", "", (), 1, -500, 500, sign="s", sum_of=("a",))
    others = {"s": Reading(Status.SURE, "-", 1.0), "a": Reading(Status.SURE, total, 1.0)}

    reading = checked(field, Reading(Status.SURE, abs(value), 0.999), others)

    assert abs(reading.value) == abs(value)


@given(some.integers(0, 12), some.integers(0, 8), some.floats(0.35, 0.9))
@settings(max_examples=40, deadline=None)
def test_shape_survives_shift_and_paler_ink(right, down, dark):
    cell, moved = (np.zeros((62, 46), np.float32) for _ in range(2))
    cell[8:44, 8:12] = cell[40:44, 8:28] = 0.9
    moved[8 + down : 44 + down, 8 + right : 12 + right] = dark
    moved[40 + down : 44 + down, 8 + right : 28 + right] = dark

    one, other = glyph_of(cell), glyph_of(moved)

    assert np.abs(one.picture - other.picture).max() < 0.05


@given(some.decimals(-999, 999, places=2))
def test_decimals_reach_the_reading_file_unchanged(value):
    page = PageReading("00000000011", 1, {"n": Reading(Status.SURE, value, 1.0)})

    field = to_json([PhotoReading("a", "", (page,))])["photos"][0]["pages"][0]["fields"]["n"]

    assert Decimal(str(field["value"])) == value
