"""The service form of one table: all its blocks in the order of the work, and its pass sheet."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from forms.field import Expectation, Field, Scale
from forms.form import HEADER_DRAWING_MM, Block, Form
from forms.numbers import grouped
from forms.paper import Paper
from passport.drawing import draw
from passport.leveling.response import build_words
from passport.quantity_text import Units, length_text
from passport.table import Role, Table
from passport.visit import BracketPass, Count, LegPass, Visit
from passport.visits.foot import SIDES, foot
from passport.visits.grid import PITCH, tick
from passport.visits.ink import BESIDE, NOTHING, SMALL, Ink, label, paragraph, section
from passport.visits.kind import NOTHING_OPEN, LookFirst
from passport.visits.service import (
    brackets,
    closing,
    feet,
    ids,
    legs,
    opening,
    own_numbers,
    rise,
    shots,
)
from passport.visits.service.station import ordinal

KIND = "service"
REVISION = "1"
_ABREAST = 3  # supporting legs in a line of the pass sheet
EXPECT_U = 1.5  # [cards] standard uncertainty of what the last visit lets expect; no source
AGAIN = (
    "Unused: leave blank. After a * or a reading not OK: walk from end A again, measure each right "
    "before turning it."
)
UNDER = (
    "As on the first pass: under the table only when it stands on all its legs, nobody leaning or "
    "playing; one quarter turn a foot at a time; fingers out of the gap."
)


def form(
    table: Table,
    *,
    printed_on: date,
    last_visit: Visit | None,
    technicians: Sequence[str],
    look_first: LookFirst = NOTHING_OPEN,
) -> Form:
    """Draw up the service form of a table.

    Parameters
    ----------
    table : Table
        Its stations, targets and kit make the blocks and the look-ups under the boxes.
    printed_on : date
        Its year is printed beside the boxes of the date.
    last_visit : Visit or None
        What it left is what history expects of the scales; it is not printed.
    technicians : sequence of str
        The office's list; none gives a line for the name.
    look_first : LookFirst
        Next actions that are still open: named at the head of the visit and at their stations.

    Returns
    -------
    Form
        Not yet placed on paper; kind ``service``.
    """
    first = _first_pass(table, look_first, _beside(last_visit, look_first))
    blocks = (
        *first,
        *closing.blocks(table, printed_on, technicians),
        *_pass_sheet(table, ids.SECOND),
    )
    drawing = draw(table, *HEADER_DRAWING_MM)
    return Form(
        KIND,
        "Service form",
        table.number,
        header(table),
        _expecting(blocks, last_visit),
        _foot(table, printed_on, last_visit),
        drawing.strokes,
        drawing.texts,
        REVISION,
    )


def _first_pass(
    table: Table, look_first: LookFirst, beside: Mapping[str, str]
) -> tuple[Block, ...]:
    return (
        *opening.blocks(table, (*own_numbers.blind(table), *look_first.lines)),
        *legs.blocks(table, beside),
        *feet.blocks(table),
        *rise.blocks(table),
        *brackets.blocks(table, beside),
        *shots.blocks(table),
    )


def header(table: Table) -> tuple[str, ...]:
    """Name table, site, number and kit at the head of every page."""
    kit, units = table.kit, Units(table.units)
    length, bearing = (
        length_text(mm, units) for mm in (kit.level_length_mm, kit.bearing_length_mm)
    )
    return (
        f"{table.name}, {table.site}",
        f"Table {grouped(table.number)}",
        f"For kit: {kit.name}; level {length}, bearing {bearing}, {own_numbers.card(kit, units)}",
    )


def _foot(table: Table, printed_on: date, last: Visit | None) -> str:
    """Say on every page when it was printed, and up to when its look-ups have learned.

    From the table's own visits up to which day; from others of its build as of which event.
    """
    printed = foot(SIDES, printed_on).removesuffix(".")
    build = build_words(table.build_nuts) if table.build_nuts else ""
    if last is None:
        return f"{printed}; nuts {build}." if build else f"{printed}, nothing learned yet."
    day = last.date.isoformat() if last.date else "a visit without a date"
    if build:  # two lines are all that the foot holds
        short = printed.replace(", looking along the board", "")
        return f"{short}; learned up to {day}, and {build.removeprefix('learned ')}."
    return f"{printed}; look-ups learned up to {day}."


def _beside(visit: Visit | None, look_first: LookFirst) -> dict[str, str]:
    """Say beside a station's name why it comes first: turned last time, or still open."""
    still_open = dict.fromkeys(look_first.stations, "look first")
    return still_open | dict.fromkeys(_turned(visit), "look again")


