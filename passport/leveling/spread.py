"""How a value may lie: evenly between the ends of its interval, plus what is normal about it."""

import math
from dataclasses import dataclass

from scipy.optimize import brentq
from scipy.special import ndtr

from passport.leveling.readings import ROOT_3

COVERAGE = 0.95


@dataclass(frozen=True)
class Spread:
    """Sum of a rectangular part (± ``half``) and a normal part (standard deviation ``normal``).

    All three in the unit of the value.
    """

    value: float
    half: float
    normal: float

    @property
    def u(self) -> float:
        """Standard uncertainty: the root of the sum of both variances."""
        return math.hypot(self.half / ROOT_3, self.normal)

    def below(self, x: float) -> float:
        """Give the probability that the true value lies below x."""
        offset = x - self.value
        if self.normal <= 1e-9 * max(self.half, 1e-9):
            return _even(offset, self.half)
        if self.half <= 1e-6 * self.normal:
            return float(ndtr(offset / self.normal))
        upper, lower = (offset + self.half) / self.normal, (offset - self.half) / self.normal
        return self.normal * (_area(upper) - _area(lower)) / (2 * self.half)

    def within(self, low: float, high: float) -> float:
        """Give the probability that the true value lies between low and high."""
        return min(1.0, max(0.0, self.below(high) - self.below(low)))

    def interval(self) -> tuple[float, float]:
        """Give the shortest symmetric interval that holds the true value with 95 %."""
        reach = self.half + 8 * self.normal
        if reach == 0.0:
            return self.value, self.value
        edge = brentq(self._uncovered, 0.0, reach, xtol=1e-12)
        return self.value - edge, self.value + edge

    def _uncovered(self, edge: float) -> float:
        return self.within(self.value - edge, self.value + edge) - COVERAGE


def _area(z: float) -> float:
    """Integrate the standard normal distribution up to z."""
    return z * float(ndtr(z)) + math.exp(-z * z / 2) / math.sqrt(2 * math.pi)


def _even(offset: float, half: float) -> float:
    if half <= 1e-12:
        return float(offset >= 0)
    return min(1.0, max(0.0, (offset + half) / (2 * half)))
