import math
from dataclasses import replace

import pytest

from passport.leveling.common import common_errors, read_both_ways
from passport.leveling.posterior.filter import known_at
from passport.leveling.readings import (
    apart_by_zero,
    bubble_u_mm_per_m,
    corrected,
    hollow_reading,
    level_zero,
    rise_per_slope,
    rise_reading,
    rise_shape_u,
    slope_reading,
)
from passport.table import Own
from passport.visit import BracketPass, Count, Pass


def test_cross_count_is_half_a_card_either_way(table):
    reading = slope_reading(table.kit, Count(3))

    assert (reading.low, reading.high) == pytest.approx((1.0, 1.4))  # 2.5 and 3.5 × 0.4 mm/m


def test_cross_count_holds_half_a_card_and_the_bubble(table):
    reading = slope_reading(table.kit, Count(3))

    # 0.2 / √3 = 0.1155 for the card, 0.1 / (2 √3) = 0.0289 for the bubble
    assert reading.own_u == pytest.approx(math.hypot(0.11547, 0.028868), rel=1e-4)


def test_cross_count_grows_with_the_cards_and_falls_with_the_zero(table):
    reading = slope_reading(table.kit, Count(3))

    assert (reading.per_card, reading.per_zero) == pytest.approx((6.0, -1.0))  # 3 × 1000 / 500


def test_right_end_low_is_left_high(table):
    assert slope_reading(table.kit, Count(2)).value == pytest.approx(0.8)


def test_hollow_count_lies_between_n_and_n_plus_one_cards(table):
    reading = hollow_reading(table.kit, 500, Count(2))

    assert (reading.low, reading.high) == pytest.approx((0.4, 0.6))


def test_crown_count_lies_between_n_minus_one_and_n_cards_below_nought(table):
    reading = hollow_reading(table.kit, 500, Count(-2))

    assert (reading.low, reading.high) == pytest.approx((-0.4, -0.2))


def test_crown_or_more_is_open_below(table):
    reading = hollow_reading(table.kit, 500, Count(-2, bound=True))

    assert (reading.low, reading.high) == (None, pytest.approx(-0.2))


def test_hollow_or_more_is_open_above(table):
    reading = hollow_reading(table.kit, 500, Count(8, bound=True))

    assert (reading.low, reading.high) == (pytest.approx(1.6), None)


def test_bound_has_no_value(table):
    assert hollow_reading(table.kit, 500, Count(8, bound=True)).value is None


def test_hollow_under_a_level_of_half_the_width_is_four_times_what_it_shows(table):
    kit = replace(table.kit, level_length_mm=250)

    reading = hollow_reading(kit, 500, Count(2))

    assert (reading.low, reading.high) == pytest.approx((1.6, 2.4))


def test_hollow_under_a_longer_level_is_what_it_shows(table):
    kit = replace(table.kit, level_length_mm=900)

    assert hollow_reading(kit, 500, Count(2)).value == pytest.approx(0.5)


def test_hollow_error_of_the_cards_grows_with_their_number(table):
    assert hollow_reading(table.kit, 500, Count(3)).per_card == pytest.approx(3.5)


def test_display_step_is_rectangular(table):
    kit = replace(table.kit, sensitivity_mm_per_m=None, display_step_deg=0.1)

    # 0.1 degrees is 1.74533 mm/m; over 2 √3
    assert bubble_u_mm_per_m(kit) == pytest.approx(0.503833, rel=1e-5)


def test_level_nobody_checked_may_be_off_by_a_tenth_and_half_a_division(table):
    assert level_zero(table.kit).u == pytest.approx(math.hypot(0.1, 0.028868), rel=1e-4)


def test_rise_of_outer_end_high_is_positive(table):
    reading = rise_reading(table.kit, 3000, Count(2))

    assert reading.value == pytest.approx(2.3066, rel=1e-3)  # 0.8 mm/m × 2.883


def test_rise_per_slope_lies_between_straight_and_bent(table):
    # bent: chord of (3 s² − s³) / 2 over the last sixth: (1 − 0.75231) × 6 = 1.48611
    assert rise_per_slope(table.kit, 3000) == pytest.approx(3 / (1 + 0.48611 / 12), rel=1e-5)


def test_rise_shape_reaches_to_the_straight_frame(table):
    assert rise_shape_u(table.kit, 3000) == pytest.approx(
        (0.48611 / 12) / (1 + 0.48611 / 12), rel=1e-4
    )


