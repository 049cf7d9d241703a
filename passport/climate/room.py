"""What is taken for granted of a room's air over the year until its own readings say more.

None of the sizes has a published source for a room indoors: they are stated, wide, and give way to
readings. Heated rooms are driest when outdoor air is coldest; 6 to 8 % MC is common indoors
(extension manual FOR-128), and heated winter air alone would come to some 4 % (see the tests).
"""

import cmath
import math
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from passport.table import Room

Floats = NDArray[np.float64]

YEAR_DAYS = 365.25
PER_DAY = 2 * math.pi / YEAR_DAYS
_NEW_YEAR = date(2000, 1, 1).toordinal()

MEAN_PCT, MEAN_U_PCT = 8.0, 1.5
SWING_PCT = {True: 1.8, False: 1.6, None: 1.6}  # half of dry to damp; by whether it is heated
SWING_U_PCT = {True: 0.9, False: 1.0, None: 1.0}
WEATHER_U_PCT, WEATHER_DAYS = 0.7, 20.0  # what a year's course leaves out, and how long it lasts
TWICE_U_PCT = 0.35  # a wave of half a year, cosine and sine alike: heating starts and stops

NAMED_U_RAD = 0.5  # months named by the owner: a month, for they are named from memory
HEATED_U_RAD = 0.6  # five weeks as well
HEATED_DAMP_DAY = 218.0  # early August: a heated room of the northern half is driest in February
UNKNOWN_U_RAD = 1.8  # hardly anything


@dataclass(frozen=True)
class Course:
    """A room's yearly course of equilibrium moisture: mean + a·cos + b·sin of the year's angle.

    ``swing`` is (a, b), ``swing_cov`` its covariance [% MC²]; ``stated`` says on what it rests.
    """

    swing: tuple[float, float]
    swing_cov: tuple[tuple[float, float], tuple[float, float]]
    stated: str
    mean_pct: float = MEAN_PCT
    mean_u_pct: float = MEAN_U_PCT


def year_angle(day: float | Floats | NDArray[np.int64]) -> Floats:
    """Angle of the year at a day (its ordinal), nought at New Year. [rad]."""
    return np.asarray((np.asarray(day) - _NEW_YEAR) * PER_DAY, dtype=np.float64)


def waves(days: Floats | NDArray[np.int64]) -> Floats:
    """Cosine and sine of the year at each of N days; shape (N, 2)."""
    angle = year_angle(days)
    return np.stack([np.cos(angle), np.sin(angle)], axis=-1)


def expected_course(room: Room) -> Course:
    """State a room's yearly course from its description.

    Parameters
    ----------
    room : Room
        Heated or not, dry and damp months; each may be missing.

    Returns
    -------
    Course
        The moments of a swing of uncertain size and uncertain season.
    """
    damp, u_rad, stated = _season(room)
    size, size_u = SWING_PCT[room.heated], SWING_U_PCT[room.heated]
    square = size**2 + size_u**2
    mean = size * math.exp(-(u_rad**2) / 2)
    along = square * (1 + math.exp(-2 * u_rad**2)) / 2 - mean**2
    across = square * (1 - math.exp(-2 * u_rad**2)) / 2
    turn = np.array([[math.cos(damp), -math.sin(damp)], [math.sin(damp), math.cos(damp)]])
    cov = turn @ np.diag([along, across]) @ turn.T
    return Course(
        swing=(mean * math.cos(damp), mean * math.sin(damp)),
        swing_cov=((cov[0, 0], cov[0, 1]), (cov[1, 0], cov[1, 1])),
        stated=stated,
    )


def _season(room: Room) -> tuple[float, float, str]:
    """Angle of the damp end, its standard uncertainty, and what both rest on."""
    named = _middle(room.damp_months) - _middle(room.dry_months)
    if abs(named) > 0.2:  # names that contradict each other cancel
        return cmath.phase(named), NAMED_U_RAD, "the room's dry and damp months as described"
    if room.heated:
        damp = (HEATED_DAMP_DAY - 1) * PER_DAY
        return damp, HEATED_U_RAD, "a heated room, assumed driest in February"
    return 0.0, UNKNOWN_U_RAD, "a room of which no dry and damp months are described"


def _middle(months: tuple[int, ...]) -> complex:
    """Mean of months as points of the year's circle; nought where there are none."""
    points = [cmath.exp(2j * math.pi * (month - 0.5) / 12) for month in months]
    return sum(points) / len(points) if points else 0j
