"""The second model of a hand."""

from dataclasses import replace

import numpy as np
import pytest

from forms.field import Box
from passport.booth import marks, pulses
from passport.booth.models import digit_strokes, mark_strokes
from passport.booth.writer import Hand, MarkStyle, Model, some_hand, with_mark

HAND = replace(some_hand(3), model=Model.PULSES, haste=0.0, tremor_mm=0.0, slant_deg=0.0)
BOX = Box(10, 20, 4.8, 4.8)


def dice():
    return np.random.default_rng(1)


@pytest.mark.parametrize("digit", pulses.DIGITS)
def test_a_digit_is_about_as_high_as_it_was_meant(digit):
    points = np.vstack([stroke.points for stroke in digit_strokes(HAND, digit, 6.0, dice())])

    assert np.ptp(points[:, 1]) == pytest.approx(6.0, rel=0.25)


def test_an_arc_of_half_a_turn_ends_where_it_aimed_and_bulges_by_its_radius():
    way = pulses._arc(np.array([2.0, 0.0]), 180.0, np.linspace(0, 1, 101))

    assert (*way[-1], way[50, 1]) == pytest.approx((2.0, 0.0, -1.0))


def test_pulses_that_do_not_overlap_reach_every_aim():
    points = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0]])

    way = pulses._summed(points, np.zeros(2), gap=6.0)

    nearest = [np.hypot(*(way - aim).T).min() for aim in points]
    assert max(nearest) < 0.03


def test_a_hasty_hand_cuts_the_corner():
    points = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0]])
    corner = [
        np.hypot(*(pulses._summed(points, np.zeros(2), gap) - points[1]).T).min()
        for gap in (3.0, 0.9)
    ]

    assert corner[1] > 3 * corner[0]


@pytest.mark.parametrize("style", MarkStyle)
def test_a_mark_lies_on_its_box(style):
    points = np.vstack([s.points for s in mark_strokes(with_mark(HAND, style), BOX, dice())])

    assert np.abs(points - (12.4, 22.4)).max() < 2 * 2.4


def test_hands_without_a_word_keep_the_first_model():
    strokes = mark_strokes(Hand(1), BOX, dice())

    assert np.array_equal(strokes[0].points, marks.mark_strokes(Hand(1), BOX, dice())[0].points)
