"""How long a board may be: against brute force, and what the tape leaves open."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from passport.visits.survey.passage import (
    SIZES,
    Load,
    Passage,
    Place,
    longest,
    longest_in_rectangle,
    longest_round_corner,
    longest_with_tape,
)

BOARD = Load(6705.6, 508.0, 76.2)
WIDTHS = st.floats(700, 2500)


def placeable(length, thickness, angle, corridors):
    """Whether a rectangle at an angle has some place in an L of two corridors, by trying them."""
    along = np.array([-math.cos(angle), math.sin(angle)])
    across = np.array([math.sin(angle), math.cos(angle)])
    steps, sides = np.linspace(0, length, 400), np.linspace(0, thickness, 5)
    points = steps[:, None, None] * along + sides[None, :, None] * across
    points = points.reshape(-1, 2) - points.reshape(-1, 2).min(axis=0)
    for dx in np.linspace(0, 400, 9):
        for dy in np.linspace(0, 400, 9):
            beyond = (points[:, 0] + dx > corridors[0]) & (points[:, 1] + dy > corridors[1])
            if not beyond.any():
                return True
    return False


@pytest.mark.parametrize(
    ("before", "after", "thickness"), [(1200, 1200, 0), (1000, 1600, 100), (1500, 900, 500)]
)
def test_corner_agrees_with_a_search_of_poses(before, after, thickness):
    found = longest_round_corner(before, after, thickness)

    angles = np.linspace(0.01, math.pi / 2 - 0.01, 120)
    turns = [
        all(placeable(found * part, thickness, angle, (before, after)) for angle in angles)
        for part in (0.985, 1.015)
    ]
    assert turns == [True, False]


@pytest.mark.parametrize(("long", "high", "width"), [(1400, 1100, 80), (2200, 2100, 508)])
def test_box_in_a_box_agrees_with_a_search_of_poses(long, high, width):
    best = 0.0
    for angle in np.linspace(0, math.pi / 2, 20001):
        sine, cosine = math.sin(angle), math.cos(angle)
        lengths = np.array([(long - width * sine) / max(cosine, 1e-9),
                            (high - width * cosine) / max(sine, 1e-9)])  # fmt: skip
        best = max(best, float(lengths.min()))

    assert longest_in_rectangle(long, high, width) == pytest.approx(best, rel=1e-4)


@given(WIDTHS, WIDTHS, st.floats(0, 600), st.floats(1, 50))
@settings(max_examples=50, deadline=None)
def test_wider_corridors_never_shorten_the_board(before, after, thickness, more):
    assert (
        longest_round_corner(before + more, after, thickness)
        >= longest_round_corner(before, after, thickness) - 1e-6
    )


@given(WIDTHS, WIDTHS, st.floats(0, 600))
@settings(max_examples=50, deadline=None)
def test_corridors_may_be_walked_either_way(before, after, thickness):
    there = longest_round_corner(before, after, thickness)
    back = longest_round_corner(after, before, thickness)

    assert there == pytest.approx(back, rel=1e-6)


def test_too_thick_a_board_has_no_length_at_all():
    assert longest_round_corner(1000, 80, 80) == 0.0
    assert longest_in_rectangle(1000, 500, 508) == 0.0


def test_tilting_under_the_ceiling_lets_a_longer_board_round_the_corner():
    flat = longest_round_corner(1500, 1500, 76.2)

    assert longest(Place.CORNER_1, (1500, 1500, 2400), BOARD) > flat


@pytest.mark.parametrize(
    ("door", "length"), [((800, 2000), math.inf), ((2000, 70), 0.0), ((500, 500), 0.0)]
)
def test_door_lets_any_length_through_or_none(door, length):
    assert longest(Place.DOOR, door, BOARD) == length


def test_half_turn_is_no_longer_than_its_landing_allows():
    short, long = (longest(Place.LANDING, (1500, 1500, n, 2300), BOARD) for n in (2000, 3200))

    assert short == pytest.approx(longest_in_rectangle(2000, 2300, 508))
    assert long > short


def test_lift_takes_the_longest_of_the_cabins_three_diagonals():
    found = longest(Place.LIFT, (1100, 1400, 2200, 900, 2000), BOARD)

    plan = longest_in_rectangle(1400, 1100, 76.2)
    assert found == pytest.approx(longest_in_rectangle(plan, 2200, 508))
    assert longest(Place.LIFT, (1100, 1400, 2200, 70, 2000), BOARD) == 0.0


def test_tape_bounds_hold_every_error_within_it():
    found = longest_with_tape(Place.CORNER_1, (1300, 1300, 2400), BOARD, 5.0)

    rng = np.random.default_rng(3)
    for off in rng.uniform(-5, 5, (50, 3)):
        sizes = tuple(float(one) for one in np.array([1300, 1300, 2400]) + off)
        assert found.low_mm <= longest(Place.CORNER_1, sizes, BOARD) <= found.high_mm


@pytest.mark.parametrize(
    ("length", "passage"),
    [(0.0, Passage.THROUGH), (0.5, Passage.CLOSE), (1.5, Passage.STUCK)],
)
def test_board_between_the_bounds_is_too_close_for_the_tape(length, passage):
    found = longest_with_tape(Place.CORNER_1, (1300, 1300, 2400), BOARD, 5.0)
    board = found.low_mm + length * (found.high_mm - found.low_mm)

    assert found.passage(board) is passage


def test_every_place_names_its_sizes():
    assert SIZES.keys() == set(Place)
