"""Cross levels by bubble divisions and by a display: what a count says, what is believed of it."""

import math
from dataclasses import replace
from datetime import date

import pytest

from passport.leveling.advice import Quantity
from passport.leveling.advise import advise
from passport.leveling.common import common_errors
from passport.leveling.feasibility import Cause, unreachable
from passport.leveling.lines import count_words, range_words
from passport.leveling.posterior.filter import known_at
from passport.leveling.readings import (
    box_deg,
    cross_step_mm_per_m,
    level_zero,
    rise_reading,
    slope_reading,
)
from passport.table import Reads, Target
from passport.visit import Count, LegPass, Pass


@pytest.fixture
def bubble(table):
    return replace(table.kit, cross_by=Reads.DIVISIONS, sensitivity_mm_per_m=0.3)


@pytest.fixture
def display(table):
    kit = replace(table.kit, cross_by=Reads.DISPLAY)
    return replace(kit, sensitivity_mm_per_m=None, display_step_deg=0.01)


def test_a_division_is_the_level_s_sensitivity_half_of_it_either_way(bubble):
    reading = slope_reading(bubble, Count(2))

    assert (reading.low, reading.high) == pytest.approx((0.45, 0.75))


def test_a_counted_bubble_knows_nothing_of_cards(bubble):
    reading = slope_reading(bubble, Count(2))

    assert (reading.per_card, reading.stretch) == (0.0, 0.0)


def test_a_counted_bubble_holds_half_a_division_and_where_its_end_stands(bubble):
    reading = slope_reading(bubble, Count(2))

    # rectangular: 0.15 / √3; a tenth of a division by eye
    assert reading.own_u == pytest.approx(math.hypot(0.15 / math.sqrt(3), 0.03))


def test_a_box_of_a_display_is_a_whole_number_of_its_steps(display):
    assert box_deg(display) == pytest.approx(0.02)


def test_a_coarse_display_has_one_step_a_box(display):
    assert box_deg(replace(display, display_step_deg=0.05)) == pytest.approx(0.05)


def test_a_box_of_degrees_is_a_slope_by_the_tangent(display):
    # 0.01° is 0.17453 mm/m; JCGM 100 knows no angle, the tangent does
    assert cross_step_mm_per_m(display) == pytest.approx(2 * 0.174533, rel=1e-4)


def test_rise_stays_with_cards(table, bubble):
    assert rise_reading(bubble, 3000, Count(3)).value == pytest.approx(
        rise_reading(table.kit, 3000, Count(3)).value
    )


@pytest.mark.parametrize("which", ["bubble", "display"])
def test_a_level_turned_end_for_end_yields_its_own_zero(request, which, visit):
    kit = request.getfixturevalue(which)
    seen = cross_step_mm_per_m(kit)  # shows 2 and, turned round, 0: (2 - 0) / 2 steps
    prior, own = level_zero(kit).u, slope_reading(kit, Count(0)).own_u / math.sqrt(2)

    shared = common_errors(replace(visit, kit=kit, level_check=(Count(2), Count(0))))

    # weighed with what is known of an unchecked level, by inverse variances
    assert shared.zero_mm_per_m == pytest.approx(seen * prior**2 / (prior**2 + own**2))


def read(visit, kit, steps):
    legs = {name: LegPass(found=Count(steps)) for name in ("L1", "L3", "L5")}
    return replace(visit, kit=kit, passes=(Pass(legs),))


@pytest.mark.parametrize("which", ["bubble", "display"])
def test_the_posterior_has_the_slope_that_was_read(request, which, table, visit):
    kit = request.getfixturevalue(which)
    known = known_at(replace(table, kit=kit), (read(visit, kit, 4),))

    slope, u = known.whole.mean[0], math.sqrt(known.whole.covariance[0, 0])

    assert abs(slope - 4 * cross_step_mm_per_m(kit)) < 2 * u


@pytest.mark.parametrize("which", ["bubble", "display"])
def test_thicker_cards_move_no_slope_that_was_read_without_them(request, which, table, visit):
    kit = request.getfixturevalue(which)
    thick = replace(kit, card_mm=0.4)
    slopes = [
        known_at(replace(table, kit=one), (read(visit, one, 4),)).whole.mean[0]
        for one in (kit, thick)
    ]

    assert slopes[0] == pytest.approx(slopes[1], abs=1e-6)


def test_the_advice_names_what_was_counted(table, visit, bubble):
    counted = replace(table, kit=bubble)
    why = advise(counted, (read(visit, bubble, 4),), today=date(2026, 3, 3)).state[0].why

    assert why.startswith("4 divisions, right end low")


def test_counts_are_named_by_what_is_counted():
    said = [
        count_words(Quantity.CROSS, Count(1), Reads.DISPLAY),
        range_words(Quantity.CROSS, -3, -2, Reads.DIVISIONS),
        count_words(Quantity.HOLLOW, Count(2), Reads.DIVISIONS),
    ]

    assert said == ["1 box, right end low", "2 to 3 divisions, left end low", "2 cards"]


def test_a_scale_too_coarse_for_the_tolerance_is_found_with_the_card_that_could(table, bubble):
    coarse = replace(bubble, sensitivity_mm_per_m=1.2)
    targets = replace(table.targets, cross_mm_per_m=Target(0.0, 0.7))

    (found,) = [
        one
        for one in unreachable(replace(table, kit=coarse, targets=targets))
        if one.quantity is Quantity.CROSS
    ]

    assert (found.cause, found.least) == (Cause.SCALE, 1.2)
