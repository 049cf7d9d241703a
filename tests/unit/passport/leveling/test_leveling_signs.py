"""Signs, one worked number each. Left and right as seen from end A."""

from dataclasses import replace

import pytest

from passport.leveling.advise import advise
from passport.leveling.lookup import cross_turns, hollow_turns, rise_turns
from passport.leveling.surface import estimates, lengthwise_tilt
from passport.leveling.walks import Moment
from passport.visit import BracketPass, Count, LegPass, Pass


def left(table, visit, **walk):
    visit = replace(visit, passes=(Pass(**walk),))
    return {e.station.name: e for e in estimates(table, visit, Moment.LEFT)}


def test_cards_under_the_right_are_a_positive_cross_slope_left_high(table, visit):
    found = left(table, visit, legs={"L1": LegPass(Count(2))})

    assert found["L1"].value == pytest.approx(0.8, abs=0.01)


def test_positive_foot_turns_raise_the_low_right_foot(table):
    found = cross_turns(table, table.legs[0], Count(3))

    assert (found.left, found.right) == (0, 2)


def test_raising_the_right_foot_lowers_a_positive_slope(table, visit):
    visit = replace(visit, passes=(Pass(legs={"L1": LegPass(Count(3))}),))

    (move,) = advise(table, [visit], today=visit.date).moves

    assert (move.steps, move.expected) == (1, pytest.approx(1.2 - 0.79375, abs=0.02))


def test_cards_that_pass_under_the_middle_are_a_positive_hollow(table, visit):
    found = left(table, visit, brackets={"B1": BracketPass(Count(1))})

    assert found["B1"].value == pytest.approx(0.3, abs=0.01)


def test_crown_is_a_negative_hollow(table, visit):
    found = left(table, visit, brackets={"B1": BracketPass(Count(-1))})

    assert found["B1"].value == pytest.approx(-0.1, abs=0.015)


def test_positive_nut_turns_make_hollower(table):
    assert hollow_turns(table, table.brackets[0], Count(1)).steps == 3


def test_outer_end_high_is_a_positive_rise_over_the_middle(table, visit):
    found = left(table, visit, rise={"A": Count(1), "B": Count(1)})

    assert found["ends"].value == pytest.approx(
        1.11, abs=0.25
    )  # 0.4 mm/m × 2.883, drawn to the target


def test_low_ends_ask_for_positive_turns(table):
    assert rise_turns(table, table.legs[0], Count(1)).quarters == 5


def test_end_b_higher_is_a_positive_tilt(table, visit):
    visit = replace(visit, passes=(Pass(rise={"A": Count(1), "B": Count(3)}),))

    tilt = lengthwise_tilt(table, visit, Moment.LEFT)

    assert tilt.value == pytest.approx(2 * 1.1533 / 6.6, abs=1e-3)


def test_tilt_carries_the_level_zero_twice(table, visit):
    visit = replace(visit, passes=(Pass(rise={"A": Count(1), "B": Count(1)}),))

    tilt = lengthwise_tilt(table, visit, Moment.LEFT)

    # own 0.1190 × √2 and zero 0.1041 × 2, each × 2.883 mm per mm/m, over 6.6 m
    assert tilt.u == pytest.approx((0.1683**2 + 0.2082**2) ** 0.5 * 2.883 / 6.6, rel=2e-3)


@pytest.mark.parametrize("rise", [{"A": Count(1)}, {"A": Count(1), "B": Count(8, bound=True)}])
def test_tilt_needs_a_closed_count_at_both_ends(table, visit, rise):
    visit = replace(visit, passes=(Pass(rise=rise),))

    assert lengthwise_tilt(table, visit, Moment.LEFT) is None
