"""A table with round numbers: five legs, eight brackets; and a visit to it."""

from datetime import date

import pytest

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
from passport.visit import Visit

FOOT = Thread("3/8-16 UNC", 1.5875)  # a quarter turn lifts 0.396875 mm
KIT = Kit("round kit", 500, 500, 0.1, None, 0.2, 0.004)  # a card is 0.4 mm/m, or 0.2 mm of hollow
ROLES = (Role.END, Role.SUPPORTING, Role.CENTRE, Role.SUPPORTING, Role.END)


@pytest.fixture
def table() -> Table:
    legs = tuple(
        Leg(f"L{i + 1}", 300 + 1500 * i, role, 500, FootType.STUD_IN_LEG, FOOT)
        for i, role in enumerate(ROLES)
    )
    brackets = tuple(Bracket(f"B{i + 1}", 400 + 800 * i, FOOT, Side.LEFT) for i in range(8))
    targets = Targets(Target(0.5, 0.19), Target(0.0, 0.8), Target(3.175, 0.8))
    board = Board(6600, 500, 76.2, "maple")
    return Table("1", "Round table", "Invented hall", board, legs, brackets, targets, KIT, "metric")


@pytest.fixture
def visit() -> Visit:
    return Visit("FORM", "service", "1", date(2026, 3, 2), KIT)
