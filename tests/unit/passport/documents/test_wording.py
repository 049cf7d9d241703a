"""Words for values, turns and places: one worked number for each sign."""

from dataclasses import replace
from datetime import date

import pytest

from passport.documents import wording
from passport.leveling.advice import Quantity, StationState, Verdict
from passport.table import Bracket, FootType, Hand, Leg, Role, Side, Steps, Table, Thread
from passport.visits.service import words as on_forms

RIGHT, LEFT = Thread("3/8-16 UNC", 1.5875), Thread("3/8-16 UNC LH", 1.5875, Hand.LEFT)


def leg(foot: FootType, thread: Thread | None) -> Leg:
    return Leg("L1", 0, Role.END, 450, foot, thread)


@pytest.mark.parametrize(
    ("foot", "thread", "quarters", "said"),
    [
        (FootType.STUD_IN_LEG, RIGHT, 2, "raise: clockwise from above"),
        (FootType.STUD_IN_LEG, RIGHT, -2, "lower: anticlockwise from above"),
        (FootType.NUT_ON_STUD, RIGHT, 2, "raise: anticlockwise from above"),
        (FootType.NUT_ON_STUD, RIGHT, -2, "lower: clockwise from above"),
        (FootType.STUD_IN_LEG, LEFT, 2, "raise: anticlockwise from above"),
        (FootType.NUT_ON_STUD, LEFT, 2, "raise: clockwise from above"),
        (FootType.UNKNOWN, RIGHT, 2, "raise"),
        (FootType.STUD_IN_LEG, None, -2, "lower"),
    ],
)
def test_foot_direction_follows_foot_type_and_hand(foot, thread, quarters, said):
    """Common practice, no source: a stud in the leg raises clockwise, a nut on a stud lowers."""
    assert wording.foot_direction(leg(foot, thread), quarters) == said


@pytest.mark.parametrize(
    ("thread", "side", "quarters", "said"),
    [
        (RIGHT, Side.LEFT, 1, "hollower, outward: anticlockwise from left"),
        (RIGHT, Side.RIGHT, -1, "flatter, inward: clockwise from right"),
        (LEFT, Side.LEFT, 1, "hollower, outward: clockwise from left"),
        (RIGHT, None, 1, "hollower, outward"),
        (None, Side.LEFT, -1, "flatter, inward"),
    ],
)  # fmt: skip
def test_nut_direction_follows_hand_and_working_side(thread, side, quarters, said):
    assert wording.nut_direction(Bracket("B1", 0, thread, side), quarters) == said


@pytest.mark.parametrize("foot", list(FootType))
@pytest.mark.parametrize("thread", [RIGHT, LEFT, None])
def test_foot_direction_is_the_one_that_the_form_prints(foot, thread):
    one = leg(foot, thread)

    said = wording.foot_direction(one, 1).partition(": ")[2]
    assert said == (on_forms.foot_direction(one) or "")


@pytest.mark.parametrize("side", [*Side, None])
@pytest.mark.parametrize("thread", [RIGHT, LEFT, None])
def test_nut_direction_is_the_one_that_the_form_prints(side, thread):
    bracket = Bracket("B1", 0, thread, side)

    said = wording.nut_direction(bracket, 1).partition(": ")[2] or "outward"
    assert f"+ = {said}" == on_forms.nut_direction(bracket)


@pytest.mark.parametrize(
    ("count", "said"),
    [
        (1, "1 quarter turn"),
        (-3, "3 quarters of a turn"),
        (4, "1 turn"),
        (5, "1 turn + 1 quarter"),
        (-10, "2 turns + 2 quarters"),
        (0, "no turn"),
    ],
)
def test_quarters_are_said_without_fraction_glyphs(count, said):
    assert wording.turns(count) == said


@pytest.mark.parametrize(
    ("count", "said"),
    [
        (1, "1 sixth of a turn"),
        (-5, "5 sixths of a turn"),
        (6, "1 turn"),
        (-8, "1 turn + 2 sixths"),
        (0, "no turn"),
    ],
)
def test_sixths_are_said_by_their_name(count, said):
    assert wording.turns(count, Steps.SIXTHS) == said


