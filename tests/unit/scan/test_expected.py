"""What a form knew of a number: by hand, and by counting numbers drawn as the model says."""

from decimal import Decimal

import numpy as np
import pytest

from forms.field import Box, Digits, Expectation
from scan.digits import checked, number
from scan.expected import OUTSIDE, SURPRISES, expected_chances, likelihood
from scan.network import Guess
from scan.reading import Reading, Status, Why

BOXES = tuple(Box(7.2 * at, 0, 6.5, 8.5) for at in range(2))


def field(low=0, high=0, expect=None) -> Digits:
    return Digits("n", "", "", BOXES, 0, low, high, expect=expect)


def guess(digit: int, chance: float, other: int) -> Guess:
    return Guess(
        tuple(chance if at == digit else (1 - chance) * (at == other) for at in range(10)), True
    )


STRAYS = 0.15
SEVENTEEN = [guess(1, 0.95, 7), guess(7, 0.95, 1)]


def test_without_bounds_or_expectation_chances_stay_as_they_are():
    assert expected_chances(field(), SEVENTEEN, 1) == pytest.approx([0.95, 0.95])


def test_bounds_by_hand():
    """The first digit: 7 and 4 to 9 leave the bounds 1 to 31; 0, 2, 3 stay within or nearly.

    37 leaves them too, 07 and 27 do not: each has a ninth of a fifth of what is left.
    """
    inside, outside = (1 - OUTSIDE) / 31, OUTSIDE / 69
    others = 0.05 * (0.2 / 9 * (2 * inside + 7 * outside) + 0.8 * outside)

    first, last = expected_chances(field(1, 31), SEVENTEEN, 1)

    assert first == pytest.approx(0.95 * inside / (0.95 * inside + others))
    assert last == pytest.approx(0.95, abs=0.001)


def test_narrow_expectation_by_hand():
    """18 with u = 1, in steps of 1: 17 lies 1 / sqrt(2) off, 77 where only surprises are."""
    expected = field(0, 99, Expectation(18, 1))

    near, far = likelihood(expected, np.array([17.0, 77.0]))

    assert far == pytest.approx(SURPRISES / 100, rel=0.01)
    assert near == pytest.approx(0.95 / np.sqrt(4 * np.pi) * np.exp(-0.25), rel=0.01)


@pytest.mark.parametrize("u", [3, 10])
def test_last_digit_gets_hardly_any_help_from_a_wide_expectation(u):
    shapes = [guess(1, 0.999, 7), guess(7, 0.95, 5)]

    last = expected_chances(field(0, 99, Expectation(17, u)), shapes, 1)[1]

    assert last < 0.965


@pytest.mark.parametrize("sign", [1, -1])
def test_sign_belongs_to_the_number(sign):
    expected = field(-99, 99, Expectation(-17.0, 1))

    assert (expected_chances(expected, SEVENTEEN, sign)[0] > 0.99) == (sign < 0)


@pytest.mark.parametrize("expect", [Expectation(47, 2), Expectation(21, 8), None])
def test_of_what_is_confirmed_no_more_is_wrong_than_is_said(expect):
    """8,000 numbers within 1 to 60, written as expected but for surprises, read by a fair network.

    One in seven of its errors is another digit than its second guess.
    """
    rng = np.random.default_rng(5)
    own = field(1, 60, expect)
    said, wrong = [], 0
    for written in _written(own, rng, 8_000):
        shapes = [_shape(int(digit), rng) for digit in f"{written:02d}"]
        read = number(shapes, 0)
        unclear = Reading(Status.DOUBTFUL, read, 0.9, Why.DIGIT_UNCLEAR)
        reading = checked(own, unclear, {}, guesses=shapes)
        if reading.status is Status.SURE:
            said.append(reading.confidence)
            wrong += reading.value != Decimal(int(written))

    assert len(said) > 1_000
    claimed = len(said) - sum(said)
    assert wrong <= claimed + 3 * np.sqrt(claimed)


def _written(own: Digits, rng: np.random.Generator, count: int) -> np.ndarray:
    values = np.arange(100)
    chances = likelihood(own, values)
    return rng.choice(values, count, p=chances / chances.sum())


def _shape(written: int, rng: np.random.Generator) -> Guess:
    """Read a digit as a network whose chances are right does: wrong as often as it says."""
    chance = rng.choice([0.92, 0.97, 0.999])
    others = [digit for digit in range(10) if digit != written]
    if rng.random() < chance:
        return guess(written, chance, int(rng.choice(others)))
    digit = int(rng.choice(others))
    if rng.random() < STRAYS:
        return guess(digit, chance, int(rng.choice([at for at in others if at != digit])))
    return guess(digit, chance, written)
