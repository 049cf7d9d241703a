"""A straight line through values, with what it is uncertain by."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import t as student

NEEDED = 3  # values for a line with an uncertainty


@dataclass(frozen=True)
class Line:
    """y = intercept + slope (x − origin), with standard uncertainties and their correlation."""

    origin: float
    intercept: float
    slope: float
    u_intercept: float
    u_slope: float
    correlation: float
    scatter: float  # standard deviation of the values about the line
    freedom: int

    def at(self, x: float) -> tuple[float, float]:
        """Give y at x, and its standard uncertainty."""
        reach = x - self.origin
        both = 2 * reach * self.correlation * self.u_intercept * self.u_slope
        variance = self.u_intercept**2 + (reach * self.u_slope) ** 2 + both
        return self.intercept + self.slope * reach, math.sqrt(max(0.0, variance))

    def chance_of_no_slope(self) -> float:
        """Give how often values without a slope would show one as steep, either way."""
        if self.u_slope == 0.0:
            return float(self.slope == 0.0)
        return float(2 * student.sf(abs(self.slope) / self.u_slope, self.freedom))


def fit_line(
    x: Sequence[float], y: Sequence[float], origin: float, *, least_scatter: float = 0.0
) -> Line | None:
    """Fit a straight line by least squares; its uncertainty comes from the scatter about it.

    Parameters
    ----------
    x : sequence of N floats
        Where, or when.
    y : sequence of N floats
        Values.
    origin : float
        Where the intercept is taken.
    least_scatter : float
        The values' own standard uncertainty: rounded values may lie on a line by chance.

    Returns
    -------
    Line or None
        None for fewer than three values, or all at one x.

    References
    ----------
    JCGM 100:2008 (GUM), annex H.3.
    """
    if len(x) < NEEDED or max(x) == min(x):
        return None
    reach: NDArray[np.float64] = np.asarray(x, dtype=np.float64) - origin
    design = np.column_stack([np.ones(len(x)), reach])  # (N, 2)
    left, diagonal = np.linalg.qr(design)
    values = np.asarray(y, dtype=np.float64)
    intercept, slope = np.linalg.solve(diagonal, left.T @ values)
    rest = values - design @ np.array([intercept, slope])
    freedom = len(x) - 2
    scatter = max(least_scatter, math.sqrt(float(rest @ rest) / freedom))
    inverse = np.linalg.inv(diagonal)
    u_intercept, u_slope = scatter * np.sqrt(np.square(inverse).sum(axis=1))
    share = (
        inverse[0]
        @ inverse[1]
        / math.sqrt(float(np.square(inverse[0]).sum() * np.square(inverse[1]).sum()))
    )
    return Line(
        origin,
        float(intercept),
        float(slope),
        float(u_intercept),
        float(u_slope),
        float(share),
        scatter,
        freedom,
    )
