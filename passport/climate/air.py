"""The room's air over the years, as far as readings tell, and how unevenly it wets the board."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_factor, cho_solve

from passport.climate.moisture import (
    EQUATION_U_PCT,
    equilibrium_pct,
    equilibrium_u_pct,
    is_published,
)
from passport.climate.room import (
    PER_DAY,
    TWICE_U_PCT,
    WEATHER_DAYS,
    WEATHER_U_PCT,
    Course,
    waves,
)
from passport.climate.slab import Slab, gain, yearly_gain

Floats = NDArray[np.float64]

# A household hygrometer, and a room nobody took the temperature of; common practice, no source.
HUMIDITY_U_PCT = 3.0
TEMPERATURE_U_C = 1.0
UNREAD_C, UNREAD_U_C = 20.0, 4.0
_LAGS = 8192  # days; the weather's course returns after them, beyond any history kept
_LAG_DAYS = np.fft.fftfreq(_LAGS, 1 / _LAGS)  # later air has negative lags, at the array's end


@dataclass(frozen=True)
class AirReading:
    """The air of the room on a day; from a visit or from the owner's card."""

    day: date
    humidity_pct: float
    temperature_c: float | None = None

    @property
    def usable(self) -> bool:
        """Whether it can be the air of a room."""
        celsius = UNREAD_C if self.temperature_c is None else self.temperature_c
        return is_published(celsius, self.humidity_pct)

    def moisture(self) -> tuple[float, float]:
        """Equilibrium moisture of wood in this air, and its standard uncertainty. [% MC]."""
        if self.temperature_c is None:
            celsius, u = UNREAD_C, UNREAD_U_C
        else:
            celsius, u = self.temperature_c, TEMPERATURE_U_C
        return (
            equilibrium_pct(celsius, self.humidity_pct),
            equilibrium_u_pct(celsius, self.humidity_pct, u, HUMIDITY_U_PCT),
        )


@dataclass(frozen=True)
class Wetting:
    """Face difference of one slab: what is yearly (cosine, sine), then the weather's at N days.

    ``mean`` of shape (2 + N,), ``cov`` of shape (2 + N, 2 + N). [% MC]
    """

    mean: Floats
    cov: Floats


@dataclass(frozen=True)
class Weather:
    """Covariances of what the year's pure wave leaves out, by lag in days."""

    air: Floats  # air with air
    slab: Floats  # face difference with face difference
    slab_air: Floats  # face difference with earlier air; later air at the array's end

    @classmethod
    def of(cls, slab: Slab) -> "Weather":
        """Pass weather, which loses its memory evenly, and a half-yearly wave through a slab."""
        per_day = np.asarray(2 * np.pi * np.fft.rfftfreq(_LAGS), dtype=np.float64)
        rate = 1 / WEATHER_DAYS
        power = 2 * rate * WEATHER_U_PCT**2 / (rate**2 + per_day**2)
        passed = gain(slab, per_day)
        twice = np.exp(2j * PER_DAY * _LAG_DAYS) * TWICE_U_PCT**2
        held = gain(slab, np.array([2 * PER_DAY]))[0]
        return cls(
            np.fft.irfft(power) + twice.real,
            np.fft.irfft(power * np.abs(passed) ** 2) + (abs(held) ** 2 * twice).real,
            np.fft.irfft(power * passed) + (held * twice).real,
        )


@lru_cache(maxsize=64)
def _weather(slab: Slab) -> Weather:
    return Weather.of(slab)


def wetting(
    course: Course, readings: Sequence[AirReading], slab: Slab, days: NDArray[np.int64]
) -> Wetting:
    """Say how unevenly a board is wetted, by what is known of the room.

    Parameters
    ----------
    course : Course
        What is taken for granted of the year.
    readings : sequence of AirReading
        Any number, in any order.
    slab : Slab
        The board.
    days : ndarray of shape (N,)
        Ordinals of the days wanted.

    Returns
    -------
    Wetting
        Mean and covariance; with no reading, those of the course.
    """
    weather = _weather(slab)
    turn = _year_through(slab)
    swing_cov = np.array(course.swing_cov)
    mean = np.concatenate([turn @ course.swing, np.zeros(days.size)])
    cov = np.zeros((2 + days.size,) * 2)
    cov[:2, :2] = turn @ swing_cov @ turn.T
    cov[2:, 2:] = weather.slab[np.subtract.outer(days, days)]
    if not readings:
        return Wetting(mean, cov)
    taken = np.array([reading.day.toordinal() for reading in readings])
    cross = np.concatenate(
        [turn @ swing_cov @ waves(taken).T, weather.slab_air[np.subtract.outer(days, taken)]]
    )  # (2 + N, readings)
    off, held = _readings_against(course, readings, taken, weather)
    factor = cho_factor(held, lower=True)
    return Wetting(mean + cross @ cho_solve(factor, off), cov - cross @ cho_solve(factor, cross.T))


def _readings_against(
    course: Course, readings: Sequence[AirReading], taken: NDArray[np.int64], weather: Weather
) -> tuple[Floats, Floats]:
    """Departure of the readings from the course, and its covariance."""
    moisture, u = np.array([reading.moisture() for reading in readings]).T
    yearly = waves(taken)
    off = moisture - course.mean_pct - yearly @ course.swing
    held = (
        course.mean_u_pct**2
        + EQUATION_U_PCT**2
        + yearly @ np.array(course.swing_cov) @ yearly.T
        + weather.air[np.subtract.outer(taken, taken)]
        + np.diag(u**2)
    )
    return off, held


def _year_through(slab: Slab) -> Floats:
    """Matrix from the air's yearly cosine and sine to those of the face difference."""
    passed = yearly_gain(slab, 2 * np.pi / PER_DAY)
    return np.array([[passed.real, passed.imag], [-passed.imag, passed.real]])
