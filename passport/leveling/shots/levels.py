"""What the levels of one visit say by themselves, errors common to the visit shared.

History is left out on purpose: shots and loads are compared with what was read that day.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from passport.leveling.advice import Quantity
from passport.leveling.common import CommonErrors, common_errors
from passport.leveling.readings import Reading, cross_reading, hollow_reading
from passport.leveling.walks import Gap, Moment, count_at, counts_at
from passport.table import Table
from passport.visit import Count, Visit

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Level:
    """One station read on the day.

    Attributes
    ----------
    station, x_mm : str, float
        Where. [mm]
    value : float
        Cross slope [mm/m] or hollow [mm].
    own_u : float
        Standard uncertainty that no other reading shares.
    shared : tuple of 3 floats
        Standard deviations from level zero, cards and bow, with their signs.
    """

    station: str
    x_mm: float
    value: float
    own_u: float
    shared: tuple[float, float, float]

    @property
    def u(self) -> float:
        """Standard uncertainty."""
        return float(np.hypot(self.own_u, np.hypot.reduce(self.shared)))


def cross_levels(table: Table, visit: Visit, moment: Moment) -> tuple[Level, ...]:
    """Read the cross levels of the legs that leveling turns; bounds and gaps are left out."""
    shared = common_errors(visit)
    found = []
    for leg in table.adjusted_legs():
        counts = counts_at(visit, Quantity.CROSS, leg.name, moment)
        if not isinstance(counts, Gap) and not any(count.bound for count in counts):
            found.append(_level(leg.name, leg.x_mm, cross_reading(visit.kit, counts), shared))
    return tuple(found)


def hollows(table: Table, visit: Visit, moment: Moment) -> tuple[Level, ...]:
    """Read the hollows over the brackets; bounds and gaps are left out."""
    shared, width = common_errors(visit), table.board.width_mm
    found = []
    for bracket in table.brackets:
        count = count_at(visit, Quantity.HOLLOW, bracket.name, moment)
        if isinstance(count, Count) and not count.bound:
            reading = hollow_reading(visit.kit, width, count)
            found.append(_level(bracket.name, bracket.x_mm, reading, shared))
    return tuple(found)


def covariance(read: Sequence[Level]) -> Array:
    """Give the covariance of N readings of one visit and quantity, (N, N). [unit²]."""
    columns = np.array([level.shared for level in read], dtype=np.float64)  # (N, 3)
    own = np.diag([level.own_u**2 for level in read])
    return np.asarray(own + columns @ columns.T, dtype=np.float64)


def _level(station: str, x_mm: float, reading: Reading, shared: CommonErrors) -> Level:
    value = (reading.value or 0.0) + shared.correct(reading)
    return Level(station, x_mm, value, reading.own_u, shared.column(reading))
