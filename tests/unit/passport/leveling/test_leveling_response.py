from dataclasses import replace

import pytest

from passport.leveling.posterior.filter import known_at
from passport.leveling.response import (
    Response,
    foot_prior,
    foot_responses,
    nut_responses,
)
from passport.leveling.watch import watch
from passport.table import Steps
from passport.visit import BracketPass, Count, LegPass, Pass, Walk


def nut_visit(visit, *rows, **changes):
    return replace(visit, passes=tuple(Pass(brackets={"B1": row}) for row in rows), **changes)


def test_foot_starts_at_a_quarter_of_its_pitch(table):
    assert foot_prior(table.legs[0]) == Response(0.396875, 0.05)


def test_foot_without_a_thread_has_no_response(table):
    legs = (replace(table.legs[0], thread=None), *table.legs[1:])

    assert foot_responses(replace(table, legs=legs), [])["L1"] is None


def test_nut_starts_at_two_thousandths_of_an_inch(table):
    assert nut_responses(table, [])["B1"] == Response(0.0508, 0.4)


def test_nut_that_moved_more_than_expected_is_learned_as_stronger(table, visit):
    seen = nut_visit(visit, BracketPass(Count(0), 5, Count(2)))  # 0.4 mm by 5: 0.08

    found = nut_responses(table, [seen])["B1"]

    assert 0.0508 < found.mm < 0.08


def test_nut_turned_by_sixths_is_learned_like_one_turned_as_far_by_quarters(table, visit):
    quarters = nut_visit(visit, BracketPass(Count(0), 4, Count(2)))
    sixths = nut_visit(visit, BracketPass(Count(0), 6, Count(2)), nuts_by=Steps.SIXTHS)

    assert nut_responses(table, [sixths])["B1"] == nut_responses(table, [quarters])["B1"]


def test_nut_of_three_times_the_usual_strength_is_learned_and_no_contradiction(table, visit):
    seen = nut_visit(visit, BracketPass(Count(0), 5, Count(5)))  # 1 mm by 5: 0.2

    found = nut_responses(table, [seen])["B1"]

    assert (found.mm > 0.1, watch(table, known_at(table, [seen]))) == (True, [])


def test_nut_learned_from_one_turn_is_surer(table, visit):
    seen = nut_visit(visit, BracketPass(Count(0), 5, Count(2)))

    found = nut_responses(table, [seen])["B1"]

    assert (found.log_u < 0.4, found.learned_from) == (True, 1)


@pytest.mark.parametrize(
    "row",
    [
        BracketPass(Count(0), 5, None),
        BracketPass(Count(0), None, Count(0)),
        BracketPass(Count(0), 0, Count(0)),
    ],
)
def test_nut_learns_little_from_an_open_or_half_filled_row(table, visit, row):
    found = nut_responses(table, [nut_visit(visit, row)])["B1"]

    assert (found.mm, found.log_u) == pytest.approx((0.0508, 0.4), rel=0.2)


def test_replaced_part_makes_what_was_learned_void(table, visit):
    seen = nut_visit(visit, BracketPass(Count(0), 5, Count(2)))
    later = replace(visit, changed=frozenset({"part"}))

    found = nut_responses(table, [seen, later])["B1"]
    assert (found.mm, found.log_u, found.learned_from) == pytest.approx((0.0508, 0.4, 0), rel=0.02)


def test_foot_learns_from_a_cross_level_before_and_after(table, visit):
    walk = Pass(legs={"L1": LegPass(Count(4), 0, 2, Count(0))})  # 1.6 mm/m: 0.4 mm a quarter

    found = foot_responses(table, [replace(visit, passes=(walk,))])["L1"]

    assert 0.396 < found.mm < 0.402


def test_turn_the_wrong_way_lowers_the_response_and_keeps_it_positive(table, visit):
    seen = nut_visit(visit, BracketPass(Count(3), 5, Count(2)))

    found = nut_responses(table, [seen])["B1"]

    assert 0 < found.mm < 0.0508


def test_nut_turned_at_many_visits_is_learned_nearly_all_the_way(table, visit):
    rows = [BracketPass(Count(0), 5, Count(2)), BracketPass(Count(2), -5, Count(0))] * 4

    found = nut_responses(table, [nut_visit(visit, *rows)])["B1"]

    assert found.mm == pytest.approx(0.08, rel=0.2)  # lost motion is not known apart


@pytest.mark.parametrize(
    ("walk", "facing", "lost"),
    [(Walk.READ_FIRST, 1, 0.0), (Walk.STATION_BY_STATION, 0, 0.5)],
)
def test_nut_that_a_plan_turns_back_goes_beyond_and_ends_forward(table, visit, walk, facing, lost):
    """Forward first, then back: by a plan nothing is lost; by a look-up, nobody knows."""
    rows = (BracketPass(Count(1), 4, Count(2)), BracketPass(Count(2), -3, Count(1)))
    passes = tuple(Pass(brackets={"B1": row}, walk=walk) for row in rows)

    known = known_at(table, [replace(visit, passes=passes)])

    first = known.course.left[known.places.hollow(0)][known.places.lost(0)]
    assert (known.course.facing[0], first) == (facing, -0.5 + lost)
