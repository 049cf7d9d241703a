from datetime import date, timedelta

import numpy as np
import pytest

from passport.climate.air import AirReading, Weather, wetting
from passport.climate.room import expected_course
from passport.climate.slab import Slab
from passport.table import Room

SLAB = Slab(76.2)
START = date(2025, 1, 1)
DAYS = np.arange(START.toordinal(), START.toordinal() + 366, 30)
COURSE = expected_course(Room(heated=True))


def cards(count, step=30):
    return [AirReading(START + timedelta(days=step * k), 40 + k % 5, 20.0) for k in range(count)]


def test_without_readings_the_course_alone_speaks():
    found = wetting(COURSE, [], SLAB, DAYS)

    assert not found.mean[2:].any()


@pytest.mark.parametrize("count", [1, 12, 40])
def test_readings_narrow_what_is_known_of_the_wetting(count):
    before, after = (wetting(COURSE, air, SLAB, DAYS).cov for air in ([], cards(count)))

    assert (np.diag(after) < np.diag(before) + 1e-12).all()


def test_order_of_readings_does_not_matter():
    first, second = (wetting(COURSE, air, SLAB, DAYS).mean for air in (cards(9), cards(9)[::-1]))

    np.testing.assert_allclose(first, second, rtol=1e-9)


def test_covariance_of_a_conditioned_wetting_is_one():
    found = wetting(COURSE, cards(40, 9), SLAB, DAYS)

    assert np.linalg.eigvalsh(found.cov).min() > -1e-9


def test_two_readings_of_one_day_are_two_witnesses():
    one = AirReading(START, 60.0, 20.0)
    single, double = (wetting(COURSE, [one] * n, SLAB, DAYS).cov[0, 0] for n in (1, 2))

    assert double < single


def test_weather_of_the_air_has_its_stated_size_and_memory():
    weather = Weather.of(SLAB)

    got = (weather.air[0], weather.air[20] - weather.air[40])
    # 0.7² and a half-yearly 0.35²; then e⁻¹ - e⁻² of the first and the wave's fall
    wave = 0.35**2 * (np.cos(4 * np.pi * 20 / 365.25) - np.cos(4 * np.pi * 40 / 365.25))
    assert got == pytest.approx((0.49 + 0.1225, 0.49 * (np.exp(-1) - np.exp(-2)) + wave), abs=0.02)


def test_slab_follows_earlier_air_and_not_later_air():
    weather = Weather.of(Slab(76.2, 1e-10))
    half_yearly = np.mean([weather.slab_air[-k] for k in (1200, 1291)])  # far from all weather

    assert weather.slab_air[5] > weather.slab_air[-5] > half_yearly
