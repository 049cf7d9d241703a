"""Timoshenko 1925, J. Opt. Soc. Am. 11(3):233-255: bending of two bonded strips.

The equation was read in public codes, not in the paper. Clyne 1996 (Key Eng. Mater. 116-117) gives
the same curvature in another form, here from memory as the second opinion.
"""

import pytest

from passport.climate.bending import (
    curvature_of,
    linear_curvature,
    sagitta,
    two_layer_curvature,
)
from passport.climate.wood import hollow_per_pct
from passport.table import Board

DIMENSIONLESS = [  # m, n, curvature · h / Δα: equal by Timoshenko, Clyne and laminate theory
    (1, 1, 1.500000),
    (1, 2, 1.454545),
    (2, 1, 1.333333),
    (0.5, 1.5, 1.417943),
    (1, 0.1, 0.995851),
    (0.25, 1, 0.960000),
]
ARCS = [(20, 0.020, 2500.01), (20, 0.25, 200.125), (264, 0.125, 69696.0625), (100, 10, 130)]


def clyne(m, n, expansion):
    """Curvature of two layers of total thickness 1; layer 2 has a stiffness of 1."""
    h1, h2 = m / (1 + m), 1 / (1 + m)
    below = n**2 * h1**4 + 4 * n * h1**3 * h2 + 6 * n * h1**2 * h2**2 + 4 * n * h1 * h2**3 + h2**4
    return 6 * n * (h1 + h2) * h1 * h2 * expansion / below


def test_worked_strip_has_the_printed_curvature():
    """α 10 and 20 · 10⁻⁶ /K, 100 K, 1 mm in all, equal layers: 1.50 /m (a public verification)."""
    assert two_layer_curvature(1e-3, 1, 1, 1.0) * 1000 == pytest.approx(1.50, abs=1e-12)


@pytest.mark.parametrize(("m", "n", "curvature"), DIMENSIONLESS)
def test_two_layers_bend_as_published(m, n, curvature):
    """Timoshenko 1925, worked apart by two more routes to six digits."""
    assert two_layer_curvature(1, m, n, 1) == pytest.approx(curvature, abs=1e-6)


@pytest.mark.parametrize(("m", "n", "curvature"), DIMENSIONLESS)
def test_two_layers_bend_as_clyne_has_it(m, n, curvature):
    """Clyne 1996, from memory."""
    assert two_layer_curvature(1, m, n, 1) == pytest.approx(clyne(m, n, 1), rel=1e-12)


@pytest.mark.parametrize(("width", "depth", "radius"), ARCS)
def test_arc_has_the_radius_of_its_depth(width, depth, radius):
    """R = c² / (8 s) + s / 2, worked apart."""
    assert 1 / curvature_of(depth, width) == pytest.approx(radius, rel=1e-8)


@pytest.mark.parametrize(("width", "depth", "radius"), ARCS)
def test_arc_has_the_depth_of_its_radius(width, depth, radius):
    assert sagitta(1 / radius, width) == pytest.approx(depth, rel=1e-6)


def test_maple_board_bends_by_one_per_cent_as_worked_apart():
    """20 × 3 in, 1 % MC between the faces, even gradient: 0.0275 (radial) to 0.0588 in."""
    board = Board(6700, 508, 76.2, "hard maple")
    inches = [mm / 25.4 for mm in hollow_per_pct(board)]

    assert inches == pytest.approx([0.0275, 0.0588], abs=5e-5)


def test_even_gradient_gives_two_thirds_of_two_layers():
    """The linear case of Timoshenko's problem: κ = Δα / h against 1.5 Δα / h."""
    assert linear_curvature(1e-3, 76.2) * 1.5 == pytest.approx(
        two_layer_curvature(1e-3, 1, 1, 76.2)
    )
