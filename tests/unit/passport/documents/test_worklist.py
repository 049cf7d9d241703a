"""The work list: order, conditions, cautions, and what is done with too little thread."""

import json
from dataclasses import replace

import pytest

from passport.documents.action import STEP_NAMES, Step
from passport.documents.texts import Caution
from passport.documents.worklist import action_json, action_list
from passport.leveling.advice import Move, Quantity, Verdict
from passport.table import Role


@pytest.fixture
def actions(story):
    return action_list(story.table, story.visits, story.advice)


def test_actions_follow_the_order_of_the_trade(actions):
    """Common practice, no source."""
    steps = [STEP_NAMES[step] for step in dict.fromkeys(action.step for action in actions)]

    assert steps == [
        "Look again first",
        "Supporting feet clear",
        "Legs",
        "Hollow",
        "Legs again",
        "Rise of the ends",
        "Supporting feet down",
        "Test shots",
        "Surface",
    ]


def test_turn_says_where_when_what_why_and_what_to_expect(actions):
    action = next(a for a in actions if a.station == "B8")

    assert (
        action.where, action.condition, action.what, action.turns, action.direction,
        action.why, action.expected,
    ) == (
        "20 ft 8 1/4 in from A, nut right",
        "if 4 or 5 cards pass",
        "Inner nut",
        -2,
        "flatter, inward: clockwise from right",
        "0.79 mm hollow; 0.51 mm is asked for.",
        "0.022 ± 0.005 in hollow",
    )  # fmt: skip


def test_action_ids_are_stable_and_name_the_visit_they_come_from(story, actions):
    again = action_list(story.table, story.visits, story.advice)

    assert [a.id for a in again] == [a.id for a in actions]
    assert actions[2].id == "8K2M-4QX0-7RJ/L3/cross/left-foot"


def test_action_ids_are_unique(actions):
    assert len({action.id for action in actions}) == len(actions)


def test_unsafe_comes_first(story):
    visits = (*story.visits[:-1], replace(story.visits[-1], unsafe=True))

    first = action_list(story.table, visits, story.advice)[0]

    assert (first.step, first.cautions) == (Step.USE, (Caution.UNSAFE,))


def test_unsafe_of_an_older_visit_is_over(story):
    visits = (replace(story.visits[0], unsafe=True), story.visits[-1])

    actions = action_list(story.table, visits, story.advice)

    assert Step.USE not in {action.step for action in actions}


def settled(story, verdict: Verdict, **changes):
    """Advice without moves, every station with one verdict."""
    state = tuple(replace(one, verdict=verdict, **changes) for one in story.advice.state)
    return replace(story.advice, moves=(), look_again=(), state=state)


def test_table_within_tolerance_needs_test_shots_and_surface_only(story):
    actions = action_list(story.table, story.visits, settled(story, Verdict.IN))

    assert [action.step for action in actions] == [Step.PROVE, Step.SURFACE]


def test_unmeasured_stations_are_read_and_turned_by_the_look_up(story):
    advice = settled(story, Verdict.UNKNOWN, value=None)

    actions = action_list(story.table, (), advice)

    assert [(a.id, a.station) for a in actions if a.id.startswith("new/read")] == [
        ("new/read/cross", "L1 to L5"),
        ("new/read/hollow", "B1 to B8"),
        ("new/read/rise", "ends"),
    ]


def test_stations_outside_without_a_planned_turn_are_read_again(story):
    actions = action_list(story.table, story.visits, settled(story, Verdict.OUT))

    assert [(a.station, a.condition) for a in actions if "/out/" in a.id] == [
        ("L1 to L5", "if still outside"),
        ("B1 to B8", "if still outside"),
        ("ends", "if still outside"),
    ]


def test_undecided_stations_say_what_would_settle_them(story):
    actions = action_list(story.table, story.visits, settled(story, Verdict.UNDECIDED))

    assert [a.what for a in actions if "/settle/" in a.id] == [
        "Read it both ways round and use the middle.",
        "Measure the gap under the middle with feeler gauges.",
        "Read both ends again with thinner cards, the level the same way round.",
    ]


