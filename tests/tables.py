"""Invented tables that several rooms' tests print, fill and read."""

from dataclasses import replace
from datetime import date
from pathlib import Path

from passport.table import (
    Board,
    Bracket,
    FootType,
    Hand,
    Kit,
    Leg,
    Own,
    Role,
    Side,
    Steps,
    Table,
    Target,
    Targets,
    Thread,
)
from passport.table_file import read_table
from passport.visits.kind import LookFirst

INVENTED = Path(__file__).parents[1] / "passport" / "invented"
LONGEST = "The Table With The Longest Name That Anybody Ever Wrote In A Description"
UNC = Thread("3/8-16 UNC", 1.5875)
FINE = Thread("M6x0.5 LH", 0.5, Hand.LEFT)  # asks for many quarters: two lines of look-up
SHORT_LEVEL = Kit("Level 16, the one with the long name", 406.4, 393.7, 0.1, None, 0.19, 0.003)
ROLES = {
    2: (Role.END, Role.END),
    3: (Role.END, Role.CENTRE, Role.END),
    5: (Role.END, Role.SUPPORTING, Role.CENTRE, Role.SUPPORTING, Role.END),
}
OPEN = LookFirst(
    (
        "turned last time, read as found: L1, L3, B2 to B5 and B8",
        "turn planned: L1, L3, L5, B1, B7 and end A",
        "undecided as left: ends, B6",
        "surface: dent or crack noted",
        "surface: worn or patchy noted",
    ),
    frozenset({"L1", "L3", "L5", "B1", "B7"}),
)


def spread(legs: int, brackets: int, length_mm: float, **changes: object) -> Table:
    """Invent a table with evenly spread legs and brackets."""
    step = (length_mm - 900.0) / (legs - 1)
    table = Table(
        "100000181",
        "The blue room's table",
        "House by the mill",
        Board(length_mm, 508.0, 76.2, "hard maple"),
        tuple(
            Leg(f"L{n + 1}", 450.0 + n * step, role, 508.0, FootType.STUD_IN_LEG, UNC)
            for n, role in enumerate(ROLES[legs])
        ),
        tuple(
            Bracket(f"B{n + 1}", length_mm * (n + 0.5) / brackets, UNC, Side.LEFT)
            for n in range(brackets)
        ),
        Targets(Target(0.508, 0.1905), Target(0.0, 0.8), None if legs == 2 else Target(1.6, 0.4)),
        Kit("Level 24", 609.6, 584.2, 0.1, None, 0.19, 0.003),
    )
    return replace(table, **changes)


LONG, MIDDLE, SHORT = spread(5, 8, 6705.6), spread(3, 5, 4267.2), spread(2, 3, 2743.2)


def described(which: str, number: str = "100000181", /, **changes: object) -> Table:
    """Give one of the tables that come with the program: ``long``, ``middle`` or ``short``."""
    text = (INVENTED / f"{which}.toml").read_text(encoding="utf-8")
    return replace(read_table(text, which, number), **changes)


def checked(table: Table) -> Table:
    """Give the table with a kit whose own zero and bow were measured."""
    on = date(2026, 5, 4)
    kit = replace(table.kit, zero=Own(0.31, 0.06, on), bow=Own(-0.006, 0.004, on))
    return replace(table, kit=kit)


def taught(table: Table) -> Table:
    """Give the table with a response of its own at every leg and bracket: no two look-ups alike."""
    brackets = tuple((one.name, 0.03 + 0.006 * n) for n, one in enumerate(table.brackets))
    legs = tuple((one.name, 0.9 + 0.25 * n) for n, one in enumerate(table.adjusted_legs()))
    return replace(table, learned=brackets + legs)


def fine(table: Table) -> Table:
    """Give the table with fine threads, nuts by sixths, a level shorter than its board."""
    legs = tuple(
        replace(leg, thread=FINE, foot_type=FootType.NUT_ON_STUD, thread_left_mm=40.0)
        for leg in table.legs
    )
    sides = (Side.LEFT, Side.RIGHT, None, Side.LEFT, Side.RIGHT)
    brackets = tuple(
        replace(one, working_side=side, thread=FINE)
        for one, side in zip(table.brackets, sides, strict=False)
    )
    parts = {"legs": legs, "brackets": brackets, "nuts_by": Steps.SIXTHS}
    return replace(table, kit=SHORT_LEVEL, **parts)
