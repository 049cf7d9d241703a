"""The state of a table: intervals, shared errors, gaps."""

from dataclasses import replace

import numpy as np
import pytest

from passport.leveling.advice import Quantity
from passport.leveling.surface import covariance, estimates, stations
from passport.leveling.walks import Gap, Moment
from passport.table import Own
from passport.visit import BracketPass, Count, Doubt, LegPass, Pass


def at(table, visit, name, moment=Moment.LEFT):
    return next(e for e in estimates(table, visit, moment) if e.station.name == name)


def leg_visit(visit, *rows, **changes):
    return replace(visit, passes=tuple(Pass(legs={"L1": row}) for row in rows), **changes)


def test_stations_are_adjusted_legs_brackets_and_the_ends(table):
    names = [station.name for station in stations(table)]

    assert names == ["L1", "L3", "L5", *(f"B{i}" for i in range(1, 9)), "ends"]


def test_two_legged_table_has_no_rise(table):
    table = replace(table, legs=(table.legs[0], table.legs[4]))

    assert Quantity.RISE not in {station.quantity for station in stations(table)}


def test_cross_level_is_the_count_as_left(table, visit):
    visit = leg_visit(visit, LegPass(Count(3), 0, 2, Count(-1)))

    assert at(table, visit, "L1").value == pytest.approx(-0.4, abs=0.01)


def test_cross_level_as_found_is_the_first_count(table, visit):
    visit = leg_visit(visit, LegPass(Count(3), 0, 2, Count(-1)))

    assert at(table, visit, "L1", Moment.FOUND).value == pytest.approx(1.2, abs=0.02)


def test_last_pass_speaks_for_the_state(table, visit):
    visit = leg_visit(visit, LegPass(Count(3), 0, 1, Count(1)), LegPass(Count(1), 0, 1, Count(-1)))

    assert at(table, visit, "L1").value == pytest.approx(-0.4, abs=0.03)


def test_blank_last_pass_leaves_the_state_to_the_one_before(table, visit):
    visit = leg_visit(visit, LegPass(Count(3), 0, 1, Count(1)), LegPass())

    assert at(table, visit, "L1").value == pytest.approx(0.4, abs=0.03)


def test_turned_without_a_reading_after_is_a_gap(table, visit):
    visit = leg_visit(visit, LegPass(Count(3), 0, 2, None))

    assert at(table, visit, "L1").gap is Gap.TURNED_UNREAD


def test_nothing_written_is_a_gap(table, visit):
    assert at(table, visit, "L1").gap is Gap.NOT_MEASURED


def test_doubt_over_the_after_row_is_a_gap(table, visit):
    doubt = Doubt("walk1.L1.after", "L1 cross level after", "two boxes are marked")
    visit = leg_visit(visit, LegPass(Count(3)), doubts=(doubt,))

    assert at(table, visit, "L1").gap is Gap.IN_DOUBT


def test_doubt_over_another_station_does_not_matter(table, visit):
    doubt = Doubt("walk1.L11.after", "L11 cross level after", "two boxes are marked")
    visit = leg_visit(visit, LegPass(Count(3)), doubts=(doubt,))

    assert at(table, visit, "L1").value == pytest.approx(1.2, abs=0.02)


def test_doubt_in_a_later_pass_makes_an_earlier_after_stale(table, visit):
    doubt = Doubt("walk2.L1.found", "L1 cross level found", "two boxes are marked")
    visit = leg_visit(visit, LegPass(Count(3), 0, 2, Count(1)), LegPass(), doubts=(doubt,))

    assert at(table, visit, "L1").gap is Gap.IN_DOUBT


def test_level_zero_is_taken_off_the_cross_level(table, visit):
    visit = leg_visit(visit, LegPass(Count(2)), level_check=(Count(1), Count(0)))

    assert at(table, visit, "L1").value == pytest.approx(0.8 - 0.1209, abs=0.01)


def test_kits_own_zero_is_taken_off_and_leaves_its_uncertainty(table, visit):
    row = LegPass(found=Count(2))
    plain = at(table, leg_visit(visit, row), "L1")

    kit = replace(visit.kit, zero=Own(0.4, 0.01))
    checked = at(table, leg_visit(visit, row, kit=kit), "L1")
    assert checked.value == pytest.approx(plain.value - 0.4, abs=0.02)
    assert checked.spread.u < 0.9 * plain.spread.u


