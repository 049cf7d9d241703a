"""The worked example: a five-legged table with known counts, and what is said of it."""

from dataclasses import replace
from datetime import date

import pytest

from passport.leveling.advice import Quantity, Verdict
from passport.leveling.advise import advise, state_at
from passport.leveling.explain import why_lines
from passport.leveling.moves import part_turns
from passport.leveling.walks import Moment
from passport.table import Target
from passport.visit import BracketPass, Count, Doubt, LegPass, Pass

TODAY = date(2026, 3, 9)
WALK = Pass(
    legs={
        "L1": LegPass(Count(3)),  # 1.2 mm/m left high
        "L3": LegPass(Count(0)),
        "L5": LegPass(Count(-3)),  # 1.2 mm/m right high
    },
    brackets={f"B{i + 1}": BracketPass(Count(n)) for i, n in enumerate((2, 2, 1, 2, 4, 2, 2, 0))},
    rise={"A": Count(3), "B": Count(3)},
)


@pytest.fixture
def measured(visit):
    return replace(visit, passes=(WALK,))


def state(advice, name):
    return next(state for state in advice.state if state.station == name)


def test_advice_turns_exactly_what_is_out(table, measured):
    advice = advise(table, [measured], today=TODAY)

    # feet: 1.2 mm/m / 0.794 = 1.5, and one quarter leaves 0.40, inside 0.8 − 2.5 × 0.15; lowered,
    # for the rise is in tolerance and rather high
    # nuts: 0.0508 × exp(0.4² / 2) = 0.0550 mm a quarter; B3 0.31: 3 leave 0.02, with
    # the 0.011 that one at B4 adds there
    # B5 0.88: −0.38 is −7, beyond and forward again; B8 0.12: +0.38 is 7
    # a fifth of these comes to B6 and B7: −7 × 0.011 and 7 × 0.011, more than their room
    assert [(m.station, m.part, m.steps) for m in advice.moves] == [
        ("L1", "left foot", -1),
        ("L5", "right foot", -1),
        ("B3", "inner nut", 3),
        ("B4", "inner nut", 1),
        ("B5", "inner nut", -8),
        ("B5", "inner nut", 1),
        ("B6", "inner nut", 2),
        ("B7", "inner nut", -3),
        ("B7", "inner nut", 1),
        ("B8", "inner nut", 7),
    ]


def test_nut_on_its_way_back_is_expected_beyond_its_place_and_then_in_it(table, measured):
    beyond, forward = (m for m in advise(table, [measured], today=TODAY).moves if m.station == "B5")

    # found 0.878, B6's two turns and B4's one add 0.033: 8 back are 0.44, less half a
    # reversal's 0.014, for nobody knows where it faced; 7 back are 0.385
    assert (beyond.expected, forward.expected) == pytest.approx((0.475, 0.523), abs=2e-3)


def test_nut_on_its_way_back_says_what_comes_next(table, measured):
    beyond, forward = (m for m in advise(table, [measured], today=TODAY).moves if m.station == "B5")

    assert (beyond.why[-84:], forward.condition) == (
        "Back beyond the place first, so that the nut ends forward: the next turn goes there.",
        "when the turn before is made",
    )


def test_foot_that_is_turned_for_the_rise_says_so(table, visit):
    close = replace(table, targets=replace(table.targets, rise_mm=Target(3.175, 0.4)))
    legs = {"L1": LegPass(Count(-1)), "L3": LegPass(Count(0)), "L5": LegPass(Count(0))}
    hollows = {f"B{i + 1}": BracketPass(Count(2)) for i in range(8)}
    walk = Pass(legs=legs, brackets=hollows, rise={"A": Count(2), "B": Count(3)})

    first = advise(close, [replace(visit, passes=(walk,))], today=TODAY).moves[0]

    assert (first.station, first.part, first.steps, first.why) == (
        "L1",
        "left foot",
        1,
        "As left 0.38 ± 0.30 mm/m right high; asked 0.00 ± 0.80 mm/m. The turn is for the rise of "
        "the ends: as left 2.92 ± 0.53 mm ends high; asked 3.17 ± 0.40 mm; then 3.22 ± 0.53 mm "
        "ends high, within by 84 %. A quarter turn of one foot moves 0.794 ± 0.079 mm/m. Chance of "
        "being within afterwards: 99 %.",
    )


@pytest.mark.parametrize(
    ("quarters", "parts"),
    [
        (3, (3,)),
        (12, (8, 4)),
        (-7, (-8, 1)),
        (-8, (-9, 1)),
        (-12, (-8, -5, 1)),
    ],
)
def test_nut_is_turned_in_parts_that_can_be_marked_and_ends_forward(quarters, parts):
    assert part_turns(quarters) == parts


def test_advice_judges_every_station(table, measured):
    advice = advise(table, [measured], today=TODAY)

    settled = {s.station: s.verdict for s in advice.state if s.verdict is not Verdict.IN}
    assert settled == {
        "L1": Verdict.OUT,
        "L5": Verdict.OUT,
        "B3": Verdict.UNDECIDED,  # 0.2 to 0.4 about 0.31
        "B5": Verdict.OUT,
        "B8": Verdict.OUT,
    }


