"""A maple board on three legs: how low the centre leg may be before it carries nothing.

Wood Handbook FPL-GTR-190 (2010), Table 5-3: sugar maple, specific gravity 0.63, modulus of
elasticity 1.83 million lbf/in² (12.6 GPa). Two equal spans under a uniform load: reactions 3/8,
10/8, 3/8 of w L (AISC Steel Construction Manual, Tables 3-22 and 3-23; the table numbers from
memory). The heights below were computed for this project with the beam formula and agree with an
independent frame program; they are not printed in those sources.
"""

import pytest

from passport.leveling.supports import bare_board, floating_rise_mm
from passport.table import Board

BOARD = Board(6705.6, 508, 76.2, "maple")  # 22 ft × 20 in × 3 in


def test_board_weighs_what_the_density_says():
    """705.6 kg/m³ × 9.80665 m/s² × 508 mm × 76.2 mm = 267.9 N/m."""
    assert bare_board(BOARD).weight_n_per_m == pytest.approx(267.9, abs=0.1)


def test_board_is_as_stiff_as_the_modulus_says():
    """12.6 GPa × 508 mm × (76.2 mm)³ / 12 = 2.360e5 N m²."""
    assert bare_board(BOARD).stiffness_n_m2 == pytest.approx(2.360e5, rel=5e-4)


@pytest.mark.parametrize(
    ("span_mm", "float_mm"), [(1371.5, 0.84), (1829, 2.65), (2438.5, 8.4), (3353, 29.9)]
)
def test_centre_leg_floats_where_the_beam_formula_says(span_mm, float_mm):
    """D = 5 w L⁴ / (24 E I) for boards of 9, 12, 16 and 22 ft on three legs."""
    found = floating_rise_mm(bare_board(BOARD), span_mm)

    assert found == pytest.approx(float_mm, rel=6e-3)


def test_centre_reaction_of_two_equal_spans_is_gone_at_the_floating_rise():
    """R_mid = 10/8 w L − 6 E I d / L³ is nought at d = 5 w L⁴ / (24 E I)."""
    beam, span = bare_board(BOARD), 3.353

    lift = floating_rise_mm(beam, 3353) / 1000

    assert 6 * beam.stiffness_n_m2 * lift / span**3 == pytest.approx(
        10 / 8 * beam.weight_n_per_m * span
    )
