"""An invented table with two visits, and what the documents are told of it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime
from functools import cache

import pytest

from forms.paper import Paper
from passport.documents.house import Story
from passport.leveling.advice import Advice, Move, Quantity, StationState, Verdict
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

KIT = Kit("16 in box level", 406.4, 380.0, 0.5, None, 0.19, 0.004)
FOOT, NUT = Thread("3/8-16 UNC", 1.5875), Thread("5/16-18 UNC", 1.4111)
ROLES = (Role.END, Role.SUPPORTING, Role.CENTRE, Role.SUPPORTING, Role.END)


def a_table(**changes: object) -> Table:
    legs = tuple(
        Leg(f"L{i + 1}", 300 + i * 1526.4, role, 450, FootType.STUD_IN_LEG, FOOT, 24.0)
        for i, role in enumerate(ROLES)
    )
    brackets = tuple(
        Bracket(f"B{i + 1}", 400 + i * 843.6, NUT, Side.RIGHT if i % 2 else Side.LEFT)
        for i in range(8)
    )
    table = Table(
        number="401 2734 56",
        name="Long table at the Blue Kettle",
        site="Invented Hall, back room",
        board=Board(6705.6, 508, 76.2, "hard maple"),
        legs=legs,
        brackets=brackets,
        targets=Targets(Target(0.508, 0.1905), Target(0, 0.8), Target(3.2, 0.8)),
        kit=KIT,
        assumed=("legs", "targets.hollow", "targets.cross"),
        office_phone="+1 555 010 0199",
    )
    return replace(table, **changes)


def states(table: Table, shift: float = 0.0) -> tuple[StationState, ...]:
    cross = [
        state(leg.name, leg.x_mm, Quantity.CROSS, (0.3, 0.1, -1.6, 0.2, 0.9)[i] + shift, 0.12)
        for i, leg in enumerate(table.legs)
    ]
    hollow = [
        state(b.name, b.x_mm, Quantity.HOLLOW, 0.3 + 0.07 * i + shift / 4, 0.055)
        for i, b in enumerate(table.brackets)
    ]
    rise = [state("ends", 0, Quantity.RISE, 2.9 + shift, 0.3)]
    return (*cross, *hollow, *rise)


def state(name: str, x: float, quantity: Quantity, value: float, u: float) -> StationState:
    target, tolerance = {
        Quantity.CROSS: (0.0, 0.8),
        Quantity.HOLLOW: (0.508, 0.1905),
        Quantity.RISE: (3.2, 0.8),
    }[quantity]
    off = abs(value - target)
    inside = off + 2 * u <= tolerance
    verdict = (
        Verdict.IN if inside else Verdict.OUT if off - 2 * u > tolerance else Verdict.UNDECIDED
    )
    return StationState(
        name, x, quantity, value, u, value - 2 * u, value + 2 * u, target, tolerance,
        0.5, verdict, "3 cards, so between 0.57 and 0.76 mm",
    )  # fmt: skip


def a_visit(number: str = "8K2M-4QX0-7RJ", **changes: object) -> Visit:
    walk = Pass(
        legs={
            "L1": LegPass(Count(1), 0, 2, Count(0)),
            "L3": LegPass(Count(-4, bound=True), -2, 3, Count(-1)),
            "L5": LegPass(Count(0), untouched=True),
        },
        brackets={"B2": BracketPass(Count(1), 3, Count(2), True)},
        rise={"A": Count(3), "B": Count(2)},
        rise_turns={"A": 4, "B": 4},
    )
    visit = Visit(
        number, "service", "401 2734 56", date(2026, 9, 3), KIT, technician="AB",
        air_temperature_c=21.0, air_humidity_pct=44.0, passes=(walk,),
    )  # fmt: skip
    return replace(visit, **changes)


MOVES = (
    Move("L3", Quantity.CROSS, "left foot", 3, "if you find 2 to 4 cards, left low",
         "1.6 mm/m right high; the target is level", 0.1, 0.2),
    Move("L3", Quantity.CROSS, "right foot", -2, "if you find 2 to 4 cards, left low",
         "shared between both feet", 0.1, 0.2),
    Move("B1", Quantity.HOLLOW, "inner nut", 3, "if 1 or 2 cards pass",
         "0.30 mm hollow; 0.51 mm is asked for", 0.52, 0.06),
    Move("B8", Quantity.HOLLOW, "inner nut", -2, "if 4 or 5 cards pass",
         "0.79 mm hollow; 0.51 mm is asked for", 0.55, 0.06),
    Move("A", Quantity.RISE, "both feet", 2, "if 2 or 3 cards pass",
         "ends 0.3 mm below target", 3.2, 0.4),
)  # fmt: skip


def an_advice(table: Table, **changes: object) -> Advice:
    advice = Advice(
        table.number, date(2026, 9, 3), states(table), Verdict.OUT, MOVES, ("L1", "B2"),
        (Doubt("B5.found", "B5 hollow, found", "two boxes are marked"),),
        ("The two level checks differ by two cards.",),
        date(2027, 1, 15), "three to five months after, before the heating season ends",
    )  # fmt: skip
    return replace(advice, **changes)


@pytest.fixture(scope="session")
def story() -> Story:
    table = a_table()
    first = a_visit("4QX0-8K2M-7RJ", date=date(2026, 2, 11), technician="CD")
    former = an_advice(table, as_of=date(2026, 2, 11), state=states(table, 0.4))
    return Story(
        table,
        (first, a_visit()),
        an_advice(table),
        head="9f2c41d07be05a1c" * 4,
        code="HTTPS://CARE.EXAMPLE.ORG/T/7ZK2M04QX9RJ1B5T",
        former=former,
        phone="+1 555 010 0199",
        today=date(2026, 11, 24),
    )


@pytest.fixture(scope="session")
def table() -> Table:
    return a_table()


CLOCK = datetime.fromisoformat("2026-11-24T09:30:00+00:00")


@pytest.fixture(scope="session")
def paper_of(story) -> Callable[..., bytes]:
    """Print the story: each paper once, for all tests that only look at it."""

    @cache
    def printed(make: Callable[..., bytes], paper: Paper) -> bytes:
        return make(story, paper, CLOCK)

    return printed
