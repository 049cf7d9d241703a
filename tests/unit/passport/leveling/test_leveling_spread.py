import math

import numpy as np
import pytest

from passport.leveling.spread import Spread


def test_even_spread_holds_ninety_five_percent_of_its_width():
    assert Spread(10, 2, 0).interval() == pytest.approx((8.1, 11.9))


def test_normal_spread_reaches_two_standard_deviations():
    assert Spread(0, 0, 1).interval() == pytest.approx((-1.959964, 1.959964), rel=1e-6)


def test_uncertainty_is_the_root_of_both_variances():
    assert Spread(0, 3, 1).u == pytest.approx(2.0)


def test_known_value_has_no_interval():
    assert Spread(5, 0, 0).interval() == (5, 5)


def test_mixed_spread_agrees_with_draws():
    draws = np.random.default_rng(3).uniform(-2, 2, 400_000)
    draws += np.random.default_rng(4).normal(0, 0.7, 400_000)

    assert Spread(0, 2, 0.7).within(-1.5, 1.0) == pytest.approx(
        np.mean((draws > -1.5) & (draws < 1.0)), abs=3e-3
    )


@pytest.mark.parametrize(("half", "normal"), [(1, 1e-12), (1e-12, 1), (0, 0), (1, 1)])
def test_probability_rises_from_nought_to_one(half, normal):
    spread = Spread(0, half, normal)

    assert (spread.below(-50), spread.below(50)) == pytest.approx((0, 1))


def test_probability_below_the_middle_is_a_half():
    assert math.isclose(Spread(1, 2, 3).below(1), 0.5)
