from decimal import Decimal

import numpy as np
import pytest

from forms.field import Box, Digits, Expectation
from scan.cells import Cell
from scan.digits import checked, number, read_number, says_the_same
from scan.glyph import Glyph
from scan.network import Guess
from scan.reading import Reading, Status, Why

SHAPE = Glyph(np.zeros((28, 28), np.float32), 0.6, 0.8, 0.1, 0.4)
WRITTEN, BLANK, SMUDGE = Cell(SHAPE, 0.1), Cell(None, 0.0), Cell(None, 0.02)


def field(**more) -> Digits:
    boxes = tuple(Box(7.2 * at, 0, 6.5, 8.5) for at in range(3))
    return Digits("n", "", "mm", boxes, **({"decimals": 1, "low": 0, "high": 50} | more))


def guesses(digits: str, chance: float = 0.999, *, like: bool = True) -> list[Guess]:
    return [guess(int(digit), chance, like=like) for digit in digits]


def guess(digit: int, chance: float, other: int | None = None, *, like: bool = True) -> Guess:
    """Give a digit its chance; another, or all others evenly, has the rest."""
    rest = 1 - chance
    chances = [rest / 9 if other is None else rest * (at == other) for at in range(10)]
    chances[digit] = chance
    return Guess(tuple(chances), like)


def each(digits: str, chances) -> list[Guess]:
    return [guess(int(digit), chance) for digit, chance in zip(digits, chances, strict=True)]


def sure(value) -> Reading:
    return Reading(Status.SURE, value, 0.999)


def test_digits_make_a_number_with_its_point():
    reading = read_number(field(), [WRITTEN] * 3, guesses("147"))

    assert (reading.status, reading.value) == (Status.SURE, Decimal("14.7"))


def test_leading_boxes_may_stay_empty():
    reading = read_number(field(), [BLANK, WRITTEN, WRITTEN], guesses("47"))

    assert (reading.status, reading.value) == (Status.SURE, Decimal("4.7"))


def test_zeros_are_digits():
    assert read_number(field(), [BLANK, WRITTEN, WRITTEN], guesses("00")).value == Decimal("0.0")


def test_empty_boxes_are_not_a_zero():
    reading = read_number(field(), [BLANK] * 3, [])

    assert (reading.status, reading.value) == (Status.EMPTY, None)


@pytest.mark.parametrize(
    ("cells", "digits", "why"),
    [
        ([WRITTEN, BLANK, WRITTEN], "17", Why.GAP),
        ([WRITTEN, WRITTEN, BLANK], "17", Why.GAP),
        ([BLANK, WRITTEN, SMUDGE], "1", Why.FAINT),
    ],
)
def test_boxes_that_make_no_number_are_doubtful(cells, digits, why):
    reading = read_number(field(), cells, guesses(digits))

    assert (reading.status, reading.value, reading.why) == (Status.DOUBTFUL, None, why)


def test_unclear_digit_is_doubtful_with_its_guess():
    reading = read_number(field(), [WRITTEN] * 3, guesses("14") + guesses("7", 0.98))

    assert (reading.status, reading.value) == (Status.DOUBTFUL, Decimal("14.7"))
    assert reading.why is Why.DIGIT_UNCLEAR


def test_shape_unlike_a_digit_is_doubtful_however_sure_the_guess():
    reading = read_number(field(), [WRITTEN] * 3, guesses("147", 0.9999, like=False))

    assert (reading.status, reading.why) == (Status.DOUBTFUL, Why.SHAPE_UNKNOWN)


def test_confidence_is_that_of_all_digits_together():
    reading = read_number(field(), [WRITTEN] * 3, guesses("147", 0.996))

    assert reading.confidence == pytest.approx(0.996**3)


def test_number_out_of_range_is_doubtful():
    reading = checked(field(), sure(Decimal("50.1")), {})

    assert (reading.status, reading.value) == (Status.DOUBTFUL, Decimal("50.1"))
    assert reading.why is Why.OUT_OF_RANGE


def test_bounds_themselves_are_in_range():
    assert checked(field(), sure(Decimal("50.0")), {}).status is Status.SURE


@pytest.mark.parametrize(
    ("sign", "status", "value", "why"),
    [
        (sure("-"), Status.SURE, Decimal("-3.5"), None),
        (sure("+"), Status.SURE, Decimal("3.5"), None),
        (Reading(Status.EMPTY, None, 1.0), Status.DOUBTFUL, Decimal("3.5"), Why.NO_SIGN),
        (
            Reading(Status.DOUBTFUL, "-", 0.5, Why.FAINT),
            Status.DOUBTFUL,
            Decimal("-3.5"),
            Why.FAINT,
        ),
    ],
)
def test_sign_stands_in_its_own_field(sign, status, value, why):
    reading = checked(field(low=-9, sign="s"), sure(Decimal("3.5")), {"s": sign})

    assert (reading.status, reading.value, reading.why) == (status, value, why)


def test_zero_needs_no_sign():
    blank = Reading(Status.EMPTY, None, 1.0)

    assert checked(field(sign="s"), sure(Decimal("0.0")), {"s": blank}).status is Status.SURE


@pytest.mark.parametrize(("witness", "why"), [("7", None), ("1", Why.WITNESS)])
def test_ladder_must_show_the_last_digit(witness, why):
    reading = checked(field(witness="w"), sure(Decimal("14.7")), {"w": sure(witness)})

    assert reading.why is why


def test_number_whose_witness_is_blank_is_doubtful():
    blank = Reading(Status.EMPTY, None, 1.0)

    assert checked(field(witness="w"), sure(Decimal("14.7")), {"w": blank}).why is Why.WITNESS


