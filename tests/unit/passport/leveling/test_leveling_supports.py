from dataclasses import replace

import pytest

from passport.leveling.supports import carrying_rise_mm, end_spans_mm, trade_rise_mm


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
