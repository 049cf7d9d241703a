"""JCGM 100:2008 (GUM), annex H.2: resistance and reactance measured together.

Five simultaneous sets of V, I and φ. Means and their covariance are ours; the derivatives are
written here. Inputs, means and R as published; X and Z printed values from memory, and recomputed
from the same inputs.
"""

import math

import numpy as np
import pytest

from passport.leveling.advice import Quantity
from passport.leveling.surface import Estimate, Station, covariance
from passport.table import Target
from passport.visits.kit.numbers import mean

VOLTS = (5.007, 4.994, 5.005, 4.990, 4.999)
MILLIAMPERES = (19.663, 19.639, 19.640, 19.685, 19.678)
RADIANS = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)
SETS = (VOLTS, tuple(one / 1000 for one in MILLIAMPERES), RADIANS)


@pytest.fixture
def joint():
    """Covariance of the three means: each deviation is an unknown that all three share."""
    station = Station("any", 0.0, Quantity.CROSS, Target(0.0, 1.0))
    share = math.sqrt(len(VOLTS) * (len(VOLTS) - 1))
    rows = [tuple((one - mean(values).value) / share for one in values) for values in SETS]
    return covariance([Estimate(station, factors=row) for row in rows])


@pytest.fixture
def found(joint):
    """R, X, Z [Ω] and their covariance."""
    volts, amperes, angle = (mean(values).value for values in SETS)
    impedance, cosine, sine = volts / amperes, math.cos(angle), math.sin(angle)
    jacobian = np.array(
        [
            [cosine / amperes, -impedance * cosine / amperes, -impedance * sine],
            [sine / amperes, -impedance * sine / amperes, impedance * cosine],
            [1 / amperes, -impedance / amperes, 0.0],
        ]
    )
    values = np.array([impedance * cosine, impedance * sine, impedance])
    return values, jacobian @ joint @ jacobian.T


def correlation(matrix, a, b):
    return matrix[a, b] / math.sqrt(matrix[a, a] * matrix[b, b])


@pytest.mark.parametrize(
    ("values", "middle", "u"),
    [(VOLTS, 4.9990, 0.0032), (MILLIAMPERES, 19.6610, 0.0095), (RADIANS, 1.04446, 0.00075)],
)
def test_means_and_their_uncertainties_are_those_of_table_h_2(values, middle, u):
    said = mean(values)

    assert (said.value, said.u) == pytest.approx((middle, u), rel=0.01)


@pytest.mark.parametrize(("pair", "printed"), [((0, 1), -0.36), ((0, 2), 0.86), ((1, 2), -0.65)])
def test_means_of_one_set_go_together_as_table_h_2_says(joint, pair, printed):
    assert correlation(joint, *pair) == pytest.approx(printed, abs=0.006)


def test_resistance_reactance_impedance_are_those_of_table_h_3(found):
    """R 127.732 Ω, u 0.071; X 219.847 Ω, u 0.295; Z 254.260 Ω, u 0.236."""
    values, matrix = found

    said = [*values, *np.sqrt(np.diag(matrix))]
    assert said == pytest.approx([127.732, 219.847, 254.260, 0.071, 0.295, 0.236], abs=0.0007)


@pytest.mark.parametrize(("pair", "printed"), [((0, 1), -0.588), ((0, 2), -0.485), ((1, 2), 0.993)])
def test_results_go_together_as_table_h_3_says(found, pair, printed):
    assert correlation(found[1], *pair) == pytest.approx(printed, abs=0.0006)


def test_results_without_the_shared_part_would_be_wrong(found, joint):
    """Taking V, I and φ as independent gives R an uncertainty some three times too large."""
    amperes = mean(SETS[1]).value
    angle = mean(SETS[2]).value
    impedance = mean(SETS[0]).value / amperes
    row = np.array(
        [
            math.cos(angle) / amperes,
            -impedance * math.cos(angle) / amperes,
            -impedance * math.sin(angle),
        ]
    )
    apart = math.sqrt(float(row**2 @ np.diag(joint)))

    assert apart > 2 * math.sqrt(found[1][0, 0])