def test_empty_number_whose_witness_is_marked_is_doubtful():
    empty = Reading(Status.EMPTY, None, 1.0)

    assert checked(field(witness="w"), empty, {"w": sure("7")}).why is Why.WITNESS


@pytest.mark.parametrize(("total", "status"), [("30.0", Status.SURE), ("31.0", Status.DOUBTFUL)])
def test_sum_must_add_up(total, status):
    parts = {"a": sure(Decimal("10.5")), "b": sure(Decimal("19.5"))}

    assert checked(field(sum_of=("a", "b")), sure(Decimal(total)), parts).status is status


def test_sum_with_a_missing_part_is_no_witness():
    parts = {"a": sure(Decimal("10.5")), "b": Reading(Status.DOUBTFUL, None, 0.5, Why.GAP)}

    assert checked(field(sum_of=("a", "b")), sure(Decimal("30.0")), parts).status is Status.SURE


UNCLEAR = Reading(Status.DOUBTFUL, Decimal("14.7"), 0.69, Why.DIGIT_UNCLEAR)
LADDER = {"w": Reading(Status.SURE, "7", 0.999)}


def test_agreeing_ladder_lifts_the_last_digit():
    reading = checked(field(witness="w"), UNCLEAR, LADDER, guesses=each("147", [0.999, 0.999, 0.7]))

    # the ladder is wrong in one of 1,000, and then says a wrong digit's name in one of nine
    last = 0.7 / (0.7 + 0.3 * 0.001 / 9)
    assert reading.status is Status.SURE
    assert reading.confidence == pytest.approx(0.999**2 * last)


@pytest.mark.parametrize("chances", [[0.999, 0.7, 0.999], [0.999, 0.999, 0.5]])
def test_ladder_lifts_no_other_digit_and_no_mere_guess(chances):
    assert checked(field(witness="w"), UNCLEAR, LADDER, guesses=each("147", chances)) == UNCLEAR


def test_agreeing_sum_lifts_every_digit():
    parts = {"a": sure(Decimal("10.5")), "b": sure(Decimal("4.2"))}
    shapes = each("147", [0.8, 0.9, 0.96])

    reading = checked(field(sum_of=("a", "b")), UNCLEAR, parts, guesses=shapes)

    assert (reading.status, reading.confidence > 0.999) == (Status.SURE, True)


def test_sum_with_a_doubtful_part_lifts_nothing():
    parts = {"a": sure(Decimal("10.5")), "b": Reading(Status.DOUBTFUL, Decimal("4.2"), 0.9)}
    shapes = each("147", [0.8] * 3)

    assert checked(field(sum_of=("a", "b")), UNCLEAR, parts, guesses=shapes) == UNCLEAR


def test_agreeing_witness_does_not_lift_a_shape_unlike_a_digit():
    strange = Reading(Status.DOUBTFUL, Decimal("14.7"), 0.97, Why.SHAPE_UNKNOWN)

    reading = checked(field(witness="w"), strange, LADDER, guesses=each("147", [0.99] * 3))

    assert reading.status is Status.DOUBTFUL


def test_unexpected_value_is_doubtful():
    expected = field(expect=Expectation(14.0, 0.5))

    assert checked(expected, sure(Decimal("14.7")), {}).status is Status.SURE
    assert checked(expected, sure(Decimal("41.7")), {}).why is Why.UNEXPECTED


def test_expectation_never_picks_the_digit():
    unclear = Reading(Status.DOUBTFUL, Decimal("17.7"), 0.51, Why.DIGIT_UNCLEAR)
    shapes = [guess(1, 0.999), guess(7, 0.51, 4), guess(7, 0.999)]

    reading = checked(field(expect=Expectation(14.7, 0.1)), unclear, {}, guesses=shapes)

    assert (reading.status, reading.value) == (Status.DOUBTFUL, Decimal("17.7"))


def test_agreeing_expectation_lifts_a_digit_that_would_make_another_number():
    shapes = [guess(1, 0.95, 7), guess(4, 0.999), guess(7, 0.999)]

    reading = checked(field(high=99, expect=Expectation(14.0, 1)), UNCLEAR, {}, guesses=shapes)

    assert (reading.status, reading.value) == (Status.SURE, Decimal("14.7"))
    assert 0.995 * 0.999**2 < reading.confidence < 0.999**2


def test_expectation_does_not_lift_a_digit_below_its_own_gate():
    shapes = [guess(1, 0.89, 7), guess(4, 0.999), guess(7, 0.999)]

    assert checked(field(expect=Expectation(14.0, 1)), UNCLEAR, {}, guesses=shapes) == UNCLEAR


def test_expectation_wider_than_a_step_does_not_lift_the_last_digit():
    shapes = [guess(1, 0.999), guess(4, 0.999), guess(7, 0.95, 1)]

    assert checked(field(expect=Expectation(14.7, 1)), UNCLEAR, {}, guesses=shapes) == UNCLEAR


def test_bounds_lift_a_digit_that_would_leave_them():
    shapes = [guess(1, 0.97, 7), guess(4, 0.999), guess(7, 0.999)]

    lifted = [checked(field(high=most), UNCLEAR, {}, guesses=shapes).status for most in (50, 99.9)]

    assert lifted == [Status.SURE, Status.DOUBTFUL]


def test_number_is_exact():
    assert str(number(guesses("0120"), 2)) == "1.20"


@pytest.mark.parametrize(
    ("value", "witness", "same"),
    [
        (Decimal("4"), 4, True),
        (Decimal("4.0"), 4, True),
        (Decimal("4"), 5, False),
        (None, 5, False),
    ],
)
def test_witness_of_numbers_compares_numbers(value, witness, same):
    assert says_the_same(value, witness) is same
