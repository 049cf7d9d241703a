"""A table that nothing can be reckoned from is refused with what to correct."""

from dataclasses import replace
from datetime import date
from math import inf, nan

import pytest

from passport.leveling.advise import advise
from passport.leveling.errors import TableUnusable
from passport.leveling.unusable import must_be_usable
from passport.table import LineLaser, Own, RiseBy, Target, TautLine, Thread


def refused(table):
    with pytest.raises(TableUnusable) as refusal:
        advise(table, [], today=date(2026, 3, 2))
    start = f"Table {table.number} can't be reckoned with. "
    assert str(refusal.value).startswith(start)
    return str(refusal.value).removeprefix(start)


def of_kit(table, **changed):
    return replace(table, kit=replace(table.kit, **changed))


def of_targets(table, **changed):
    return replace(table, targets=replace(table.targets, **changed))


def test_table_as_described_is_taken(table):
    must_be_usable(table)


def test_card_without_thickness_is_named(table):
    assert refused(of_kit(table, card_mm=0.0)) == (
        "The kit's card is given as 0 mm. Measure it and correct it."
    )


def test_level_without_a_length_is_named(table):
    assert refused(of_kit(table, bearing_length_mm=nan)) == (
        "The kit's level, by its bearing length, is given as nan mm. Measure it and correct it."
    )


def test_target_that_is_no_number_is_named(table):
    assert refused(of_targets(table, hollow_mm=Target(nan, 0.2))) == (
        "The hollow is asked to be nan ± 0.2. Give a number and its tolerance."
    )


def test_tolerance_of_nought_is_named(table):
    assert refused(of_targets(table, cross_mm_per_m=Target(0, 0.0))) == (
        "The cross level's tolerance is 0. Give one above nought."
    )


def test_board_without_a_length_is_named(table):
    assert refused(replace(table, board=replace(table.board, length_mm=inf))) == (
        "The board is described as inf × 500 × 76.2 mm. Give length, width and thickness, each "
        "from 1 mm to 100 m."
    )


def test_end_leg_at_the_middle_is_named(table):
    middle = table.board.length_mm / 2
    legs = tuple(replace(leg, x_mm=middle + 2 * n) for n, leg in enumerate(table.legs))

    assert refused(replace(table, legs=legs)) == (
        f"End leg L1 stands at the middle of the board, at {middle:g} mm. Correct its place."
    )


def test_every_number_of_a_kit_is_looked_at(table):
    numbers = [
        {"card_u_mm": nan},
        {"card_u_mm": 2 * table.kit.card_mm},
        {"level_length_mm": 0.0},
        {"sensitivity_mm_per_m": -0.1},
        {"display_step_deg": inf},
        {"zero": Own(nan, 0.1)},
        {"bow": Own(0.0, 1e9)},
        {"line": TautLine(Own(0.5, 0.02), Own(0.0, 0.6), Own(12.7, 0.05), 0.1, 0.1)},
        {"laser": LineLaser(Own(0.0, 0.2), 0.0, 0.3)},
    ]

    said = [refused(of_kit(table, **one)) for one in numbers]

    assert [one.split(" is given as ")[0] for one in said] == [
        "The kit's card's uncertainty",
        "The kit's card's uncertainty",
        "The kit's level, by its length,",
        "The kit's bubble, by a division,",
        "The kit's display's step",
        "The kit's level's zero",
        "The kit's edge's bow, by its uncertainty,",
        "The kit's line, by its pull,",
        "The kit's step that a rise is read to",
    ]


def test_kit_that_reads_by_what_it_lacks_is_named(table):
    assert refused(of_kit(table, rise_by=RiseBy.LINE)) == (
        "The kit reads the rise by a line that is not described. Describe the line."
    )
    assert refused(of_kit(table, rise_by=RiseBy.LASER)) == (
        "The kit reads the rise by a laser that is not described. Describe the laser."
    )


def test_kit_of_a_visit_is_named_with_its_form(table, visit):
    odd = replace(visit, kit=replace(table.kit, card_mm=1e30))

    with pytest.raises(TableUnusable) as refusal:
        advise(table, [odd], today=date(2026, 3, 2))

    assert str(refusal.value) == (
        f"Table {table.number} can't be reckoned with. On form {visit.form}: The kit's card is "
        "given as 1e+30 mm. Measure it and correct it."
    )


def test_parts_that_can_t_be_are_named(table):
    leg, bracket = table.legs[0], table.brackets[0]
    legs, brackets = table.legs[1:], table.brackets[1:]

    said = [
        refused(replace(table, brackets=(replace(bracket, x_mm=nan), *brackets))),
        refused(replace(table, legs=(replace(leg, thread=Thread("none", 0.0)), *legs))),
        refused(replace(table, legs=(replace(leg, thread_left_mm=-3.0), *legs))),
        refused(replace(table, brackets=(replace(bracket, name=leg.name), *brackets))),
    ]

    length = table.board.length_mm
    assert said == [
        f"Bracket {bracket.name} stands at nan mm, the board runs from 0 to {length:g} mm. "
        "Correct its place.",
        f"The thread of {leg.name} is given a pitch of 0 mm. Correct it, or leave the thread out.",
        f"Leg {leg.name} has -3 mm of thread left. Measure it, or leave it out.",
        f"Two parts are called {leg.name}. Give each its own name.",
    ]
