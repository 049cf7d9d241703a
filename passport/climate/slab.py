"""The board as a slab of wood: open below, sealed above by its film, moisture diffusing between.

Only the uneven part of the moisture bends a board. It is given here as the **face difference**:
the difference between open and sealed face of the straight line with the same first moment,
positive when the open face is wetter. [% MC]

References
----------
Crank, The Mathematics of Diffusion, 2nd ed. 1975, p. 47-48: a slab with one face sealed is half of
one of twice the thickness with both faces open.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]

DAY_S = 86400.0
MODES = 400  # enough for 1e-6 of the share taken up after an hour

# Across the grain of a dense hardwood, 20 °C, 6 to 12 % MC: 0.2 to 2e-10 m²/s (Siau 1984; Simpson
# 1993, from memory; none published for maple). Centre, and what a factor of 3 either way holds.
DIFFUSIVITY_M2_PER_S = 7e-11
DIFFUSIVITY_FACTOR = 3.0  # holds 95 %


@dataclass(frozen=True)
class Slab:
    """A board's thickness and how fast moisture moves through it."""

    thickness_mm: float
    diffusivity_m2_per_s: float = DIFFUSIVITY_M2_PER_S

    @property
    def rate_per_day(self) -> float:
        """Diffusivity over thickness squared. [1/day]."""
        return self.diffusivity_m2_per_s * DAY_S / (self.thickness_mm / 1000) ** 2


def uptake(slab: Slab, days: float) -> float:
    """Share of all moisture taken up some days after a step of the air.

    References
    ----------
    Crank 1975, p. 47-48, the series with both faces open at twice the thickness.
    """
    roots = _roots()
    left = 2 / roots**2 * np.exp(-(roots**2) * slab.rate_per_day * days)
    return float(1 - left.sum())


def profile(slab: Slab, depth: Floats, days: float) -> Floats:
    """Moisture some days after a unit step of the air.

    Parameters
    ----------
    slab : Slab
        The board.
    depth : ndarray of shape (N,)
        From the open face (0) to the sealed one (1).
    days : float
        Since the step.

    Returns
    -------
    ndarray of shape (N,)
        Share of the step.
    """
    roots = _roots()
    decay = 2 / roots * np.exp(-(roots**2) * slab.rate_per_day * days)
    return np.asarray(1 - np.sin(np.outer(depth, roots)) @ decay, dtype=np.float64)


def face_difference_after_step(slab: Slab, days: float) -> float:
    """Face difference some days after a unit step of the air: it rises, then dies away."""
    roots = _roots()
    signs = np.where(np.arange(roots.size) % 2 == 0, 1.0, -1.0)
    weight = 24 / roots * (1 / (2 * roots) - signs / roots**2)
    return float(-(weight * np.exp(-(roots**2) * slab.rate_per_day * days)).sum())


def yearly_gain(slab: Slab, period_days: float = 365.25) -> complex:
    """Face difference over the air's swing, for a swing that returns every period.

    Its absolute value is the ratio of amplitudes, its angle the lead. [rad]
    """
    return complex(gain(slab, np.array([2 * math.pi / period_days]))[0])


def gain(slab: Slab, per_day: Floats) -> Complexes:
    """Face difference over the air's swing at each of N angular frequencies. [rad/day].

    From cosh(q(1 - z)) / cosh(q), the moisture at the depth z under a periodic open face; its
    first moment about the middle, times 12.
    """
    q = np.sqrt(1j * per_day / slab.rate_per_day)
    small = np.abs(q) < 1e-2  # the closed form loses its digits there
    q_safe = np.where(small, 1.0, q)
    shrunk = np.exp(-q_safe)  # no overflow: cosh and tanh by decaying exponentials
    tanh = (1 - shrunk**2) / (1 + shrunk**2)
    sech = 2 * shrunk / (1 + shrunk**2)
    whole = 6 * tanh / q_safe - 12 * (1 - sech) / q_safe**2
    return np.asarray(np.where(small, q**2 / 2, whole), dtype=np.complex128)


def _roots() -> Floats:
    """Eigenvalues of one open and one sealed face: odd multiples of a quarter turn."""
    return np.asarray((np.arange(MODES) + 0.5) * math.pi, dtype=np.float64)