def test_level_check_gives_the_zero_with_its_uncertainty(visit):
    visit = replace(visit, level_check=(Count(1), Count(0)))

    shared = common_errors(visit)

    # half of 0.4 mm/m = 0.2 seen with u = 0.1190 / √2 = 0.0842, known beforehand as 0 ± 0.1041:
    # weight 0.1041² / (0.1041² + 0.0842²) = 0.6046
    assert (shared.zero_mm_per_m, shared.zero_u) == pytest.approx((0.1209, 0.06544), rel=2e-3)


def test_known_zero_is_weighed_with_the_level_check(visit):
    kit = replace(visit.kit, zero=Own(0.3, 0.06))
    visit = replace(visit, kit=kit, level_check=(Count(2), Count(0)))

    shared = common_errors(visit)
    # 0.4 mm/m seen with u 0.0842, 0.3 known with u 0.06: the weighted mean of both
    weights = 1 / 0.0842**2, 1 / 0.06**2
    value = (0.4 * weights[0] + 0.3 * weights[1]) / sum(weights)
    assert (shared.zero_mm_per_m, shared.zero_u) == pytest.approx(
        (value, sum(weights) ** -0.5), rel=2e-3
    )


def test_known_zero_and_bow_are_taken_out_of_a_reading(table):
    kit = replace(table.kit, zero=Own(0.4, 0.01), bow=Own(0.2, 0.01))

    tilt, hollow = corrected(kit, slope_reading(kit, Count(1))), hollow_reading(kit, 500, Count(2))
    # level ground under a level that shows its marked end, the left one, 0.4 mm/m high;
    # 2.5 cards of 0.2 mm under an edge that is itself hollow by 0.2 mm
    assert (tilt.value, corrected(kit, hollow).value) == pytest.approx((0.0, 0.3))


def test_two_ways_round_differ_by_twice_the_zero(table):
    kit = replace(table.kit, zero=Own(-0.6, 0.01))

    assert apart_by_zero(kit) == -3  # 1.2 mm/m at 0.4 mm/m a card


@pytest.mark.parametrize(("check", "both"), [((-1, 2), False), ((-1, 1), False), ((1, 1), True)])
def test_both_ways_are_asked_for_where_a_known_zero_explains_too_little(visit, check, both):
    kit = replace(visit.kit, zero=Own(-0.6, 0.01))
    first, turned = check

    visit = replace(visit, kit=kit, level_check=(Count(first), Count(turned)))
    assert read_both_ways(visit) is both


def test_level_check_two_cards_apart_means_stations_read_both_ways(visit):
    visit = replace(visit, level_check=(Count(1), Count(-1)))

    assert common_errors(visit).zero_cancels


def test_level_check_with_an_open_count_tells_nothing(visit):
    visit = replace(visit, level_check=(Count(4, bound=True), Count(0)))

    assert common_errors(visit).zero_mm_per_m == 0.0


@pytest.mark.parametrize(("length", "seen"), [(250, 0.25), (500, 1.0), (1000, 1.0)])
def test_a_level_of_any_length_reads_the_hollow_of_the_whole_width(table, length, seen):
    # a parabola 0.8 mm deep over 500 mm: over half its width it is a quarter as deep
    kit = replace(table.kit, level_length_mm=length)
    cards = Count(math.floor(0.8 * seen / kit.card_mm))

    reading = hollow_reading(kit, 500, cards)

    assert reading.low <= 0.8 <= reading.high


@pytest.mark.parametrize(("length", "over"), [(250, 4.0), (500, 1.0), (1000, 0.25)])
def test_a_bow_counts_as_far_as_it_lies_over_the_board(table, length, over):
    # the edge's bow is a parabola over its own length, and so is what of it lies over the board
    kit = replace(table.kit, level_length_mm=length)
    x = min(length, 500) / length
    looks = 0.1 * x**2  # too deep, of a bow of 0.1 mm
    scaled = looks * max(1.0, 500 / length) ** 2

    assert hollow_reading(kit, 500, Count(2)).per_bow * 0.1 == pytest.approx(-scaled)
    assert scaled == pytest.approx(0.1 * over)


def test_longer_straightedge_has_less_of_its_bow_in_what_is_believed(table, visit):
    long = replace(table, kit=replace(table.kit, level_length_mm=1000.0))
    brackets = {f"B{n}": BracketPass(Count(2)) for n in range(1, 9)}
    row = [
        known_at(one, (replace(visit, kit=one.kit, passes=(Pass({}, brackets),)),))
        for one in (table, long)
    ]
    shares = [known.course.shown[0].row[known.places.bow] for known in row]

    assert shares == [1.0, 0.25]