def _turned(visit: Visit | None) -> frozenset[str]:
    """Legs and brackets that the last visit turned: look again."""
    passes = visit.passes if visit else ()
    nuts = {name for one in passes for name, row in one.brackets.items() if row.turns}
    feet = {
        name
        for one in passes
        for name, row in one.legs.items()
        if row.turns_left or row.turns_right
    }
    return frozenset(nuts | feet)


def with_third_pass(form: Form, table: Table) -> Form:
    """Add a second pass sheet, as an installation wants.

    Where a pass is higher than a page, each begins right below what comes before it: a form has
    no more than six pages.
    """
    blocks, third = form.blocks, _pass_sheet(table, ids.THIRD)
    if sum(block.height for block in third) <= Paper.LETTER.body.height:
        return replace(form, blocks=(*blocks, *third))
    flowing = (replace(block, new_page=False) for block in (*blocks, *third))
    return replace(form, blocks=tuple(flowing))


def _pass_sheet(table: Table, walk: int) -> tuple[Block, ...]:
    """Further pass over legs and brackets; an unused sheet is not missing."""
    again = (*legs.pass_blocks(table, walk), *brackets.pass_blocks(table, walk))
    return (_pass_head(table, walk), *again)


def _pass_head(table: Table, walk: int) -> Block:
    head = section("Pass sheet", AGAIN, UNDER)
    y, which = head.height - 1.0, {ids.SECOND: "second pass", ids.THIRD: "third pass"}[walk]
    ink = head.ink + paragraph(0, 5.6, BESIDE - 2.0, f"{which}: mark its turns only").ink
    ink += brackets.minutes_row(walk, y)
    supports = [leg.name for leg in table.legs if leg.role is Role.SUPPORTING]
    ink += _supports(supports, walk, y + PITCH)
    height = y + PITCH * (1 - (-len(supports) // _ABREAST))
    return ink.block("pass sheet", height, new_page=True, keep_with_next=True)


def _supports(names: Sequence[str], walk: int, row: float) -> Ink:
    """Supporting legs clear of the floor first, down to touch last, three a line."""
    ink = label(0, row + 2.2, "Supporting legs", SMALL, bold=True) if names else NOTHING
    for index, name in enumerate(names):
        x, y = 30.0 + index % _ABREAST * 46.0, row + index // _ABREAST * PITCH
        first, last = ids.clear(walk, name), ids.touch(walk, name)
        ink += tick(first, f"{name} clear{ordinal(walk)}", x, y, f"{name} clear first")
        ink += tick(last, f"{name} touch{ordinal(walk)}", x + 24, y, "touch last")
    return ink


def _expecting(blocks: Sequence[Block], last: Visit | None) -> tuple[Block, ...]:
    expected = _left(last)
    return tuple(
        replace(block, fields=tuple(_expected(field, expected) for field in block.fields))
        for block in blocks
    )


def _expected(field: Field, expected: Mapping[str, Count]) -> Field:
    count = expected.get(field.id)
    if not isinstance(field, Scale) or count is None:
        return field
    return replace(field, expect=Expectation(float(count.cards), EXPECT_U))


def _left(visit: Visit | None) -> dict[str, Count]:
    """Gather the counts that the last visit left, by the id of the row where they come next."""
    left: dict[str, Count | None] = {}
    for one in visit.passes if visit else ():
        rows: dict[str, LegPass | BracketPass] = {**one.legs, **one.brackets}
        left |= {ids.found(1, name): row.after or row.found for name, row in rows.items()}
        for name, leg in one.legs.items():
            turned = leg.after_turned if leg.after else leg.found_turned
            left[ids.turned_round(ids.found(1, name))] = turned
        rise_left = {**one.rise, **one.rise_after}
        left |= {ids.found(1, ids.rise(end)): count for end, count in rise_left.items()}
    return {field: count for field, count in left.items() if count is not None}
