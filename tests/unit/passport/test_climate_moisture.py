import math
from datetime import date

import pytest

from passport.climate.air import AirReading
from passport.climate.moisture import equilibrium_pct, equilibrium_u_pct


@pytest.mark.parametrize("air", [(20, -1), (20, 101), (-5, 50), (80, 50), (math.nan, 50)])
def test_moisture_of_impossible_air_is_no_number(air):
    assert math.isnan(equilibrium_pct(*air))


@pytest.mark.parametrize(("celsius", "humidity"), [(None, 101), (90, 50), (20, math.nan)])
def test_reading_of_impossible_air_is_not_used(celsius, humidity):
    assert not AirReading(date(2026, 1, 1), humidity, celsius).usable


def test_moisture_is_as_uncertain_as_the_hygrometer():
    """3 % RH at 50 % and 20 °C: the slope there is some 0.16 % MC per % RH."""
    slope = equilibrium_pct(20, 50.5) - equilibrium_pct(20, 49.5)

    assert equilibrium_u_pct(20, 50, 0, 3) == pytest.approx(3 * slope, rel=0.01)


def test_moisture_is_as_uncertain_as_the_thermometer():
    slope = equilibrium_pct(20.5, 50) - equilibrium_pct(19.5, 50)

    assert equilibrium_u_pct(20, 50, 4, 0) == pytest.approx(abs(4 * slope), rel=0.01)


def test_uncertainty_stays_a_number_at_the_ends_of_the_range():
    assert equilibrium_u_pct(20, 99, 1, 3) > 0
