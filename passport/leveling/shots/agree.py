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
    """Cross slope along the board: at its middle, and what it grows by to end B. [mm/m].

    ``covariance`` is (2, 2), of both.
    """

    middle: float
    twist: float
    covariance: Array

    @property
    def at_middle(self) -> Value:
        """At the middle with its standard uncertainty, in mm/m."""
        return Value(self.middle, math.sqrt(float(self.covariance[0, 0])))

    def at(self, x_mm: float, board: Board) -> Value:
        """Give the cross slope at a place, in mm/m."""
        along = np.array([1.0, 2 * x_mm / board.length_mm - 1.0])
        u = math.sqrt(float(along @ self.covariance @ along))
        return Value(float(along @ np.array([self.middle, self.twist])), u)


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
    middle, twist = spread @ design.T @ weight @ values
    return Slope(float(middle), float(twist), spread)


def slope_of_shots(found: Drift) -> Slope:
    """Take the shots' answer as a slope along the board."""
    return Slope(found.cross_mm_per_m.value, found.twist_mm_per_m.value, found.covariance)


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
    values = [np.array([slope.middle, slope.twist]) for slope in (first, second)]
    weights = [np.linalg.inv(slope.covariance) for slope in (first, second)]
    spread = np.linalg.inv(weights[0] + weights[1])
    middle, twist = spread @ (weights[0] @ values[0] + weights[1] @ values[1])
    apart = values[0] - values[1]
    square = apart @ np.linalg.inv(first.covariance + second.covariance) @ apart
    return Agreement(Slope(float(middle), float(twist), spread), float(chi2.sf(square, 2)))


def differ(first: Value, second: Value) -> float:
    """Give how often two right answers differ as much as these (χ² of one value)."""
    u = math.hypot(first.u, second.u)
    apart = abs(first.value - second.value)
    return float(apart == 0.0) if u == 0.0 else math.erfc(apart / u / math.sqrt(2))
