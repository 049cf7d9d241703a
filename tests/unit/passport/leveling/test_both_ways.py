"""Cross levels read both ways round: the zero cancels at a leg, and all pairs together tell it."""

import math
from dataclasses import replace
from datetime import date

import pytest

from passport.leveling.advice import Quantity
from passport.leveling.advise import advise
from passport.leveling.common import common_errors
from passport.leveling.explain import why_lines
from passport.leveling.judge import SETTLED_BOTH_WAYS
from passport.leveling.lookup import cross_turns
from passport.leveling.posterior.filter import known_at
from passport.leveling.readings import cross_reading
from passport.leveling.surface import Moment, estimates
from passport.table import Own, Reads, Target, Ways
from passport.visit import Count, LegPass, Pass

DAY = date(2026, 3, 2)


@pytest.fixture
def table(table):
    return replace(table, kit=replace(table.kit, cross_read=Ways.BOTH))


def read(table, visit, **legs):
    return replace(visit, kit=table.kit, passes=(Pass(legs),))


def pair(found, turned, **more):
    return LegPass(Count(found), found_turned=Count(turned), **more)


def at(table, visit, leg):
    found = estimates(table, visit, Moment.FOUND)
    return next(one for one in found if one.station.name == leg)


def test_middle_of_both_ways_is_the_slope_and_half_the_difference_the_zero(table, visit):
    # I_a = slope + zero, I_b = slope - zero: reversal, as in the reference notes on levels
    visit = read(table, visit, L1=pair(3, 1))

    reading, errors = cross_reading(table.kit, (Count(3), Count(1))), common_errors(visit)

    assert reading.value == pytest.approx(0.8)
    assert (reading.low, reading.high) == pytest.approx((0.6, 1.0))
    assert (reading.per_zero, reading.per_card) == (0.0, 4.0)
    seen_u = math.hypot(reading.own_u)  # of half a difference as of half a sum
    weight = 1 / (1 + (seen_u / math.hypot(0.1, 0.1 / math.sqrt(12))) ** 2)
    assert errors.zero_mm_per_m == pytest.approx(weight * 0.4)


def test_a_mean_of_two_readings_is_as_sure_as_root_two_says(table):
    one = cross_reading(table.kit, (Count(2),))
    two = cross_reading(table.kit, (Count(2), Count(2)))

    assert two.own_u == pytest.approx(one.own_u / math.sqrt(2))


def test_slopes_of_a_level_far_off_are_right_where_each_leg_is_read_both_ways(table, visit):
    kit = replace(table.kit, zero=Own(0.0, 1.0))
    table = replace(table, kit=kit)
    visit = read(table, visit, L1=pair(4, 0), L3=pair(2, -2), L5=pair(3, -1))

    values = [at(table, visit, leg).value for leg in ("L1", "L3", "L5")]
    known = known_at(table, (visit,))

    assert values == pytest.approx([0.8, 0.0, 0.4], abs=0.06)
    assert known.whole.mean[known.places.zero] == pytest.approx(0.8, abs=0.06)


def test_pairs_share_their_zero_so_a_mean_of_legs_is_surer_than_one_way_round(table, visit):
    legs = ("L1", "L3", "L5")
    both = read(table, visit, **{leg: pair(1, 1) for leg in legs})
    once = read(table, visit, **{leg: LegPass(Count(1)) for leg in legs})

    def mean_u(visit):
        known = known_at(table, (visit,))
        rows = known.course.found[: len(legs)].mean(axis=0)
        return math.sqrt(rows @ known.whole.covariance @ rows)

    assert mean_u(both) < 0.6 * mean_u(once)


def test_a_level_s_zero_asks_for_no_turn_where_legs_are_read_both_ways(table):
    table = replace(table, kit=replace(table.kit, zero=Own(1.2, 0.02)))
    one_way = replace(table, kit=replace(table.kit, cross_read=Ways.ONE))
    leg = table.legs[0]

    assert cross_turns(table, leg, Count(0)).ok
    assert not cross_turns(one_way, leg, Count(0)).ok


def test_pair_with_one_open_end_is_a_bound_of_its_middle(table, visit):
    visit = read(table, visit, L1=LegPass(Count(5, True), found_turned=Count(3)))

    found = at(table, visit, "L1")

    assert (found.value, found.low, found.high) == (None, pytest.approx((1.8 + 1.0) / 2), None)


def test_open_pair_is_settled_by_the_turns_that_centred_the_bubble(table, visit):
    row = LegPass(
        Count(5, True), 0, 3, Count(0), found_turned=Count(5, True), after_turned=Count(0)
    )

    found = at(table, read(table, visit, L1=row), "L1")

    assert found.value == pytest.approx(3 * 0.396875 / 0.5, abs=0.15)


@pytest.mark.parametrize("by", list(Reads))
def test_verdict_of_a_pair_no_longer_asks_to_read_it_both_ways(table, visit, by):
    step = {"sensitivity_mm_per_m": None, "display_step_deg": 0.02}
    kit = replace(table.kit, cross_by=by, sensitivity_mm_per_m=0.4)
    kit = replace(kit, **step) if by is Reads.DISPLAY else kit
    targets = replace(table.targets, cross_mm_per_m=Target(0.0, 0.4))
    table = replace(table, kit=kit, targets=targets)

    state = advise(table, [read(table, visit, L1=pair(1, 1))], today=DAY).state[0]

    assert "turned round 1" in state.why
    assert SETTLED_BOTH_WAYS[by] in state.why


def test_planned_turn_names_the_middle_of_both_ways(table, visit):
    moves = advise(table, [read(table, visit, L1=pair(4, 3))], today=DAY).moves

    assert [m.condition for m in moves if m.quantity is Quantity.CROSS] == [
        "if the middle of both ways is 3 to 5 cards, right end low; otherwise the look-up"
    ]


def test_reasons_name_the_reading_with_the_level_turned_round(table, visit):
    visits = [read(table, visit, L1=pair(1, 0))]

    lines = why_lines(table, visits, advise(table, visits, today=DAY))

    assert sum("L1 cross level, turned round: " in line for line in lines) == 1
