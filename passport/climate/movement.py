"""How the seasons move a table's hollow, before any visit: wide bands, each from its own cause.

The hollow is the sensitivity times the slab's face difference. The sensitivity is that of a free
board between radial and tangential, times the share that frame, brackets and finish let through.
Only means and covariances are carried (linear Bayes): what was not seen is then never narrowed by
the size of what was.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from passport.climate.air import Wetting
from passport.climate.room import waves
from passport.climate.slab import DIFFUSIVITY_FACTOR, DIFFUSIVITY_M2_PER_S, Slab
from passport.climate.wood import hollow_per_pct
from passport.table import Board

Floats = NDArray[np.float64]

# Share of a free board's movement that a table shows: its median and log-normal spread. No source:
# a table moves by a tolerance or two over the year, a free board would by several times that.
SHARE = 0.12
SHARE_LOG_U = 0.8
_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(5)  # over the diffusivity's band


@dataclass(frozen=True)
class Sensitivity:
    """Hollow per % MC of face difference: mean and standard uncertainty. [mm/% MC]."""

    mean: float
    u: float

    @property
    def mean_square(self) -> float:
        """Mean of the square."""
        return self.mean**2 + self.u**2


@dataclass(frozen=True)
class Movement:
    """What the seasons do to a hollow, as one vector with mean and covariance.

    The vector is (sensitivity [mm/% MC], cosine and sine of the yearly movement [mm], what the
    weather of each of N days adds [mm]).
    """

    days: NDArray[np.int64]  # (N,)
    mean: Floats  # (3 + N,)
    cov: Floats  # (3 + N, 3 + N)

    def rows(self) -> Floats:
        """Matrix (N, 3 + N) from the vector to the hollow's movement on each day."""
        nought = np.zeros((self.days.size, 1))
        return np.concatenate([nought, waves(self.days), np.eye(self.days.size)], axis=1)


def expected_sensitivity(board: Board) -> Sensitivity:
    """State a table's sensitivity before anything was found at it."""
    radial, tangential = hollow_per_pct(board)
    log_u = math.hypot(math.log(tangential / radial) / math.sqrt(12), SHARE_LOG_U)
    median = math.sqrt(radial * tangential) * SHARE
    mean = median * math.exp(log_u**2 / 2)
    return Sensitivity(mean, mean * math.sqrt(math.expm1(log_u**2)))


def slabs(board: Board) -> tuple[tuple[Slab, float], ...]:
    """List slabs across the diffusivity's band, each with its weight."""
    log_u = math.log(DIFFUSIVITY_FACTOR) / 1.96
    return tuple(
        (
            Slab(board.thickness_mm, DIFFUSIVITY_M2_PER_S * math.exp(log_u * float(node))),
            float(weight / _WEIGHTS.sum()),
        )
        for node, weight in zip(_NODES, _WEIGHTS, strict=True)
    )


def movement(
    board: Board,
    faces: Mapping[Slab, Wetting],
    days: NDArray[np.int64],
    sensitivity: Sensitivity,
    weather_square: float | None = None,
) -> Movement:
    """Join what is known of the room with what is known of the wood.

    Parameters
    ----------
    board : Board
        Thickness, width, wood.
    faces : mapping of Slab to Wetting
        Face difference of each of ``slabs`` on ``days``.
    days : ndarray of shape (N,)
        Ordinals.
    sensitivity : Sensitivity
        Before anything was found.
    weather_square : float or None
        Mean square of the sensitivity by which the weather's own uncertainty counts, where
        something was found; else that of ``sensitivity``. [mm²/% MC²]

    Returns
    -------
    Movement
        Mixed over the band of diffusivity.
    """
    scale = np.full(3 + days.size, math.sqrt(sensitivity.mean_square))
    if weather_square is not None:
        scale[3:] = math.sqrt(weather_square)
    means, covs, weights = [], [], []
    for slab, weight in slabs(board):
        face = faces[slab]
        whole = np.concatenate([[1.0], face.mean])
        cov = sensitivity.u**2 * np.outer(whole, whole)
        cov[1:, 1:] += face.cov * np.outer(scale[1:], scale[1:])
        means.append(sensitivity.mean * whole)
        covs.append(cov)
        weights.append(weight)
    mean = np.average(means, axis=0, weights=weights)
    off = np.array(means) - mean
    cov = np.average(covs, axis=0, weights=weights) + (off.T * weights) @ off
    return Movement(days, mean, np.asarray(cov, dtype=np.float64))
