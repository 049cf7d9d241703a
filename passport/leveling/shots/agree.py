"""Shots and levels together, by their uncertainties; a disagreement beyond chance is named."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import chi2

from passport.leveling.shots.drift import Drift, Value
from passport.leveling.shots.levels import Level, covariance
from passport.table import Board

Array = NDArray[np.float64]

BETWEEN_LEGS_U = 0.2  # [mm/m] a board's own shape between two legs; common practice, no source
UNREAD_TWIST_U = 0.8  # [mm/m] where one leg only was read; no source


@dataclass(frozen=True)
class Slope:
    """Cross slope along the board, positive left high.

    Attributes
    ----------
    middle : Value
        At the board's middle. [mm/m]
    twist : Value
        At end B minus that at the middle. [mm/m]
    correlation : float
        Between both.
    """

    middle: Value
    twist: Value
    correlation: float

    @property
    def values(self) -> Array:
        """Middle and twist, (2,), in mm/m."""
        return np.array([self.middle.value, self.twist.value])

    @property
    def covariance(self) -> Array:
        """Of middle and twist, (2, 2), in (mm/m)²."""
        u = np.array([self.middle.u, self.twist.u])
        share = np.array([[1.0, self.correlation], [self.correlation, 1.0]])
        return np.asarray(share * np.outer(u, u), dtype=np.float64)

    def at(self, x_mm: float, board: Board) -> Value:
        """Give the cross slope at a place, in mm/m."""
        along = np.array([1.0, 2 * x_mm / board.length_mm - 1.0])
        u = math.sqrt(float(along @ self.covariance @ along))
        return Value(float(along @ self.values), u)


def _slope(values: Array, spread: Array) -> Slope:
    """Make a slope of middle and twist (2,) and their covariance (2, 2)."""
    u = np.sqrt(np.diag(spread))
    middle, twist = (Value(float(v), float(s)) for v, s in zip(values, u, strict=True))
    return Slope(middle, twist, float(spread[0, 1] / (u[0] * u[1])))


@dataclass(frozen=True)
class Agreement:
    """What levels and shots say together.

    Attributes
    ----------
    both : Slope
        Weighed by their uncertainties.
    chance : float
        How often two right answers differ as much.
    """

    both: Slope
    chance: float


def slope_of_levels(board: Board, read: Sequence[Level]) -> Slope | None:
    """Lay a straight line through the cross levels, errors common to the visit shared.

    Parameters
    ----------
    board : Board
        Length in mm.
    read : sequence of Level
        Cross levels of one visit.

    Returns
    -------
    Slope or None
        None without a cross level.
    """
    if not read:
        return None
    values = np.array([level.value for level in read], dtype=np.float64)
    along = np.array([2 * level.x_mm / board.length_mm - 1 for level in read])
    design = np.column_stack([np.ones(len(read)), along])
    weight = np.linalg.inv(covariance(read) + BETWEEN_LEGS_U**2 * np.eye(len(read)))
    precision = design.T @ weight @ design + np.diag([0.0, UNREAD_TWIST_U**-2])
    spread = np.linalg.inv(precision)
    return _slope(spread @ design.T @ weight @ values, spread)


def slope_of_shots(found: Drift) -> Slope:
    """Take the shots' answer as a slope along the board."""
    return Slope(found.cross_mm_per_m, found.twist_mm_per_m, found.correlation)


def agree(first: Slope, second: Slope) -> Agreement:
    """Weigh two answers by their uncertainties.

    Parameters
    ----------
    first, second : Slope
        Independent of each other.

    Returns
    -------
    Agreement
        Their weighted mean, and the chance of the difference (χ² of two values).
    """
    weights = [np.linalg.inv(slope.covariance) for slope in (first, second)]
    spread = np.linalg.inv(weights[0] + weights[1])
    both = spread @ (weights[0] @ first.values + weights[1] @ second.values)
    apart = first.values - second.values
    square = apart @ np.linalg.inv(first.covariance + second.covariance) @ apart
    return Agreement(_slope(both, spread), float(chi2.sf(square, 2)))


def differ(first: Value, second: Value) -> float:
    """Give how often two right answers differ as much as these (χ² of one value)."""
    u = math.hypot(first.u, second.u)
    apart = abs(first.value - second.value)
    return float(apart == 0.0) if u == 0.0 else math.erfc(apart / u / math.sqrt(2))