def test_rise_that_is_turned_is_not_asked_to_be_settled_too(story):
    state = tuple(replace(one, verdict=Verdict.UNDECIDED) for one in story.advice.state)
    rise = tuple(move for move in story.advice.moves if move.quantity is Quantity.RISE)
    advice = replace(story.advice, state=state, moves=rise)

    ids = [action.id for action in action_list(story.table, story.visits, advice)]

    assert [i for i in ids if "rise" in i] == ["8K2M-4QX0-7RJ/A/rise/both-feet"]


def test_damage_that_was_noted_is_looked_at(story):
    visits = (*story.visits[:-1], replace(story.visits[-1], surface={"damaged": True}))

    actions = action_list(story.table, visits, story.advice)

    assert next(a.what for a in actions if a.step is Step.SURFACE) == (
        "Look at what was noted: dent or crack."
    )


def test_surface_says_when_the_silicone_was_renewed(story):
    visits = (replace(story.visits[0], surface={"silicone": True}), story.visits[1])

    said = action_list(story.table, visits, story.advice)[-1].why

    assert said == (
        "Silicone is due after two to three months of average use. Last renewed on "
        "11 February 2026."
    )


def test_without_supporting_legs_there_is_nothing_to_clear(story):
    legs = tuple(leg for leg in story.table.legs if leg.role is not Role.SUPPORTING)
    table = replace(story.table, legs=legs)

    steps = {action.step for action in action_list(table, story.visits, story.advice)}

    assert not steps & {Step.CLEAR, Step.TOUCH_DOWN}


def test_each_nut_and_foot_carries_its_caution(actions):
    carried = {action.step: action.cautions for action in actions}

    assert {step: carried[step] for step in (Step.LEGS, Step.BRACKETS, Step.RISE)} == {
        Step.LEGS: (Caution.FOOT,),
        Step.BRACKETS: (Caution.UNDER, Caution.NUT),
        Step.RISE: (Caution.FOOT,),
    }


def raise_note(story, quarters: int, thread_left: float | None) -> str:
    legs = tuple(replace(leg, thread_left_mm=thread_left) for leg in story.table.legs)
    move = Move("L3", Quantity.CROSS, "left foot", quarters, "if so", "Low.", 0.0, 0.1)
    advice = replace(story.advice, moves=(move,))
    actions = action_list(replace(story.table, legs=legs), story.visits, advice)
    return next(a.why for a in actions if a.station == "L3")


@pytest.mark.parametrize(
    ("quarters", "thread_left", "said"),
    [
        (3, 24.0, "Low. 24 mm of thread may still come out."),
        (3, None, "Low. Stop when the foot gets loose or wobbles in its thread."),
        (8, 24.0, "Low. 24 mm of thread may still come out. After four quarters read the rise "
                  "again."),
        (8, 3.0, "Low. Do not: it needs 3.2 mm of thread and 3.0 mm are left. Ask the office for "
                 "a shim."),
        (-3, 3.0, "Low."),
    ],
)  # fmt: skip
def test_raising_a_foot_says_how_much_thread_is_left(story, quarters, thread_left, said):
    """Travel of a quarter turn of 3/8-16: 25.4 mm / 16 / 4, ASME B1.1."""
    assert raise_note(story, quarters, thread_left) == said


def test_action_as_json_holds_plain_values_only(actions):
    data = json.loads(json.dumps([action_json(action) for action in actions]))

    move = next(d for d in data if d["station"] == "B1")
    assert (move["step"], move["turns"], move["value"], move["u"], move["cautions"]) == (
        "Hollow", 3, 0.52, 0.06, [str(Caution.UNDER), str(Caution.NUT)],
    )  # fmt: skip


def test_paper_beside_the_visits_that_says_unsafe_comes_first(story):
    """A monthly card, say."""
    actions = action_list(story.table, (), story.advice, "card form of 3 May 2026")

    assert (actions[0].step, actions[0].why) == (
        Step.USE,
        "Unsafe was ticked on the card form of 3 May 2026.",
    )
