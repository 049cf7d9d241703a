"""The Nile at Aswan 1871-1970 (R and statsmodels: dataset nile), a level that wanders.

Durbin & Koopman, Time Series Analysis by State Space Methods, 2nd ed. 2012, 2.2.5 and 2.10: σ²ε
15099, σ²η 1469.1 (as reprinted publicly). Single levels below were computed apart with them; the
whole course is compared with statsmodels.
"""

import numpy as np
import pytest
import statsmodels.api as sm
from scipy.optimize import minimize

from passport.climate.local_level import filtered, log_likelihood, smoothed

READ, STEP = 15099.0, 1469.1
FILTERED = [(0, 1120.0), (1, 1140.92784), (2, 1072.79853), (99, 798.370293)]
PREDICTED_VARIANCES = [16568.1, 9368.8364, 7250.5699]


@pytest.fixture(scope="module")
def nile():
    return [float(volume) for volume in sm.datasets.nile.load_pandas().data["volume"]]


@pytest.fixture(scope="module")
def reference(nile):
    model = sm.tsa.UnobservedComponents(nile, "llevel", use_exact_diffuse=True)
    return model.smooth([READ, STEP])


def test_series_is_the_published_one(nile):
    """R, dataset Nile: 100 years, sum 91935."""
    assert (len(nile), sum(nile)) == (100, 91935)


@pytest.mark.parametrize(("year", "level"), FILTERED)
def test_level_is_filtered_as_published(nile, year, level):
    """Durbin & Koopman 2.2.5, worked apart at 15099 and 1469.1."""
    assert filtered(nile, READ, STEP)[year].mean == pytest.approx(level, abs=1e-5)


def test_variance_before_each_reading_falls_as_published(nile):
    """Durbin & Koopman 2.2.5: predicted variances of the first years."""
    found = [level.variance + STEP for level in filtered(nile, READ, STEP)[:3]]

    assert found == pytest.approx(PREDICTED_VARIANCES, abs=1e-4)


def test_variance_settles_as_published(nile):
    """Durbin & Koopman 2.11: steady variance of the filtered level 4032.158."""
    assert filtered(nile, READ, STEP)[-1].variance == pytest.approx(4032.15794, abs=1e-4)


def test_filter_agrees_with_statsmodels(nile, reference):
    found = [level.mean for level in filtered(nile, READ, STEP)]

    np.testing.assert_allclose(found, reference.filtered_state[0], rtol=1e-9)


def test_smoother_agrees_with_statsmodels(nile, reference):
    levels = smoothed(nile, READ, STEP)
    found = [[level.mean, level.variance] for level in levels]
    wanted = np.array([reference.smoothed_state[0], reference.smoothed_state_cov[0, 0]]).T

    np.testing.assert_allclose(found, wanted, rtol=1e-7)


@pytest.mark.parametrize(("year", "level"), [(0, 1111.66832), (49, 834.76326)])
def test_level_is_smoothed_as_published(nile, year, level):
    """Durbin & Koopman 2.4, worked apart."""
    assert smoothed(nile, READ, STEP)[year].mean == pytest.approx(level, abs=1e-4)


def test_likelihood_is_that_of_the_diffuse_start(nile):
    """-632.5456 as the package KFAS prints it, which leaves ln(2 π) / 2 of the first reading out.

    Ours leaves the first reading out altogether, as Durbin & Koopman 2.9 do: -632.5456 as well.
    """
    assert log_likelihood(nile, READ, STEP) == pytest.approx(-632.5456, abs=1e-3)


def test_likeliest_variances_are_the_published_ones(nile):
    """Durbin & Koopman 2.10.3: 15099 and 1469.1, within 1 %."""
    best = minimize(
        lambda logs: -log_likelihood(nile, *np.exp(logs)),
        np.log([10000.0, 1000.0]),
        method="Nelder-Mead",
        options={"xatol": 1e-6, "fatol": 1e-8},
    )

    assert np.exp(best.x) == pytest.approx([READ, STEP], rel=0.01)