def test_advice_says_why_in_one_line(table, measured):
    advice = advise(table, [measured], today=TODAY)

    assert advice.moves[0].why == (
        "As left 1.20 ± 0.30 mm/m left high; asked 0.00 ± 0.80 mm/m. A quarter turn of one foot "
        "moves 0.794 ± 0.079 mm/m. Chance of being within afterwards: 99 %."
    )


def test_advice_says_why_of_a_nut(table, measured):
    advice = advise(table, [measured], today=TODAY)

    assert advice.moves[2].why == (
        "As left 0.31 ± 0.10 mm hollow; asked 0.50 ± 0.19 mm. A quarter turn moves 0.055 ± 0.046 "
        "mm (common practice). Chance of being within afterwards: 96 %."
    )


def test_advice_carries_the_condition_of_a_move(table, measured):
    advice = advise(table, [measured], today=TODAY)

    assert advice.moves[0].condition == (
        "if you find 2 to 3 cards, right end low; otherwise the look-up"
    )


def test_advice_expects_a_result_with_its_uncertainty(table, measured):
    move = advise(table, [measured], today=TODAY).moves[0]

    # own 0.2/√3 and 0.05, zero 0.1, cards 3 × 2 × 0.004; the turn 0.79375 × 5 %
    assert (move.expected, move.expected_u) == pytest.approx((0.40625, 0.165), abs=5e-3)


def test_advice_raises_both_ends_where_the_rise_is_low(table, measured):
    walk = replace(WALK, rise={"A": Count(1), "B": Count(1)})

    moves = advise(table, [replace(measured, passes=(walk,))], today=TODAY).moves

    rise = [(m.station, m.part) for m in moves if m.quantity is Quantity.RISE]
    assert rise == [("A", "both feet"), ("B", "both feet")]


def test_advice_says_why_of_the_rise(table, measured):
    walk = replace(WALK, rise={"A": Count(1), "B": Count(1)})

    moves = advise(table, [replace(measured, passes=(walk,))], today=TODAY).moves

    assert moves[-1].why == (
        "As left 1.33 ± 0.47 mm ends high; asked 3.17 ± 0.80 mm. What counts is the mean of both "
        "ends. Chance of being within afterwards: 99 %."
    )


def test_rise_move_names_the_count_at_its_own_end(table, measured):
    walk = replace(WALK, rise={"A": Count(1), "B": Count(2)})

    moves = advise(table, [replace(measured, passes=(walk,))], today=TODAY).moves

    assert [m.condition for m in moves if m.quantity is Quantity.RISE] == [
        "if you find 1 card, outer end high; otherwise the look-up",
        "if you find 2 cards, outer end high; otherwise the look-up",
    ]


def test_learned_nut_says_from_how_many_turns(table, measured):
    turned = {"B3": BracketPass(Count(0), 4, Count(1), True)}
    older = replace(measured, date=date(2025, 9, 1), passes=(replace(WALK, brackets=turned),))

    why = {m.station: m.why for m in advise(table, [older, measured], today=TODAY).moves}["B3"]

    assert "(learned from 1 turn)" in why


def test_undecided_station_names_the_reading_that_would_settle_it(table, measured):
    walk = replace(WALK, legs={"L1": LegPass(Count(2))})

    found = state(advise(table, [replace(measured, passes=(walk,))], today=TODAY), "L1")

    assert found.why == (
        "2 cards, right end low: 0.80 ± 0.30 mm/m left high (95 %); asked 0.00 ± 0.80 mm/m. "
        "Chance of being within: 51 %. Read it both ways round and use the middle."
    )


def test_station_in_tolerance_says_its_reading(table, measured):
    found = state(advise(table, [measured], today=TODAY), "B1")

    assert found.why == "2 cards: 0.50 ± 0.11 mm hollow (95 %); asked 0.50 ± 0.19 mm."


def test_open_count_beyond_tolerance_decides_nothing(table, measured):
    walk = replace(WALK, legs={"L1": LegPass(Count(4, bound=True))})

    found = state(advise(table, [replace(measured, passes=(walk,))], today=TODAY), "L1")

    assert (found.verdict, found.p_in) == (Verdict.UNDECIDED, None)
    assert (found.value, found.high) == (None, None)


def test_open_count_is_never_in(table, measured):
    table = replace(table, targets=replace(table.targets, hollow_mm=replace(
        table.targets.hollow_mm, value=2.0, tolerance=1.0)))  # fmt: skip
    walk = replace(WALK, brackets={"B1": BracketPass(Count(8, bound=True))})

    found = state(advise(table, [replace(measured, passes=(walk,))], today=TODAY), "B1")

    assert (found.verdict, found.p_in) == (Verdict.UNDECIDED, None)


