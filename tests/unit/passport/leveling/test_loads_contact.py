import numpy as np
import pytest

from passport.leveling.loads.contact import come_to_rest
from passport.leveling.loads.feet import hold_feet
from passport.leveling.loads.moments import Bar, hold
from passport.leveling.loads.travel import way_down, way_up

TWO_SPANS = hold(Bar(2.0, 1.0, 1.0), np.arange(3.0))
UP = np.array([0.0, 1.0, 0.0])


def test_foot_out_of_reach_carries_nothing_and_shows_its_gap():
    rest = come_to_rest(TWO_SPANS, np.array([0, -0.5, 0]))

    assert rest.forces == pytest.approx([1, 0, 1])
    assert rest.gaps == pytest.approx([0, 0.5 - 5 / 24, 0])
    assert list(rest.bears) == [True, False, True]


def test_bar_balances_on_a_centre_foot_alone():
    rest = come_to_rest(TWO_SPANS, np.array([0, 1.0, 0]))

    assert rest.forces == pytest.approx([0, 2, 0], abs=1e-12)


def test_bar_whose_weight_lies_outside_its_feet_tips_over():
    assert come_to_rest(hold(Bar(10, 1, 1), np.array([1.0, 2, 3])), np.zeros(3)) is None


def test_heights_count_only_against_each_other():
    low, high = (come_to_rest(TWO_SPANS, np.array([0, -0.01, 0]) + level) for level in (0, 5))

    assert low.forces == pytest.approx(high.forces)


def test_foot_of_two_never_goes_slack():
    held = hold(Bar(2.0, 1.0, 1.0), np.array([0.2, 1.8]))

    assert way_down(held, np.zeros(2), 0) is None
    assert way_up(held, np.zeros(2), np.array([1.0, 0.0])) is None


def test_slack_foot_has_no_way_down():
    assert way_down(TWO_SPANS, np.array([0, -0.5, 0]), 1) == 0.0


def test_raised_foot_first_comes_to_bear_then_frees_another():
    # 0.5 low: it touches after 0.5 − 5/24, lies level after 0.5, frees the ends after 0.5 + 1/8
    assert way_up(TWO_SPANS, np.array([0, -0.5, 0]), UP) == pytest.approx(0.5 + 1 / 8)


def test_nothing_is_slack_further_on_when_the_bar_tips():
    held = hold(Bar(10, 1, 1), np.array([1.0, 2, 3]))

    assert way_up(held, np.zeros(3), UP) is None


def test_left_and_right_share_evenly_on_level_feet():
    held = hold_feet(Bar(2.0, 1.0, 1.0, 1.0), np.arange(3.0), np.full(3, 0.5))

    assert held.level == pytest.approx(np.tile([0.375, 1.25, 0.375], 2) / 2)


def test_twist_loads_one_diagonal():
    # one leg leans by 0.01 / 0.5 = 0.02 rad; G J θ / L = 1 × 0.02 / 2 = 0.01 Nm, ± 0.02 N a foot
    held = hold_feet(Bar(2.0, 1.0, 1.0, 1.0), np.array([0.0, 2.0]), np.full(2, 0.5))

    rest = come_to_rest(held, np.array([0.005, 0.0, -0.005, 0.0]))

    assert rest.forces == pytest.approx([0.52, 0.48, 0.48, 0.52])


def test_stiff_bar_on_a_great_lean_rocks_on_one_diagonal():
    held = hold_feet(Bar(2.0, 1.0, 1.0, 1.0), np.array([0.0, 2.0]), np.full(2, 0.5))

    rest = come_to_rest(held, np.array([0.5, 0.0, -0.5, 0.0]))

    assert rest.forces == pytest.approx([1, 0, 0, 1], abs=1e-9)
