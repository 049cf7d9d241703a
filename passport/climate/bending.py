"""Strips whose two sides want different lengths: their curvature, and its depth over a width."""

import math


def two_layer_curvature(
    expansion: float, thickness_ratio: float, stiffness_ratio: float, thickness_mm: float
) -> float:
    """Curvature of two bonded layers when the second expands more than the first.

    Parameters
    ----------
    expansion : float
        Free expansion of the second layer beyond that of the first. [mm/mm]
    thickness_ratio, stiffness_ratio : float
        First layer over second.
    thickness_mm : float
        Of both together. [mm]

    Returns
    -------
    float
        Positive: the second layer is on the outside of the bend. [1/mm]

    References
    ----------
    Timoshenko 1925, J. Opt. Soc. Am. 11(3):233-255.
    """
    m, n = thickness_ratio, stiffness_ratio
    stiff = 3 * (1 + m) ** 2 + (1 + m * n) * (m**2 + 1 / (m * n))
    return 6 * expansion * (1 + m) ** 2 / (thickness_mm * stiff)


def linear_curvature(expansion: float, thickness_mm: float) -> float:
    """Curvature where the expansion grows evenly from one face to the other. [1/mm]."""
    return expansion / thickness_mm


def sagitta(curvature: float, width_mm: float) -> float:
    """Depth of an arc below its chord; exact. [mm]."""
    half = width_mm / 2  # R - sqrt(R² - h²), written so that a shallow arc loses no digits
    return curvature * half**2 / (1 + math.sqrt(1 - (curvature * half) ** 2))


def curvature_of(sagitta_mm: float, width_mm: float) -> float:
    """Curvature of an arc by its depth and chord; the way back of ``sagitta``. [1/mm]."""
    if sagitta_mm == 0:
        return 0.0
    return 1 / (width_mm**2 / (8 * sagitta_mm) + sagitta_mm / 2)
