"""How flat or straight a set of heights is: by the best plane or by the narrowest zone.

Both definitions are in use and give different figures, so each result names its own.

References
----------
ISO 12781-1:2011 (flatness) and ISO 12780-1:2011 (straightness): reference by least squares or by
the minimum zone; clauses from memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

Floats = NDArray[np.float64]


class Definition(StrEnum):
    """Which reference the departures are taken from."""

    LEAST_SQUARES = "least squares"
    MINIMUM_ZONE = "minimum zone"


@dataclass(frozen=True)
class Flatness:
    """Departures of N heights from their reference, and by which definition.

    ``coefficients`` are height at the origin, then slope along each coordinate; ``u`` is the
    standard uncertainty of each departure, None where no covariance of the heights was given.
    """

    definition: Definition
    coefficients: Floats
    departures: Floats
    u: Floats | None = None

    @property
    def zone(self) -> float:
        """Distance from the lowest departure to the highest, in the unit of the heights."""
        return float(np.ptp(self.departures))

    @property
    def largest(self) -> int:
        """Which height departs most, either way."""
        return int(np.abs(self.departures).argmax())


def least_squares(
    places: Sequence[Floats], heights: Floats, covariance: Floats | None = None
) -> Flatness:
    """Refer heights to the straight line or plane with the least sum of squares.

    Parameters
    ----------
    places : sequence of ndarray of shape (N,)
        One coordinate for a line, two for a plane.
    heights : ndarray of shape (N,)
        Heights.
    covariance : ndarray of shape (N, N), optional
        Of the heights; gives each departure its uncertainty.

    Returns
    -------
    Flatness
        By least squares.
    """
    design = np.column_stack([np.ones(len(heights)), *places])  # (N, 2 or 3)
    inverse = np.linalg.pinv(design)
    fitted = inverse @ heights
    u = None if covariance is None else _departure_u(design, inverse, covariance)
    return Flatness(Definition.LEAST_SQUARES, fitted, heights - design @ fitted, u)


def _departure_u(design: Floats, inverse: Floats, covariance: Floats) -> Floats:
    """Root of the diagonal of R C Rᵀ with R = 1 − D P, without the N by N products."""
    seen = inverse @ covariance  # (2 or 3, N)
    variance = (
        np.diag(covariance)
        - 2 * np.sum(design * seen.T, axis=1)
        + np.sum(design @ (seen @ inverse.T) * design, axis=1)
    )
    return np.asarray(np.sqrt(np.maximum(0.0, variance)))


def minimum_zone(places: Sequence[Floats], heights: Floats) -> Flatness:
    """Refer heights to the middle of the narrowest zone between two parallel lines or planes.

    Parameters
    ----------
    places, heights
        As for ``least_squares``.

    Returns
    -------
    Flatness
        By the minimum zone, found as a linear program.
    """
    design = np.column_stack([np.ones(len(heights)), *places])
    half = np.ones((len(heights), 1))
    bounds = [(None, None)] * design.shape[1] + [(0, None)]
    found = linprog(
        [0.0] * design.shape[1] + [1.0],
        np.block([[design, -half], [-design, -half]]),
        np.concatenate([heights, -heights]),
        bounds=bounds,
    )
    coefficients = np.asarray(found.x[:-1], dtype=np.float64)
    return Flatness(Definition.MINIMUM_ZONE, coefficients, heights - design @ coefficients)
