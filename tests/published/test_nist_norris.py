"""NIST/ITL Statistical Reference Datasets, linear regression, "Norris": certified values.

Ozone monitors, 36 pairs, y = B0 + B1 x; lower level of difficulty. NIST certifies about 15 digits.
"""

import pytest

from passport.leveling.line import fit_line

Y = (
    0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1,
    668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0,
    998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
)  # fmt: skip
X = (
    0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5,
    666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2,
    999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
)  # fmt: skip


def test_norris_line_has_the_certified_estimates():
    """Certified: B0 = −0.262323073774029, B1 = 1.00211681802045."""
    found = fit_line(X, Y, 0.0)

    assert (found.intercept, found.slope) == pytest.approx(
        (-0.262323073774029, 1.00211681802045), rel=1e-11
    )


def test_norris_line_has_the_certified_standard_deviations():
    """Certified: s(B0) = 0.232818234301152, s(B1) = 0.429796848199937e-3."""
    found = fit_line(X, Y, 0.0)

    assert (found.u_intercept, found.u_slope) == pytest.approx(
        (0.232818234301152, 0.429796848199937e-3), rel=1e-11
    )


def test_norris_line_has_the_certified_residual_deviation():
    """Certified: residual standard deviation 0.884796396144373 with 34 degrees of freedom."""
    found = fit_line(X, Y, 0.0)

    assert (found.scatter, found.freedom) == (pytest.approx(0.884796396144373, rel=1e-11), 34)