@pytest.mark.parametrize(
    ("quantity", "value", "half", "said"),
    [
        (
            Quantity.CROSS,
            0.6,
            0.25,
            ("0.60 ± 0.25 mm/m left high", "0.007 ± 0.003 in/ft left high"),
        ),
        (Quantity.CROSS, -1.6, None, ("1.60 mm/m right high", "0.019 in/ft right high")),
        (Quantity.HOLLOW, 0.508, 0.19, ("0.51 ± 0.19 mm hollow", "0.020 ± 0.007 in hollow")),
        (Quantity.HOLLOW, -0.254, None, ("0.25 mm crown", "0.010 in crown")),
        (Quantity.RISE, 3.175, 0.8, ("3.17 ± 0.80 mm ends high", "0.125 ± 0.031 in ends high")),
        (Quantity.CROSS, 0.0, None, ("0.00 mm/m", "0.000 in/ft")),
    ],
)
def test_value_is_said_with_uncertainty_unit_and_direction(table, quantity, value, half, said):
    both = tuple(
        wording.signed(replace(table, units=units), quantity, value, half)
        for units in ("metric", "imperial")
    )

    assert both == said


def bounded(low: float | None, high: float | None, quantity: Quantity) -> StationState:
    return StationState(
        "L1", 0, quantity, None, None, low, high, 0.0, 0.8, None, Verdict.UNDECIDED, ""
    )


@pytest.mark.parametrize(
    ("low", "high", "quantity", "said"),
    [
        (2.0, None, Quantity.CROSS, "2.00 left high or more"),
        (None, -2.0, Quantity.CROSS, "2.00 right high or more"),
        (1.0, None, Quantity.HOLLOW, "1.00 or more"),
        (None, -0.4, Quantity.HOLLOW, "0.40 crown or more"),
        (None, None, Quantity.HOLLOW, "–"),
    ],
)
def test_open_count_is_said_as_a_bound(table, low, high, quantity, said):
    metric = replace(table, units="metric")

    assert wording.measured(metric, bounded(low, high, quantity)) == said


def test_place_of_a_leg_and_of_a_bracket_is_said_from_end_a(table: Table):
    said = [wording.place(table, station) for station in ("L3", "B2", "A", "ends")]

    assert said == [
        "centre leg, 11 ft from A",
        "4 ft 15/16 in from A, nut right",
        "end leg, 11 13/16 in from A",
        "",
    ]


def test_dates_name_their_month():
    assert (wording.day(date(2026, 9, 3)), wording.day(None), wording.month(date(2027, 1, 15))) == (
        "3 September 2026",
        "date in doubt",
        "January 2027",
    )


def test_names_are_joined_as_people_do():
    assert [wording.named(n) for n in ((), ("L1",), ("L1", "L2"), ("L1", "L2", "L3"))] == [
        "", "L1", "L1 and L2", "L1, L2 and L3",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("names", "said"),
    [
        (("B1", "B2", "B3", "B4"), "B1 to B4"),
        (("L1", "L3", "B1", "B2"), "L1, L3, B1 and B2"),
        (("L1", "B3", "B4", "B5", "B8"), "L1, B3 to B5 and B8"),
        (("ends",), "ends"),
    ],
)
def test_stations_in_a_row_are_said_as_a_range(names, said):
    assert wording.stations(names) == said


@pytest.mark.parametrize(
    ("quantity", "value", "tolerance", "said"),
    [
        (Quantity.HOLLOW, 0.508, 0.1905, ("0.51", "0.020")),
        (Quantity.HOLLOW, 0.1905, 0.1905, ("0.19", "0.0075")),
        (Quantity.CROSS, 0.8, 0.8, ("0.80", "0.0096")),
        (Quantity.RISE, 1.1758, 0.2939, ("1.18", "0.046")),
        (Quantity.RISE, 0.2939, 0.2939, ("0.29", "0.012")),
    ],
)
def test_what_is_asked_is_rounded_by_its_tolerance(table, quantity, value, tolerance, said):
    both = tuple(
        wording.asked(replace(table, units=units), quantity, value, tolerance)
        for units in ("metric", "imperial")
    )

    assert both == said
