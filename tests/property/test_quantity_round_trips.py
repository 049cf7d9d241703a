"""What is printed reads back, what is stored comes back."""

import json
from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st

from passport.errors import PassportError
from passport.quantity import INCH_MM, parse_length, parse_slope, parse_temperature
from passport.quantity_text import (
    AIR,
    COARSE,
    FINE,
    SLOPE,
    Resolution,
    Units,
    length_text,
    slope_text,
    temperature_text,
)
from passport.table import (
    Board,
    Bracket,
    FootType,
    Hand,
    Kit,
    Leg,
    Role,
    Room,
    Side,
    Table,
    Target,
    Targets,
    Thread,
)
from passport.table_plain import from_plain, to_plain

SIZES = st.fractions(-20_000, 20_000, max_denominator=10**6)
UNITS = st.sampled_from(Units)


@given(SIZES, UNITS, st.sampled_from([COARSE, FINE]))
def test_printed_length_reads_back_within_half_a_step(
    mm: Fraction, units: Units, resolution: Resolution
):
    step = resolution.metric if units is Units.METRIC else resolution.imperial * INCH_MM

    assert abs(parse_length(length_text(mm, units, resolution)).value - mm) <= step / 2


@given(SIZES, UNITS)
def test_printed_slope_reads_back_within_half_a_step(mm_per_m: Fraction, units: Units):
    step = SLOPE.metric if units is Units.METRIC else SLOPE.imperial * 1000 / 12

    assert abs(parse_slope(slope_text(mm_per_m, units)).value - mm_per_m) <= step / 2


@given(st.fractions(-200, 200, max_denominator=1000), UNITS)
def test_printed_temperature_reads_back_within_half_a_step(celsius: Fraction, units: Units):
    step = AIR.metric if units is Units.METRIC else AIR.imperial * 5 / 9

    assert abs(parse_temperature(temperature_text(celsius, units)).value - celsius) <= step / 2


@given(st.integers(0, 10**7), st.integers(1, 64), st.integers(1, 64))
def test_mixed_inches_are_the_sum_of_their_parts(whole: int, part: int, parts: int):
    assume(part < parts)

    assert parse_length(f"{whole} {part}/{parts} in").value == INCH_MM * (
        whole + Fraction(part, parts)
    )


@given(st.text(alphabet="0123456789.,/-+ '\"ftinmc½", max_size=12))
def test_any_text_is_a_length_or_a_message(text: str):
    said = ""
    try:
        said = parse_length(text).text
    except PassportError as problem:
        said = str(problem)

    assert text in said


NUMBERS = st.floats(-1e6, 1e6)
TEXTS = st.text(max_size=20)
THREADS = st.builds(Thread, TEXTS, NUMBERS, st.sampled_from(Hand))
LEGS = st.builds(
    Leg,
    *(TEXTS, NUMBERS, st.sampled_from(Role), NUMBERS, st.sampled_from(FootType)),
    *(st.none() | THREADS, st.none() | NUMBERS),
)
BRACKETS = st.builds(
    Bracket, TEXTS, NUMBERS, st.none() | THREADS, st.none() | st.sampled_from(Side)
)
TARGETS = st.builds(Target, NUMBERS, NUMBERS)
KITS = st.builds(
    Kit,
    *(TEXTS, NUMBERS, NUMBERS, st.none() | NUMBERS, st.none() | NUMBERS, NUMBERS, NUMBERS),
)
MONTHS = st.lists(st.integers(1, 12), max_size=3).map(tuple)
TABLES = st.builds(
    Table,
    *(TEXTS, TEXTS, TEXTS, st.builds(Board, NUMBERS, NUMBERS, NUMBERS, TEXTS)),
    *(st.lists(LEGS, max_size=3).map(tuple), st.lists(BRACKETS, max_size=3).map(tuple)),
    *(st.builds(Targets, TARGETS, TARGETS, st.none() | TARGETS), KITS, TEXTS),
    *(st.lists(TEXTS, max_size=3).map(tuple), st.none() | TEXTS),
    st.builds(Room, st.none() | st.booleans(), MONTHS, MONTHS),
    st.lists(st.tuples(TEXTS, TEXTS), max_size=3).map(tuple),
)


@given(TABLES)
def test_stored_table_comes_back_as_it_was(table: Table):
    assert from_plain(json.loads(json.dumps(to_plain(table)))) == table


def refuse_float(text: str) -> float:
    raise AssertionError(f"a float in the store: {text}")


@given(TABLES)
def test_stored_table_has_no_floats(table: Table):
    json.loads(json.dumps(to_plain(table)), parse_float=refuse_float)
