import pytest

from passport.leveling.line import fit_line


def test_line_through_two_values_is_none():
    assert fit_line([0, 1], [0, 1], 0) is None


def test_line_through_one_place_is_none():
    assert fit_line([2, 2, 2], [0, 1, 2], 0) is None


def test_line_through_values_on_a_line_is_exact():
    line = fit_line([0, 1, 2], [1, 3, 5], 1)

    assert (line.intercept, line.slope, line.scatter) == pytest.approx((3, 2, 0), abs=1e-12)


def test_steep_line_is_no_chance():
    line = fit_line([0, 1, 2, 3], [0.0, 1.02, 1.97, 3.01], 0)

    assert line.chance_of_no_slope() < 0.001


def test_flat_scatter_may_well_be_chance():
    line = fit_line([0, 1, 2, 3], [0.1, -0.1, 0.1, -0.1], 0)

    assert line.chance_of_no_slope() > 0.3


def test_line_is_no_surer_than_its_values():
    line = fit_line([0, 1, 2], [1, 3, 5], 1, least_scatter=0.5)

    assert (line.scatter, line.u_slope) == pytest.approx((0.5, 0.5 / 2**0.5))
