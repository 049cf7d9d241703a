"""Rise of the ends: cards under the level's end toward the centre, turns of both feet, after.

Signs: a count is positive when the outer end is high; a turn is positive where the end goes up.
"""

from collections.abc import Mapping

from forms.form import Block
from passport.leveling.lookup import rise_turns
from passport.leveling.rises import MIDDLE
from passport.table import Kit, Leg, RiseBy, Role, Table
from passport.visit import Count, Doubt, Pass
from passport.visits.answers import Answers
from passport.visits.grid import PITCH, TURNS_LEFT, heads
from passport.visits.ink import BESIDE, SMALL, WIDTH, Ink, centred, label, paragraph, section
from passport.visits.service import ids, rise_read, rise_steps
from passport.visits.service.rows import Row, row_doubts, settled
from passport.visits.service.station import (
    LINE,
    Counts,
    counts_head,
    lookups_head,
    reading_row,
    ruled,
    two_way_turns,
    two_way_words,
    untouched_tick,
)
from passport.visits.service.words import rise_words
from scan.reading import Value

LOWEST, HIGHEST = -2, 8
BOUNDS = (LOWEST, HIGHEST)
ENDS = ("A", "B")
_WORDS = ("2+", "1", "0", "1", "2", "3", "4", "5", "6", "7", "8+")

HOW = (
    "Legs level first. Level LENGTHWISE, outer end flush over the end leg, marked end toward A at "
    "both ends; cards under its end toward the centre. BOTH feet alike, one quarter each, "
    "alternating (↑2: both up two quarters; *: then again)."
)
CARE = (
    "With a taut line: weight hung low and away from feet, nobody in line with it, eye protection. "
    "A line laser is too coarse except as a difference: below eye height, class as on its label, "
    "don’t look into the beam or its reflection."
)
SIDES = "Left of 0: outer end LOW; right of 0: outer end HIGH."
NO_RISE = (
    "Rise of the ends is not on this form: the table stands on two legs, and raising an end then "
    "only tilts the whole board."
)


def has_rise(table: Table) -> bool:
    """Say whether feet can raise the ends above the middle."""
    ends = sum(leg.role is Role.END for leg in table.legs)
    return table.targets.rise_mm is not None and ends > 1 and len(table.adjusted_legs()) > 2


def end_legs(table: Table) -> dict[str, Leg]:
    """Name the end legs by their ends."""
    legs = [leg for leg in table.legs if leg.role is Role.END]
    return {"A": legs[0], "B": legs[-1]}


def counts(table: Table, leg: Leg) -> Counts:
    """Rise counts at an end and what each asks for."""
    values = tuple(range(LOWEST, HIGHEST + 1))
    asked = (rise_turns(table, leg, Count(n, n in BOUNDS)) for n in values)
    return Counts("card", values, _WORDS, BOUNDS, tuple((rise_words(one),) for one in asked))


def blocks(table: Table) -> tuple[Block, ...]:
    """Both ends on one set of columns; on two legs the reason why not."""
    if not has_rise(table):
        why = paragraph(0, 0.8, WIDTH, NO_RISE)
        return (why.ink.block("no rise", why.height + 1.0),)
    if rise_read.is_read(table.kit):
        return (rise_read.block(table),)
    if table.kit.rise_by is RiseBy.STEPS:
        return (rise_steps.block(table),)
    head = section("Rise of ends", HOW, CARE)
    top, high = head.height, 0.0
    ink = head.ink + paragraph(0, 6.0, BESIDE - 2.0, SIDES).ink
    shown: Counts | None = None
    for end, leg in end_legs(table).items():
        asked = counts(table, leg)
        part, height = _end(end, asked, shown)
        ink += part.moved(0, top + high)
        high, shown = high + height, asked
    return (ink.block("rise", top + high),)


def _end(end: str, head: Counts, shown: Counts | None) -> tuple[Ink, float]:
    """Draw an end's rows, and of its head what differs from the one above."""
    name = ids.rise(end)
    row = head.head_below(shown) if shown else head.head_mm
    height = row + 2 * PITCH + 0.2
    ink = (
        label(0, row + 1.0, f"End {end}", 11, bold=True)
        + untouched_tick(ids.untouched(name), f"Rise of end {end},", row + PITCH)
        + reading_row(ids.found(1, name), f"Rise of end {end} found", row, head, "found")
        + reading_row(ids.after(1, name), f"Rise of end {end} after", row + PITCH, head, "after")
        + two_way_turns(ids.turns(1, name), f"Rise of end {end}, quarter turns", row, TURNS_LEFT)
        + two_way_words(row, TURNS_LEFT, ("both up", "down"))
    )
    if shown is None:
        ink += counts_head(head) + _head_words(row)
    elif shown != head:
        ink += lookups_head(head)
    return ruled(ink, height), height


def _head_words(row: float) -> Ink:
    middle = TURNS_LEFT + 5 * PITCH
    return (
        heads([str(n) for n in range(1, 9)], TURNS_LEFT + PITCH, row - LINE - 0.5)
        + centred(middle, row - 2 * LINE + 0.5, "quarter turns of BOTH feet", bold=True)
        + label(0, 0.5, "cards", SMALL, bold=True)
    )


Rise = tuple[dict[str, Count], dict[str, int], dict[str, Count]]


def stations(kit: Kit) -> tuple[str, ...]:
    """Name what is read of the ends and turned by it: each end, or both in one look."""
    return (MIDDLE,) if rise_read.is_read(kit) else ENDS


def read(answers: Answers, kit: Kit) -> tuple[Rise, list[Doubt]]:
    """Read found, turns and after of both ends, and what contradicts itself."""
    if rise_read.is_read(kit):
        return rise_read.read(answers, kit)
    if kit.rise_by is RiseBy.STEPS:
        return rise_steps.read(answers)
    found: dict[str, Count | None] = {}
    turns: dict[str, int | None] = {}
    after: dict[str, Count | None] = {}
    doubts: list[Doubt] = []
    for end in ENDS:
        row = _row(end)
        wrong = row_doubts(answers, row)
        doubts += wrong
        kept = settled(answers, row, wrong)
        found[end], after[end] = kept.count(row.found), kept.count(row.after)
        turns[end] = kept.number(row.turns[0])
    return (_known(found), _known(turns), _known(after)), doubts


def _row(end: str) -> Row:
    name = ids.rise(end)
    return Row(ids.found(1, name), (ids.turns(1, name),), ids.after(1, name), ids.untouched(name))


def _known(values: Mapping[str, object | None]) -> dict:  # type: ignore[type-arg]
    return {end: value for end, value in values.items() if value is not None}


def write(one: Pass, kit: Kit) -> dict[str, Value]:
    """Give the answers that read as this rise."""
    turned = {ids.turns(1, ids.rise(end)): quarters for end, quarters in one.rise_turns.items()}
    if rise_read.is_read(kit):
        return {**rise_read.write(kit, one.rise, one.rise_after), **turned}
    if kit.rise_by is RiseBy.STEPS:
        return {**rise_steps.write(one.rise, one.rise_after), **turned}
    counts_ = {ids.found(1, ids.rise(end)): count.cards for end, count in one.rise.items()}
    afters = {ids.after(1, ids.rise(end)): count.cards for end, count in one.rise_after.items()}
    return {**counts_, **afters, **turned}
