"""A table that nothing can be reckoned from is refused with what to correct."""

from dataclasses import replace
from datetime import date
from math import inf, nan

import pytest

from passport.leveling.advise import advise
from passport.leveling.errors import TableUnusable
from passport.leveling.unusable import must_be_usable
from passport.table import Target


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
