"""The spare form: for any table up to five legs and eight brackets, whose paper was left behind.

Its rows have the ids of the service form, so what they mean is said there; what a service form
knows of its table (look-ups, places, threads) is left out here, and a conversion stands instead.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from forms.field import Box, Digits
from forms.form import Block, Form
from passport.leveling.lookup import walk_mm
from passport.leveling.nut_prior import USUAL
from passport.quantity_text import FINE, Units, length_text
from passport.table import (
    Board,
    Bracket,
    FootType,
    Kit,
    Leg,
    Reads,
    Role,
    Steps,
    Table,
    Target,
    Targets,
)
from passport.visit import Visit
from passport.visits.foot import SIDES, foot
from passport.visits.grid import DIGIT, LABEL, PITCH, TURNS_LEFT, heads, tick
from passport.visits.ink import (
    BESIDE,
    SMALL,
    WIDTH,
    Ink,
    centred,
    ending,
    label,
    paragraph,
    section,
    together,
)
from passport.visits.kind import NOTHING_OPEN, LookFirst
from passport.visits.service import brackets, closing, feet, ids, legs, opening, rise, shots
from passport.visits.service.station import (
    LINE,
    Counts,
    reading_row,
    ruled,
    signed_turns,
    small_name,
    two_way_turns,
    two_way_words,
)
from passport.visits.spare.conversion import conversion

KIND = "spare"
TABLE = "spare.table"
TITLE = "Spare service form"
MOST_LEGS, MOST_BRACKETS = 5, 8
NUMBER = (
    "From its label or passport, digit by digit: seven digits and two check digits, which the "
    "office recalculates. No number to be found: leave the boxes blank, write name and place "
    "under Notes; the office asks."
)
STATIONS = (
    "Legs L1 to L5 and brackets B1 to B8 are counted from end A, the end with the label. Leave the "
    "rows blank that this table does not have. Supporting legs: clear of the floor first, down to "
    "touch last; count only, no turns."
)
LEGS = (
    "Level crosswise in line with the leg, marked end LEFT; cards under its LOW end until it shows "
    "level. Mark the count, convert it above, raise the low foot: never more than ONE quarter turn "
    "a foot at a time, alternating. “More”: turn until it shows level, mark the quarters. Then "
    "mark “after”."
)
RISE = (
    "Only on three legs or more, legs level first. Level LENGTHWISE, outer end flush over the end "
    "leg, marked end toward A at both ends; cards under its end toward the centre. Both feet alike."
)
HOLLOW = (
    " No look-up here: where the passport’s grid says nothing better, a quarter turn moves the "
    "hollow by about {step}. Turn less than you think, then measure."
)
_CROSS = ("more", "4", "3", "2", "1", "0", "1", "2", "3", "4", "more")
_UPWARD = ("2+", "1", "0", "1", "2", "3", "4", "5", "6", "7", "8+")
_LEG = Counts("card", tuple(range(-legs.MOST, legs.MOST + 1)), _CROSS, (-legs.MOST, legs.MOST))
_HOLLOW = Counts("card", brackets.VALUES, _UPWARD, brackets.BOUNDS)
_RISE = Counts("card", tuple(range(rise.LOWEST, rise.HIGHEST + 1)), _UPWARD, rise.BOUNDS)
_GROUPS = (3, 4, 2)
_BETWEEN_MM = 2.6


def blank_table(units: str) -> Table:
    """Stand in for a table that nobody knows yet: as many stations as a form has rows for."""
    roles = (Role.END, *[Role.CENTRE] * (MOST_LEGS - 2), Role.END)
    unknown = FootType.UNKNOWN
    return Table(
        "", "Not bound to a table yet", "", Board(6705.6, 508.0, 76.2, "maple"),
        tuple(Leg(f"L{n + 1}", 0.0, role, 0.0, unknown, None) for n, role in enumerate(roles)),
        tuple(Bracket(f"B{n + 1}", 0.0, None, None) for n in range(MOST_BRACKETS)),
        Targets(Target(0.508, 0.1905), Target(0.0, 0.8), Target(1.0, 0.5)),
        Kit("as described for the table", 609.6, 508.0, 0.5, None, 0.2, 0.0076), units,
    )  # fmt: skip


def form(
    table: Table,
    *,
    printed_on: date,
    last_visit: Visit | None,
    technicians: Sequence[str],
    look_first: LookFirst = NOTHING_OPEN,
) -> Form:
    """Draw up the spare form; of the table only its units count. See ``MakesForm``."""
    blank = blank_table(table.units)
    blocks = (
        _number(),
        *opening.blocks(blank),
        conversion(Units(table.units)),
        *_legs(blank),
        *feet.blocks(blank),
        *_brackets(blank),
        *_rise(),
        *shots.blocks(blank),
        *closing.blocks(blank, printed_on, technicians),
    )
    head = (
        "For a table whose own form is not at hand",
        "Table number: by hand on page 1",
        STATIONS,
    )
    return Form(KIND, TITLE, "", head, blocks, foot(SIDES, printed_on))


def _number() -> Block:
    how = paragraph(BESIDE + 78.0, 1.4, WIDTH - BESIDE - 78.0, NUMBER)
    boxes = tuple(Box(round(x, 3), 1.6, *DIGIT) for x in _places(BESIDE))
    field = Digits(TABLE, "Table number", "", boxes, 0, 0, 999_999_999)
    last = boxes[-2]
    ink = section("Table", "").ink + label(0, 5.6, "number", SMALL) + Ink(fields=(field,))
    ink += centred(last.x + 6.8, 9.8, "check digits") + how.ink
    return ink.block("table number", max(how.height + 2.0, 13.4))


def _places(left: float) -> list[float]:
    places, x = list[float](), left
    for group in _GROUPS:
        places += [x + index * PITCH for index in range(group)]
        x += group * PITCH + _BETWEEN_MM
    return places


def _legs(table: Table) -> tuple[Block, ...]:
    care = legs.UNDER.format(thread=legs.SPENT)
    head = section("Legs", LEGS, care)
    ink = (
        head.ink
        + legs.sides_words(Reads.CARDS, head.height - 0.2)
        + heads(_LEG.words, LABEL, head.height + 2.8)
    )
    ink += heads([str(abs(n)) for n in range(-4, 5)], TURNS_LEFT, head.height + 2.8)
    ink += label(TURNS_LEFT + 1.0, head.height - 0.2, "↓ down")
    ink += ending(WIDTH - 1.0, head.height - 0.2, "↑ up")
    ink += tick(ids.LEGS_NOT_MEASURED, "Legs and rise not measured on this visit", 0, 5.2,
                "not measured\nthis visit")  # fmt: skip
    first = ink.block("legs head", head.height + 2.8 + LINE, keep_with_next=True)
    return (first, *_together([_leg(leg) for leg in table.legs]))


def _leg(leg: Leg) -> Block:
    name, row = leg.name, 0.0
    ink = small_name(leg, row) + _counted(name, f"{name}", row, _LEG)
    for side, y in zip(legs.SIDES, (row, row + PITCH), strict=True):
        ink += centred(TURNS_LEFT - 1.4, y + 1.5, side[0].upper(), 10, bold=True)
        what = f"{name} {side} foot, quarter turns"
        ink += signed_turns(ids.foot(1, name, side), what, y, TURNS_LEFT)
    return _row(ink, f"leg {name}")


def _counted(station: str, named: str, row: float, counts: Counts) -> Ink:
    return reading_row(ids.found(1, station), f"{named} found", row, counts, "found") + reading_row(
        ids.after(1, station), f"{named} after", row + PITCH, counts, "after"
    )


def _row(ink: Ink, name: str) -> Block:
    height = 2 * PITCH + 0.3
    return ruled(ink, height).block(name, height)


def _together(rows: Sequence[Block]) -> tuple[Block, ...]:
    """Keep the rows of a section under its one head."""
    return (*(replace(row, keep_with_next=True) for row in rows[:-1]), rows[-1])


def _brackets(table: Table) -> tuple[Block, ...]:
    step = length_text(walk_mm(USUAL.mean_mm), Units(table.units), FINE)
    head = section("Brackets", brackets.how(table) + HOLLOW.format(step=step), brackets.UNDER)
    y = head.height - 0.6
    top = y + PITCH + 3.0
    ink = head.ink + brackets.minutes_row(ids.FIRST, y) + brackets.sides_words(y + PITCH, table)
    ink += heads(_HOLLOW.words, LABEL, top) + _eight(top)
    ink += tick(ids.BRACKETS_NOT_MEASURED, "Brackets not measured on this visit", 0, 5.2,
                "not measured\nthis visit")  # fmt: skip
    first = ink.block("brackets head", top + LINE, new_page=True, keep_with_next=True)
    return (first, *_together([_bracket(one) for one in table.brackets]))


def _eight(y: float) -> Ink:
    return heads([str(n) for n in range(1, 9)], TURNS_LEFT + PITCH, y)


def _bracket(bracket: Bracket) -> Block:
    name = bracket.name
    ink = small_name(bracket, 0.0) + _counted(name, name, 0.0, _HOLLOW)
    ink += tick(ids.locked(1, name), f"{name} locked", 0, PITCH, "locked")
    ink += brackets.nut_turns(bracket, 1, 0.0, Steps.QUARTERS)
    ink += two_way_words(0.0, TURNS_LEFT, ("hollower", "flatter"))
    return _row(ink, f"bracket {name}")


def _rise() -> tuple[Block, ...]:
    head = section("Rise of ends", RISE, rise.CARE)
    ink = head.ink + heads(_RISE.words, LABEL, head.height) + _eight(head.height)
    ink += paragraph(0, 6.0, BESIDE - 2.0, rise.SIDES).ink
    first = ink.block("rise head", head.height + LINE, keep_with_next=True)
    return (first, *_together([_end(end) for end in rise.ENDS]))


def _end(end: str) -> Block:
    name = ids.rise(end)
    turned = f"Rise of end {end}, quarter turns"
    ink = together(
        label(0, 1.0, f"End {end}", 11, bold=True),
        _counted(name, f"Rise of end {end}", 0.0, _RISE),
        two_way_turns(ids.turns(1, name), turned, 0.0, TURNS_LEFT),
        two_way_words(0.0, TURNS_LEFT, ("both up", "down")),
    )
    return _row(ink, f"rise {end}")
