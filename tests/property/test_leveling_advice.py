"""What holds for every table, count and history."""

from dataclasses import replace
from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from passport.leveling.advice import Quantity, Verdict
from passport.leveling.advise import advise
from passport.leveling.lookup import cross_turns, hollow_turns, rise_turns
from passport.leveling.readings import slope_reading
from passport.leveling.spread import Spread
from passport.table import (
    Board,
    Bracket,
    FootType,
    Kit,
    Leg,
    Role,
    Side,
    Table,
    Target,
    Targets,
    Thread,
)
from passport.visit import BracketPass, Count, Doubt, LegPass, Pass, Visit

TODAY = date(2026, 6, 1)
LEGS = ("L1", "L2", "L3")
BRACKETS = ("B1", "B2", "B3", "B4")


@st.composite
def tables(draw):
    pitch = draw(st.sampled_from([1.27, 1.4111, 1.5, 1.5875, 1.75, None]))
    thread = None if pitch is None else Thread("thread", pitch)
    length, spacing = draw(st.floats(2500, 7000)), draw(st.floats(300, 700))
    roles = (Role.END, Role.CENTRE, Role.END)
    places = (300.0, length / 2, length - 300.0)
    legs = tuple(
        Leg(name, x, role, spacing, FootType.UNKNOWN, thread, draw(st.sampled_from([None, 3.0])))
        for name, x, role in zip(LEGS, places, roles, strict=True)
    )
    brackets = tuple(
        Bracket(name, 500.0 + 400 * i, thread, Side.LEFT) for i, name in enumerate(BRACKETS)
    )
    rise = draw(st.sampled_from([None, Target(3.175, 0.8)]))
    targets = Targets(Target(0.508, 0.19), Target(0.0, 0.8), rise)
    card = draw(st.floats(0.1, 0.3))
    kit = Kit("kit", draw(st.floats(300, 700)), 400, 0.2, None, card, 0.03 * card)
    board = Board(length, 508, 76.2, "maple")
    units = draw(st.sampled_from(["imperial", "metric"]))
    return Table("1", "Invented", "Nowhere", board, legs, brackets, targets, kit, units)


def counts(low, high):
    closed = st.integers(low + 1, high - 1).map(Count)
    return st.none() | closed | st.sampled_from([Count(low, True), Count(high, True)])


def turns(most):
    return st.none() | st.integers(-most, most)


LEG_ROWS = st.builds(
    LegPass, counts(-4, 4), turns(4), turns(4), counts(-4, 4), st.none() | st.booleans()
)
BRACKET_ROWS = st.builds(BracketPass, counts(-2, 8), turns(8), counts(-2, 8), st.booleans())


@st.composite
def walks(draw):
    rise = {
        end: draw(st.integers(-1, 7).map(Count)) for end in draw(st.sets(st.sampled_from("AB")))
    }
    return Pass(
        legs=draw(st.dictionaries(st.sampled_from(LEGS), LEG_ROWS)),
        brackets=draw(st.dictionaries(st.sampled_from(BRACKETS), BRACKET_ROWS)),
        rise=rise,
        rise_turns=draw(st.sampled_from([{}, {"A": 2, "B": 2}])),
        rise_after=draw(st.sampled_from([{}, {"A": Count(8, True), "B": Count(3)}])),
    )


@st.composite
def visits(draw):
    kit = draw(tables()).kit
    doubts = draw(st.sampled_from([(), (Doubt("walk1.L1.after", "L1 after", "unclear"),)]))
    return Visit(
        draw(st.text("ABC123", min_size=4, max_size=4)), "service", "1",
        draw(st.none() | st.dates(date(2025, 1, 1), TODAY)), kit,
        level_check=draw(st.none() | st.tuples(*[st.integers(-3, 3).map(Count)] * 2)),
        passes=tuple(draw(st.lists(walks(), max_size=3))),
        changed=frozenset(draw(st.sets(st.sampled_from(["part", "moved", "played heavy"])))),
        unsafe=draw(st.booleans()), doubts=doubts,
    )  # fmt: skip


