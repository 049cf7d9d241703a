"""What legs that could also pull would carry: the equation of three moments.

Metres and newtons; a moment is positive where the bar sags.

References
----------
Clapeyron's equation of three moments with supports at unequal heights, as any text on continuous
beams has it: M₁ l + 2 M₂ (l + r) + M₃ r = −w (l³ + r³) / 4 − 6 E I [(h₂ − h₁) / l + (h₂ − h₃) / r].
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Bar:
    """Board, or board and frame, as one straight bar of constant section.

    Attributes
    ----------
    length_m : float
        From end A to end B. [m]
    weight_n_per_m : float
        Weight per length. [N/m]
    bending_n_m2 : float
        E I. [N m²]
    torsion_n_m2 : float
        G J. [N m²]
    """

    length_m: float
    weight_n_per_m: float
    bending_n_m2: float
    torsion_n_m2: float = 0.0


@dataclass(frozen=True)
class Held:
    """A bar held at N supports that push and pull: forces = level + stiffness @ heights.

    Attributes
    ----------
    level : ndarray of shape (N,)
        Forces with all supports at one height. [N]
    stiffness : ndarray of shape (N, N)
        Change of each force per rise of each support; symmetric, never negative. [N/m]
    """

    level: Array
    stiffness: Array


def hold(bar: Bar, x_m: Array) -> Held:
    """Hold a bar at supports.

    Parameters
    ----------
    bar : Bar
        Weight and stiffness; what lies beyond the outer supports overhangs.
    x_m : ndarray of shape (N,), N ≥ 2
        Supports from end A, rising, no two at one place. [m]

    Returns
    -------
    Held
        Forces upward on the bar.
    """
    spans = np.diff(x_m)  # (N - 1,)
    overhang = np.array([x_m[0], bar.length_m - x_m[-1]])
    moments, moments_per_rise = _moments(bar, spans, overhang)  # (N,), (N, N)
    shear = _slopes(spans)  # (N, N): moments to forces
    ends = np.zeros(len(x_m))
    ends[[0, -1]] += overhang * bar.weight_n_per_m
    level = ends + _halves(spans) * bar.weight_n_per_m + shear @ moments
    return Held(level, shear @ moments_per_rise)


def _moments(bar: Bar, spans: Array, overhang: Array) -> tuple[Array, Array]:
    """Solve the three-moment equations at the inner supports; the overhangs give the outer two."""
    count = len(spans) + 1
    moments, per_rise = np.zeros(count), np.zeros((count, count))
    moments[[0, -1]] = -bar.weight_n_per_m * overhang**2 / 2
    if count == 2:
        return moments, per_rise
    left, right = spans[:-1], spans[1:]
    inner = np.diag(2 * (left + right)) + np.diag(spans[1:-1], 1) + np.diag(spans[1:-1], -1)
    load = -bar.weight_n_per_m * (left**3 + right**3) / 4
    load[0] -= moments[0] * spans[0]
    load[-1] -= moments[-1] * spans[-1]
    kinks = 6 * bar.bending_n_m2 * _slopes(spans)[1:-1]  # (N - 2, N)
    moments[1:-1] = np.linalg.solve(inner, load)
    per_rise[1:-1] = np.linalg.solve(inner, kinks)
    return moments, per_rise


def _slopes(spans: Array) -> Array:
    """Give the change of slope at each node per height of each: (y₁ − y₂) / l + (y₃ − y₂) / r."""
    count = len(spans) + 1
    change = np.zeros((count, count))
    for i, span in enumerate(spans):
        change[i : i + 2, i : i + 2] += np.array([[-1.0, 1.0], [1.0, -1.0]]) / span
    return change


def _halves(spans: Array) -> Array:
    """Give half of the spans on both sides of each support."""
    halves = np.zeros(len(spans) + 1)
    halves[:-1] += spans / 2
    halves[1:] += spans / 2
    return halves
