from dataclasses import replace

import pytest

from passport.leveling.lookup import (
    CrossTurns,
    HollowTurns,
    RiseTurns,
    cross_turns,
    hollow_turns,
    rise_turns,
    whole_steps,
)
from passport.table import Steps
from passport.visit import Count

# A card is 0.2 / 500 = 0.4 mm/m, so 0.2 mm at feet 500 mm apart; a quarter turn is 0.396875 mm.


@pytest.mark.parametrize(
    ("cards", "turns"),
    [
        (0, CrossTurns(0, 0, ok=True)),  # ± 0.2 mm/m, and 0.11 of common errors
        (1, CrossTurns(0, 0, ok=True)),  # 0.2 to 0.6, and 0.11: inside 0.8
        (2, CrossTurns(0, 1)),  # 0.8 mm/m × 0.5 m = 0.4 mm: 1.01 quarters
        (3, CrossTurns(0, 2)),  # 0.6 mm: 1.51
        (5, CrossTurns(0, 3)),  # 1.0 mm: 2.52
        (-2, CrossTurns(1, 0)),
        (-3, CrossTurns(2, 0)),
    ],
)
def test_cross_count_raises_the_low_foot(table, cards, turns):
    found = cross_turns(table, table.legs[0], Count(cards))

    assert found == turns


def test_cross_count_above_four_quarters_is_shared_by_both_feet(table):
    found = cross_turns(table, table.legs[0], Count(9))  # 1.8 mm: 4.54 quarters

    assert found == CrossTurns(-2, 3)


def test_cross_bound_asks_to_turn_the_low_foot_until_centred(table):
    found = cross_turns(table, table.legs[0], Count(-4, bound=True))  # 1.4 mm/m or more: 1.76

    assert found == CrossTurns(2, 0, until_centred=True)


def test_cross_count_without_a_thread_gives_only_the_foot(table):
    leg = replace(table.legs[0], thread=None)

    found = cross_turns(table, leg, Count(3))

    assert found == CrossTurns(0, 1, until_centred=True)


def test_cross_count_at_a_supporting_leg_asks_for_no_turns(table):
    found = cross_turns(table, table.legs[1], Count(4))

    assert found == CrossTurns(0, 0)


def test_cross_count_lowers_the_other_foot_where_the_thread_ends(table):
    leg = replace(table.legs[0], thread_left_mm=0.5)  # one quarter of 0.397 mm

    found = cross_turns(table, leg, Count(3))

    assert found == CrossTurns(-1, 1)


# In a walk a quarter turn of a nut comes to 0.0508 × exp(0.4² / 2) × 1.2 = 0.06604 mm.


@pytest.mark.parametrize(
    ("count", "turns"),
    [
        (Count(-2, bound=True), HollowTurns(8, at_least=True)),  # crown 2 or more: −0.2 or less
        (Count(-1), HollowTurns(8, at_least=True)),  # crown 1: −0.2 to 0; 0.6 / 0.06604 = 9.1
        (Count(0), HollowTurns(6)),  # 0 to 0.2; 0.4 / 0.06604 = 6.1
        (Count(1), HollowTurns(3)),  # 0.2 to 0.4; 3.03
        (Count(2), HollowTurns(0, ok=True)),  # 0.4 to 0.6 inside 0.31 to 0.69
        (Count(3), HollowTurns(-3)),  # 0.6 to 0.8; −3.03
        (Count(4), HollowTurns(-6)),  # 0.8 to 1.0; −6.1
        (Count(8, bound=True), HollowTurns(-8, at_least=True)),
    ],
)
def test_hollow_count_asks_for_nut_turns_to_the_target(table, count, turns):
    found = hollow_turns(table, table.brackets[0], count)

    assert found == turns


# A sixth of a turn comes to two thirds of that, 0.04403 mm; a form has eight boxes for them.