def test_open_count_says_what_to_do(table, measured):
    walk = replace(WALK, legs={"L1": LegPass(Count(-4, bound=True))})

    found = state(advise(table, [replace(measured, passes=(walk,))], today=TODAY), "L1")

    assert found.why == (
        "4 cards or more, left end low; asked 0.00 ± 0.80 mm/m. "
        "Turn until the bubble is centred and write the quarter turns."
    )


def test_open_count_gets_no_move_and_is_named(table, measured):
    walk = replace(WALK, legs=WALK.legs | {"L1": LegPass(Count(4, bound=True))})

    advice = advise(table, [replace(measured, passes=(walk,))], today=TODAY)

    assert advice.withheld == (
        Doubt("L1.cross", "L1 cross level", "only a bound is known; the form's look-up applies"),
    )


def test_doubted_station_gets_no_move(table, measured):
    doubt = Doubt("walk1.L1.turns.left", "L1 left foot turns", "two boxes are marked")

    advice = advise(table, [replace(measured, doubts=(doubt,))], today=TODAY)

    assert "L1" not in {move.station for move in advice.moves}


def test_doubts_of_the_visit_are_named(table, measured):
    doubt = Doubt("walk1.L1.turns.left", "L1 left foot turns", "two boxes are marked")

    advice = advise(table, [replace(measured, doubts=(doubt,))], today=TODAY)

    assert advice.withheld == (doubt,)


def test_missing_station_is_named(table, measured):
    walk = replace(WALK, brackets={k: v for k, v in WALK.brackets.items() if k != "B4"})

    advice = advise(table, [replace(measured, passes=(walk,))], today=TODAY)

    assert advice.withheld == (Doubt("B4.hollow", "B4 hollow", "not measured at the last visit"),)


def test_leg_without_a_thread_is_named_and_not_turned(table, measured):
    legs = (replace(table.legs[0], thread=None), *table.legs[1:])

    advice = advise(replace(table, legs=legs), [measured], today=TODAY)

    assert advice.withheld == (
        Doubt("L1.thread", "L1 thread", "not described, so no turns are counted"),
    )


def test_stations_turned_are_looked_at_again(table, measured):
    turned = {"B3": BracketPass(Count(1), 4, Count(2)), "B4": BracketPass(Count(2), untouched=True)}
    walk = replace(WALK, brackets=WALK.brackets | turned)

    assert advise(table, [replace(measured, passes=(walk,))], today=TODAY).look_again == ("B3",)


def test_ends_turned_are_looked_at_again(table, measured):
    walk = replace(WALK, rise_turns={"A": 2, "B": 2}, rise_after={"A": Count(4), "B": Count(4)})

    assert advise(table, [replace(measured, passes=(walk,))], today=TODAY).look_again == ("ends",)


def test_undecided_station_already_read_both_ways_asks_for_thinner_cards(table, measured):
    walk = replace(WALK, legs={"L1": LegPass(Count(2))})
    last = replace(measured, passes=(walk,), level_check=(Count(2), Count(0)))

    assert state(advise(table, [last], today=TODAY), "L1").why.endswith(
        "Chance of being within: 51 %. Read it again with thinner cards, both ways round."
    )


def test_no_history_gives_an_unknown_state(table):
    advice = advise(table, [], today=TODAY)

    assert (advice.verdict, advice.moves, advice.as_of) == (Verdict.UNKNOWN, (), None)


def test_empty_visit_gives_no_move(table, visit):
    advice = advise(table, [visit], today=TODAY)

    assert (advice.verdict, advice.moves) == (Verdict.UNKNOWN, ())


def test_visits_count_in_the_order_of_their_dates(table, measured):
    older = replace(measured, form="OLD", date=date(2025, 9, 1), passes=(Pass(),))

    assert advise(table, [measured, older], today=TODAY).as_of == measured.date


def test_learned_response_changes_the_turns(table, measured):
    strong = {"B8": BracketPass(Count(0), 4, Count(2), True)}  # 0.1 mm a quarter, not 0.05
    older = replace(measured, date=date(2025, 9, 1), passes=(replace(WALK, brackets=strong),))

    moves = advise(table, [older, measured], today=TODAY).moves

    assert {m.station: m.steps for m in moves}["B8"] < 7


def test_state_as_found_is_before_the_turns(table, measured):
    walk = replace(WALK, legs={"L1": LegPass(Count(3), 0, 1, Count(1))})

    states = state_at(table, replace(measured, passes=(walk,)), Moment.FOUND)

    assert states[0].value == pytest.approx(1.2, abs=0.05)


def test_two_visits_of_one_day_count_in_the_order_in_which_they_came(table, measured):
    """Whatever their forms are called: in the morning 1 card was found, in the afternoon 3."""
    morning = replace(
        measured, form="Z", passes=(Pass({}, {"B1": BracketPass(Count(1), 2, Count(2))}),)
    )
    evening = replace(measured, form="A", passes=(Pass({}, {"B1": BracketPass(Count(3))}),))
    day = [morning, evening]

    advice = advise(table, day, today=TODAY)

    assert "3 cards" in state(advice, "B1").why
    lines = why_lines(table, day, advice)
    assert [line for line in lines if line.startswith("  B1 hollow: 3 cards, ")]
