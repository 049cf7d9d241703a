"""NIST StRD linear regression, several coordinates: Longley, Wampler1, Wampler3.

Certified values of NIST/ITL. Longley's data come with statsmodels (its results class cites NIST);
Wampler's are y = Σ xᵏ for k = 0 … 5, with the published additions for Wampler3.
"""

import numpy as np
import pytest
from statsmodels.datasets import longley

from passport.leveling.flatness import least_squares

X = np.arange(21.0)
WAMPLER_1 = sum(X**power for power in range(6))
WAMPLER_3 = np.array(
    [760, -2042, 2111, -1684, 3888, 1858, 11379, 17560, 39287, 64382, 113159, 175108, 273291,
     400186, 581243, 811568, 1121004, 1506550, 2002767, 2611612, 3369180],
    dtype=np.float64,
)  # fmt: skip
POWERS = [X**power for power in range(1, 6)]
LONGLEY = (
    -3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683,
    -1.03322686717359, -0.0511041056535807, 1829.15146461355,
)  # fmt: skip


@pytest.fixture
def employed():
    data = longley.load_pandas()
    places = [data.exog[name].to_numpy(np.float64) for name in data.exog.columns]
    return least_squares(places, data.endog.to_numpy(np.float64))


def test_longley_has_the_certified_coefficients(employed):
    assert employed.coefficients == pytest.approx(LONGLEY, rel=1e-7)


def test_longley_has_the_certified_residual_variance(employed):
    """92936.0061673238 with nine degrees of freedom."""
    assert np.square(employed.departures).sum() / 9 == pytest.approx(92936.0061673238, rel=1e-8)


@pytest.mark.parametrize("heights", [WAMPLER_1, WAMPLER_3], ids=["Wampler1", "Wampler3"])
def test_wampler_has_ones_for_all_coefficients(heights):
    assert least_squares(POWERS, heights).coefficients == pytest.approx(np.ones(6), rel=1e-6)


def test_wampler_3_has_the_certified_residual_deviation():
    """2360.14502379268 with fifteen degrees of freedom."""
    departures = least_squares(POWERS, WAMPLER_3).departures

    assert np.sqrt(np.square(departures).sum() / 15) == pytest.approx(2360.14502379268, rel=1e-9)