@pytest.mark.parametrize(
    ("count", "turns"),
    [
        (Count(0), HollowTurns(8, at_least=True)),  # 0.4 / 0.04403 = 9.1
        (Count(1), HollowTurns(5)),  # 4.54
        (Count(2), HollowTurns(0, ok=True)),
        (Count(3), HollowTurns(-5)),
    ],
)
def test_hollow_count_asks_for_sixths_where_nuts_are_turned_by_them(table, count, turns):
    sixths = replace(table, nuts_by=Steps.SIXTHS)

    assert hollow_turns(sixths, table.brackets[0], count) == turns


def test_feet_go_by_quarters_however_nuts_are_turned(table):
    sixths = replace(table, nuts_by=Steps.SIXTHS)

    leg = table.legs[0]
    assert cross_turns(sixths, leg, Count(3)) == cross_turns(table, leg, Count(3))


def test_hollow_under_a_shorter_level_counts_for_more(table):
    table = replace(table, kit=replace(table.kit, level_length_mm=250))  # × 4: 0.8 mm a card

    found = hollow_turns(table, table.brackets[0], Count(0))  # 0 to 0.8: (0.5 − 0.4) / 0.06604

    assert found == HollowTurns(2)


# Span 3000 mm, bearing 500 mm: the board's slope at its end is 1.487 × rise / span if it bends
# freely, 1 × if it lies as a straight V; 1.243 between them, so 2.413 mm for 1 mm/m, 0.965 a card.


@pytest.mark.parametrize(
    ("count", "turns"),
    [
        (Count(0), RiseTurns(8)),  # 3.175 mm: 8 quarters
        (Count(1), RiseTurns(5)),  # 2.022: 5.09
        (Count(2), RiseTurns(2)),  # 0.868: 2.19
        (Count(3), RiseTurns(0, ok=True)),  # 3.460 ± 0.41 ± 0.07 inside 3.175 ± 0.8
        (Count(5), RiseTurns(-7)),  # 5.766: −6.53
        (Count(-1), RiseTurns(8, at_least=True)),
        (Count(8, bound=True), RiseTurns(-8, at_least=True)),
    ],
)
def test_rise_count_turns_both_feet_of_the_end_leg(table, count, turns):
    found = rise_turns(table, table.legs[0], count)

    assert found == turns


def test_rise_on_two_legs_asks_for_no_turns(table):
    table = replace(table, legs=(table.legs[0], table.legs[4]))

    found = rise_turns(table, table.legs[0], Count(0))

    assert found == RiseTurns(0)


def test_rise_of_a_short_board_is_capped_where_the_centre_leg_still_carries(table):
    short = replace(table.board, length_mm=2743)
    places = (0.0, 1371.5, 2743.0)
    legs = tuple(replace(leg, x_mm=x) for leg, x in zip(table.legs[::2], places, strict=True))

    found = rise_turns(replace(table, board=short, legs=legs), legs[0], Count(0))

    assert found == RiseTurns(1)  # half of 0.84 mm, 0.42 mm: 1.06 quarters


def test_rise_without_a_thread_gives_only_the_direction(table):
    leg = replace(table.legs[0], thread=None)

    found = rise_turns(table, leg, Count(0))

    assert found == RiseTurns(1, at_least=True)


@pytest.mark.parametrize(("asked", "whole"), [(0.5, 0), (-0.5, 0), (0.51, 1), (-1.7, -2), (2.4, 2)])
def test_quarters_round_to_the_smaller_turn_at_halves(asked, whole):
    assert whole_steps(asked) == whole


def test_taught_table_turns_by_its_own_responses(table):
    strong = replace(table, learned=(("B1", 0.1), ("L1", 0.79375)))
    bracket, leg = table.brackets[0], table.legs[0]

    # 0.4 mm at 0.1 × 1.2 a quarter; 1.2 mm/m × 0.5 m at 0.79375 mm a quarter, half of the thread's
    assert hollow_turns(strong, bracket, Count(0)).steps == 3
    assert cross_turns(strong, leg, Count(3)).right == 1