def test_kits_own_bow_is_taken_off_the_hollow(table, visit):
    row = Pass(brackets={"B1": BracketPass(found=Count(2))})
    plain = at(table, replace(visit, passes=(row,)), "B1")

    kit = replace(visit.kit, bow=Own(0.1, 0.002))
    checked = at(table, replace(visit, passes=(row,), kit=kit), "B1")
    assert checked.value == pytest.approx(plain.value - 0.1, abs=0.02)


def test_cross_levels_read_both_ways_share_no_zero(table, visit):
    visit = leg_visit(visit, LegPass(Count(2)), level_check=(Count(2), Count(-1)))

    assert at(table, visit, "L1").reversed_already


def test_mean_of_five_slopes_keeps_the_zero_of_an_unreversed_level(table, visit):
    walk = Pass(legs={name: LegPass(Count(1)) for name in ("L1", "L3", "L5")})
    found = [e for e in estimates(table, replace(visit, passes=(walk,)), Moment.LEFT) if e.counts]

    u_mean = np.sqrt(covariance(found).mean())

    # own 0.4 / √12 and bubble 0.05 make 0.1258 / √3; common: zero 0.1 and card 0.008
    assert u_mean == pytest.approx(np.sqrt(0.1258**2 / 3 + 0.1**2 + 0.008**2), rel=5e-3)


def test_mean_of_eight_hollows_keeps_the_cards_of_the_pack(table, visit):
    walk = Pass(brackets={f"B{i}": BracketPass(Count(2)) for i in range(1, 9)})
    found = [e for e in estimates(table, replace(visit, passes=(walk,)), Moment.LEFT) if e.counts]

    u_mean = np.sqrt(covariance(found).mean())

    # own 0.2 / √12 = 0.05774 and touch 0.0127 over √8; cards 2.5 × 0.004; bow 0.01
    own = (0.05774**2 + 0.0127**2) / 8
    assert u_mean == pytest.approx(np.sqrt(own + 0.01**2 + 0.01**2), rel=0.03)


def test_rise_is_the_mean_of_both_ends(table, visit):
    visit = replace(visit, passes=(Pass(rise={"A": Count(2), "B": Count(4)}),))

    assert at(table, visit, "ends").value == pytest.approx(
        3 * 0.4 * 2.883, abs=0.4
    )  # beside a prior of 3.175


def test_rise_is_free_of_the_level_zero(table, visit):
    visit = replace(visit, passes=(Pass(rise={"A": Count(2), "B": Count(4)}),))
    checked = replace(visit, level_check=(Count(1), Count(1)))

    both = [at(table, one, "ends").value for one in (visit, checked)]
    assert both[0] == pytest.approx(both[1], abs=0.35)


def test_rise_of_one_end_alone_is_a_gap(table, visit):
    visit = replace(visit, passes=(Pass(rise={"A": Count(2)}),))

    assert at(table, visit, "ends").gap is Gap.NOT_MEASURED


def test_rise_with_an_open_count_has_only_a_bound(table, visit):
    visit = replace(visit, passes=(Pass(rise={"A": Count(8, bound=True), "B": Count(2)}),))

    estimate = at(table, visit, "ends")

    assert (estimate.high, estimate.value) == (None, None)


def test_more_cards_found_are_read_by_the_turns_that_centred_the_bubble(table, visit):
    visit = leg_visit(visit, LegPass(Count(4, bound=True), 0, 3, Count(0)))

    found = at(table, visit, "L1", Moment.FOUND)

    # 3 × 0.396875 mm over 500 mm; half a card and 5 % of the way are what it may be off
    assert (found.value, found.spread.u) == pytest.approx((2.38125, 0.1975), abs=0.03)


@pytest.mark.parametrize(
    "row",
    [
        LegPass(Count(4, bound=True), 0, 3, None),
        LegPass(Count(4, bound=True), 0, 3, Count(-4, bound=True)),
        LegPass(Count(4, bound=True), 3, 0, Count(0)),
        LegPass(Count(4, bound=True)),
    ],
)
def test_more_cards_found_stay_a_bound_without_turns_to_the_centre(table, visit, row):
    found = at(table, leg_visit(visit, row), "L1", Moment.FOUND)

    assert (found.value, found.low) == (None, pytest.approx(1.4))
