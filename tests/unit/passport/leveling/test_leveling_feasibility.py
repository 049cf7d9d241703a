from dataclasses import replace

import pytest

from passport.leveling.advice import Quantity
from passport.leveling.feasibility import Cause, Infeasible, unreachable
from passport.table import Target

LEGS = ("L1", "L3", "L5")
BRACKETS = tuple(f"B{i}" for i in range(1, 9))


def aiming(table, **targets):
    return replace(table, targets=replace(table.targets, **targets))


def kitted(table, **changes):
    return replace(table, kit=replace(table.kit, **changes))


def test_table_with_the_usual_tolerances_can_be_served(table):
    assert unreachable(table) == []


def test_cross_tolerance_below_half_a_step_is_out_of_reach(table):
    table = kitted(aiming(table, cross_mm_per_m=Target(0, 0.39)), card_mm=0.05)

    # a quarter turn, 0.396875 mm over 500 mm, is 0.79375 mm/m
    assert unreachable(table) == [
        Infeasible(Cause.STEP, Quantity.CROSS, LEGS, 0.39, pytest.approx(0.396875))
    ]


def test_cross_tolerance_of_half_a_step_can_be_reached(table):
    table = kitted(aiming(table, cross_mm_per_m=Target(0, 0.397)), card_mm=0.05)

    assert unreachable(table) == []


def test_hollow_tolerance_below_half_a_nut_step_is_out_of_reach(table):
    table = kitted(aiming(table, hollow_mm=Target(0.5, 0.02)), card_mm=0.012, card_u_mm=0.0)

    assert unreachable(table) == [Infeasible(Cause.STEP, Quantity.HOLLOW, BRACKETS, 0.02, 0.0254)]


def test_rise_tolerance_below_half_a_step_of_one_end_is_out_of_reach(table):
    table = aiming(table, rise_mm=Target(3.175, 0.05))

    assert unreachable(table) == [
        Infeasible(Cause.STEP, Quantity.RISE, ("L1", "L5"), 0.05, pytest.approx(0.09921875))
    ]


def test_cards_too_thick_for_the_hollow_name_the_card_that_decides(table):
    table = kitted(table, card_mm=0.35, card_u_mm=0.007)  # 0.35 to 0.70 of 0.31 to 0.69

    # 0.3302 × 1 to 2 is 0.33 to 0.66; with 0.010 each way from cards and bow that is inside
    assert unreachable(table) == [
        Infeasible(Cause.CARD, Quantity.HOLLOW, BRACKETS, 0.19, None, 0.35, 0.3302)
    ]


def test_level_too_coarse_for_any_card_names_none(table):
    table = kitted(table, sensitivity_mm_per_m=3.0)

    assert unreachable(table) == [
        Infeasible(Cause.CARD, Quantity.CROSS, LEGS, 0.8, None, 0.2, None)
    ]


def test_display_of_a_tenth_of_a_degree_is_too_coarse(table):
    table = kitted(table, sensitivity_mm_per_m=None, display_step_deg=0.1)

    assert unreachable(table) == [
        Infeasible(Cause.DISPLAY, Quantity.CROSS, LEGS, 0.8, pytest.approx(1.745331))
    ]


def test_display_of_a_hundredth_of_a_degree_will_do(table):
    assert unreachable(kitted(table, sensitivity_mm_per_m=None, display_step_deg=0.01)) == []


def test_threads_that_are_not_known_have_no_step(table):
    legs = tuple(replace(leg, thread=None) for leg in table.legs)

    assert unreachable(replace(table, legs=legs)) == []
