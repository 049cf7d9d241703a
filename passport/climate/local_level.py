"""The plain alternative: a level that wanders, and readings about it. Knows nothing of seasons.

References
----------
Durbin & Koopman, Time Series Analysis by State Space Methods, 2nd ed. 2012, 2.2 (filter) and
2.4 (smoothing); 2.9 for the start from nothing known.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Level:
    """A level and its variance; an infinite one before the first reading."""

    mean: float
    variance: float

    def wandered(self, variance: float) -> "Level":
        """Let the level wander by a step of this variance."""
        return Level(self.mean, self.variance + variance)

    def read(self, value: float, variance: float) -> "Level":
        """Take in one reading with its variance."""
        if math.isinf(self.variance):
            return Level(value, variance)
        weight = self.variance / (self.variance + variance)
        return Level(self.mean + weight * (value - self.mean), self.variance * (1 - weight))


UNKNOWN = Level(0.0, math.inf)


def filtered(values: Sequence[float], read_variance: float, step_variance: float) -> list[Level]:
    """Filter a series of evenly spaced readings, from nothing known.

    Parameters
    ----------
    values : sequence of float
        Readings.
    read_variance, step_variance : float
        Of a reading about the level, and of the level's step between readings.

    Returns
    -------
    list of Level
        The level at each reading, this one included.
    """
    levels, now = [], UNKNOWN
    for value in values:
        now = now.wandered(step_variance).read(value, read_variance)
        levels.append(now)
    return levels


def smoothed(values: Sequence[float], read_variance: float, step_variance: float) -> list[Level]:
    """Smooth a series of evenly spaced readings: each level in the light of all of them."""
    levels = filtered(values, read_variance, step_variance)
    later = levels[-1]
    done = [later]
    for now in reversed(levels[:-1]):
        ahead = now.wandered(step_variance)
        weight = now.variance / ahead.variance
        later = Level(
            now.mean + weight * (later.mean - now.mean),
            now.variance + weight**2 * (later.variance - ahead.variance),
        )
        done.append(later)
    return done[::-1]


def log_likelihood(values: Sequence[float], read_variance: float, step_variance: float) -> float:
    """Log-likelihood of a series; its first reading only starts the level."""
    total = 0.0
    levels = filtered(values, read_variance, step_variance)
    for before, value in zip(levels, values[1:], strict=False):
        spread = before.variance + step_variance + read_variance
        total -= (math.log(2 * math.pi * spread) + (value - before.mean) ** 2 / spread) / 2
    return total
