from dataclasses import replace

import pytest

from passport.leveling.supports import (
    bare_board,
    carrying_rise_mm,
    end_spans_mm,
    trade_rise_mm,
)


def test_spans_run_from_the_end_legs_to_the_middle(table):
    assert end_spans_mm(table) == (3000, 3000)


def test_spans_need_a_centre_leg(table):
    assert end_spans_mm(replace(table, legs=(table.legs[0], table.legs[4]))) is None


def test_carrying_rise_is_half_of_what_floats_the_centre_leg(table):
    # w / EI = 12 ρ g / (E t²) = 12 × 705.6 × 9.80665 / (12.6e9 × 0.0762²) = 1.13496e-3 per m³
    # 5 / 24 × 1.13496e-3 × 3⁴ m = 19.152 mm
    assert carrying_rise_mm(table) == pytest.approx(19.152 / 2, rel=1e-4)


def test_usual_rise_is_two_turns_a_foot_and_a_quarter_of_it(table):
    assert trade_rise_mm(table) == pytest.approx((3.175, 0.79375))


def test_usual_rise_of_a_two_legged_table_is_none(table):
    assert trade_rise_mm(replace(table, legs=(table.legs[0], table.legs[4]))) is None


def test_usual_rise_without_threads_is_none(table):
    legs = tuple(replace(leg, thread=None) for leg in table.legs)

    assert trade_rise_mm(replace(table, legs=legs)) is None


def test_oak_board_is_as_heavy_and_stiff_as_oak(table):
    """White oak: specific gravity 0.68, 12.3 GPa (Wood Handbook, Table 5-3, from memory)."""
    oak = bare_board(replace(table.board, wood="white oak"))

    # 0.68 × 1120 × 9.80665 × 0.5 × 0.0762; 12.3e9 × 0.5 × 0.0762³ / 12
    assert (oak.weight_n_per_m, oak.stiffness_n_m2) == pytest.approx((284.56, 2.2676e5), rel=1e-3)


def test_board_of_a_wood_that_is_not_listed_is_taken_as_maple(table):
    assert bare_board(replace(table.board, wood="bogwood")) == bare_board(table.board)
