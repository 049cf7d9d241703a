"""Impossible, missing, contradictory and extreme input gets a message or a wide answer.

Never a crash, and never a turn that rests on nothing.
"""

import math
from dataclasses import replace
from datetime import date

import pytest
from leveling.tables import five_legs, two_legs

from forms.errors import UserError
from passport.leveling.advise import advise
from passport.table import Target
from passport.visit import BracketPass, Count, LegPass, Pass, Visit

TABLE = five_legs()
LEGS = [leg.name for leg in TABLE.adjusted_legs()]
NUTS = [nut.name for nut in TABLE.brackets]
OPEN = Count(8, bound=True)


def visit(*passes, table=TABLE):
    return Visit("F", "service", table.number, date(2026, 3, 2), table.kit, passes=passes)


def asked(*visits, table=TABLE):
    return advise(table, visits, today=date(2026, 3, 3))


def turned(advice):
    return {move.station for move in advice.moves}


def everywhere(cross, hollow, rise):
    return Pass(
        {name: LegPass(cross) for name in LEGS},
        {name: BracketPass(hollow) for name in NUTS},
        {"A": rise, "B": rise},
    )


def test_no_visit_at_all_asks_for_no_turn():
    assert asked().moves == ()


@pytest.mark.parametrize("passes", [(), (Pass(),), (Pass(), Pass())])
def test_empty_visit_asks_for_no_turn(passes):
    assert asked(visit(*passes)).moves == ()


def test_one_reading_only_turns_nothing_where_nothing_was_read():
    advice = asked(visit(Pass(brackets={"B3": BracketPass(Count(0))})))

    assert turned(advice) <= {"B3"}


def test_open_counts_everywhere_give_no_value():
    bound = everywhere(Count(5, bound=True), OPEN, OPEN)

    advice = asked(visit(bound))

    assert {state.value for state in advice.state} == {None}


def test_open_count_never_turns_away_from_where_it_points():
    """Eight cards or more: flatter, if anything."""
    advice = asked(visit(everywhere(Count(5, bound=True), OPEN, OPEN)))

    net = {name: sum(m.steps for m in advice.moves if m.station == name) for name in NUTS}
    assert max(net.values()) <= 0


def test_turns_without_any_reading_leave_all_unknown():
    row = Pass({name: LegPass(None, 4, 0) for name in LEGS}, {"B1": BracketPass(None, 8)})

    advice = asked(visit(row))

    assert advice.moves == ()


def test_counts_that_contradict_each_other_widen_or_are_named():
    """Two readings of one untouched bracket, no turn between: 0 and 7 cards."""
    plain = asked(visit(Pass(brackets={"B2": BracketPass(Count(3))})))
    odd = [Pass(brackets={"B2": BracketPass(Count(n))}) for n in (0, 7)]

    advice = asked(visit(*odd))

    width = [_of(one, "B2").u or math.inf for one in (plain, advice)]
    assert width[1] > width[0] or "B2" in " ".join(advice.warnings)


SLIPS = {
    "found 5, turned hollower, then 1": (BracketPass(Count(5), 4, Count(1)), (1, 2)),
    "found 2, turned hollower, then 0": (BracketPass(Count(2), 4, Count(0)), (0, 1)),
    "found 2, two turns hollower, then 0": (BracketPass(Count(2), 8, Count(0)), (0, 1)),
}


@pytest.mark.parametrize("name", SLIPS)
def test_bracket_that_seems_to_work_the_other_way_round_is_named_and_stands_by_its_last_count(name):
    row, (low, high) = SLIPS[name]
    card = TABLE.kit.card_mm

    advice = asked(visit(Pass(brackets={"B2": row})))

    state = _of(advice, "B2")
    assert any(line.startswith("B2 hollow: its counts and turns can't") for line in advice.warnings)
    assert state.low - low * card <= card / 20
    assert low * card <= state.value <= high * card <= state.high


def test_nut_far_stronger_than_usual_is_taken_as_such():
    """2 cards, a turn hollower, 7 cards: four times a usual nut, and nothing contradicts it."""
    advice = asked(visit(Pass(brackets={"B2": BracketPass(Count(2), 4, Count(7))})))

    state, card = _of(advice, "B2"), TABLE.kit.card_mm
    assert advice.warnings == ()
    assert 7 * card <= state.value <= 8 * card


def _of(advice, station):
    return next(state for state in advice.state if state.station == station)


def test_two_legs_at_one_place_get_a_message_or_an_answer():
    legs = (TABLE.legs[0], replace(TABLE.legs[1], x_mm=TABLE.legs[0].x_mm), *TABLE.legs[2:])
    _answers_or_says_why(replace(TABLE, legs=legs), everywhere(Count(1), Count(3), Count(3)))


def test_end_legs_at_the_centre_get_a_message_or_an_answer():
    legs = tuple(replace(leg, x_mm=TABLE.board.length_mm / 2) for leg in TABLE.legs)
    _answers_or_says_why(replace(TABLE, legs=legs), everywhere(Count(1), Count(3), Count(3)))


BROKEN = {
    "card is no number": replace(TABLE, kit=replace(TABLE.kit, card_mm=math.nan)),
    "card is nought": replace(TABLE, kit=replace(TABLE.kit, card_mm=0.0)),
    "bearing is no number": replace(TABLE, kit=replace(TABLE.kit, bearing_length_mm=math.nan)),
    "length is no number": replace(TABLE, board=replace(TABLE.board, length_mm=math.nan)),
    "target is no number": replace(
        TABLE, targets=replace(TABLE.targets, hollow_mm=Target(math.nan, 0.19))
    ),
    "no tolerance": replace(TABLE, targets=replace(TABLE.targets, hollow_mm=Target(0.5, 0.0))),
    "feet at one place": replace(
        TABLE, legs=tuple(replace(leg, foot_spacing_mm=0.0) for leg in TABLE.legs)
    ),
}


@pytest.mark.parametrize("name", BROKEN)
def test_numbers_that_are_none_give_no_confident_turn(name):
    _answers_or_says_why(BROKEN[name], everywhere(Count(1), Count(3), Count(3)))


@pytest.mark.parametrize("cards", [-10_000, 10_000])
def test_extreme_counts_never_ask_for_more_than_a_pass_may_turn(cards):
    walk = everywhere(Count(cards), Count(cards), Count(cards))

    advice = asked(visit(walk))

    assert all(abs(move.steps) <= 12 for move in advice.moves)


def test_table_without_brackets_or_rise_is_answered():
    bare = replace(two_legs(), brackets=())
    advice = asked(visit(Pass({"L1": LegPass(Count(3))}), table=bare), table=bare)

    assert turned(advice) <= {"L1"}


def test_stations_that_the_table_does_not_have_are_passed_over():
    walk = Pass({"L99": LegPass(Count(3))}, {"B99": BracketPass(Count(3))}, {"C": Count(1)})

    assert asked(visit(walk)).moves == ()


def test_visits_without_a_date_and_in_any_order_give_one_answer():
    first = visit(everywhere(Count(1), Count(2), Count(3)))
    second = replace(first, form="G", date=date(2026, 5, 2))

    assert asked(first, second) == asked(second, first)


def _answers_or_says_why(table, walk):
    """Take a message for people, or an answer whose turns all rest on finite numbers."""
    try:
        advice = asked(visit(walk, table=table), table=table)
    except UserError:
        return
    numbers = [number for move in advice.moves for number in (move.expected, move.expected_u)]
    assert all(math.isfinite(number) for number in numbers)