HISTORIES = st.lists(visits(), max_size=3)


@given(tables(), st.integers(-4, 4))
def test_cross_turns_of_the_other_side_are_the_mirror(table, cards):
    found = cross_turns(table, table.legs[0], Count(cards))

    mirror = cross_turns(table, table.legs[0], Count(-cards))
    assert (found.left, found.right) == (mirror.right, mirror.left)


@given(tables(), st.integers(-12, 12))
def test_tilt_turned_by_the_look_up_is_within_half_a_step(table, cards):
    leg = replace(table.legs[1], thread=Thread("thread", 1.5), thread_left_mm=None)
    found = cross_turns(table, leg, Count(cards))

    left = slope_reading(table.kit, Count(cards)).value
    left += (found.left - found.right) * 375 / leg.foot_spacing_mm
    assert found.ok or abs(left) <= 375 / leg.foot_spacing_mm / 2 + 1e-9


@given(tables(), st.integers(-6, 12))
def test_more_hollow_never_asks_for_more_hollow(table, cards):
    fewer = hollow_turns(table, table.brackets[0], Count(cards))

    assert hollow_turns(table, table.brackets[0], Count(cards + 1)).steps <= fewer.steps or (
        fewer.ok
    )


@given(tables(), st.integers(-6, 12))
def test_look_up_in_tolerance_asks_for_no_turn(table, cards):
    hollow = hollow_turns(table, table.brackets[0], Count(cards))
    rise = rise_turns(table, table.legs[0], Count(cards))

    turned = [(hollow.ok, hollow.steps), (rise.ok, rise.quarters)]
    assert all(turns == 0 for ok, turns in turned if ok)


@settings(max_examples=60, deadline=None)
@given(tables(), HISTORIES)
def test_advice_never_fails_and_never_turns_the_unknown(table, history):
    advice = advise(table, history, today=TODAY)

    read = {s.station for s in advice.state if (s.value, s.low, s.high) != (None, None, None)}
    assert {move.station for move in advice.moves} <= read | {"A", "B"}


@settings(max_examples=60, deadline=None)
@given(tables(), HISTORIES)
def test_table_with_nothing_out_or_undecided_gets_no_turn(table, history):
    advice = advise(table, history, today=TODAY)

    open_questions = {s.verdict for s in advice.state} & {Verdict.OUT, Verdict.UNDECIDED}
    assert open_questions or not advice.moves


@settings(max_examples=60, deadline=None)
@given(tables(), HISTORIES)
def test_open_counts_never_decide(table, history):
    advice = advise(table, history, today=TODAY)

    decided = [s for s in advice.state if s.verdict in (Verdict.IN, Verdict.OUT)]
    assert all(s.value is not None for s in decided)


@settings(max_examples=60, deadline=None)
@given(tables(), HISTORIES)
def test_doubted_leg_is_never_turned_by_itself(table, history):
    advice = advise(table, history, today=TODAY)

    doubted = {d.field for d in advice.withheld if d.field.startswith("walk1.L1")}
    turned = {m.station for m in advice.moves if m.quantity is Quantity.CROSS}
    assert not (doubted and "L1" in turned)


@settings(max_examples=40, deadline=None)
@given(tables(), st.lists(visits(), max_size=3, unique_by=lambda visit: visit.date or TODAY))
def test_advice_does_not_depend_on_the_order_of_saving(table, history):
    dated = [replace(visit, date=visit.date or TODAY) for visit in history]

    assert advise(table, dated, today=TODAY) == advise(table, dated[::-1], today=TODAY)


@given(st.floats(-5, 5), st.floats(0, 2), st.floats(0, 2))
def test_interval_holds_ninety_five_percent(value, half, normal):
    spread = Spread(value, half + 0.01, normal)

    low, high = spread.interval()
    assert abs(spread.within(low, high) - 0.95) < 1e-6
