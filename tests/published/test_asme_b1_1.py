"""ASME B1.1, Unified Inch Screw Threads, coarse series (UNC): travel of a quarter turn.

Threads per inch as the tables print them; single start, so travel per turn is 1 in / tpi.
1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
"""

import pytest

from passport.leveling.lookup import cross_turns
from passport.leveling.response import foot_prior
from passport.table import (
    Board,
    FootType,
    Kit,
    Leg,
    Role,
    Table,
    Target,
    Targets,
    Thread,
)
from passport.visit import Count

UNC = {"1/4-20": 20, "5/16-18": 18, "3/8-16": 16, "1/2-13": 13}


def leg(tpi, name="UNC", spacing_in=20.0):
    thread = Thread(name, 25.4 / tpi)
    return Leg("L1", 0, Role.END, spacing_in * 25.4, FootType.STUD_IN_LEG, thread)


def table_of(part, card_in=0.015625):
    kit = Kit("kit", 508, 508, 0.05, None, card_in * 25.4, 0.0)
    targets = Targets(Target(0.5, 0.19), Target(0, 0.45), None)
    board = Board(2743, 508, 76.2, "maple")
    return Table("1", "T", "Invented", board, (part,), (), targets, kit)


@pytest.mark.parametrize(
    ("thread", "thou"),
    [("1/4-20", 12.5), ("5/16-18", 13.889), ("3/8-16", 15.625), ("1/2-13", 19.231)],
)
def test_quarter_turn_of_a_foot_lifts_a_quarter_of_the_pitch(thread, thou):
    """Coarse series: 1/4-20, 5/16-18, 3/8-16, 1/2-13; thousandths of an inch per quarter turn."""
    response = foot_prior(leg(UNC[thread]))

    assert response.mm / 0.0254 == pytest.approx(thou, abs=5e-4)


@pytest.mark.parametrize("cards", [1, 2, 3, 4])
def test_card_as_thick_as_a_quarter_of_the_pitch_asks_for_one_quarter_each(cards):
    """3/8-16: 0.015625 in a quarter turn; cards of that, bearing length equal to foot spacing."""
    part = leg(16)

    assert cross_turns(table_of(part), part, Count(cards)).right == cards


def test_quarter_turn_of_three_eighths_tilts_twenty_inches_by_its_share():
    """3/8-16 at one of two feet 20 in apart: 0.781 thou/in, 0.0448 degrees; arithmetic."""
    per_inch = foot_prior(leg(16)).mm / 508

    assert per_inch == pytest.approx(0.00078125)
