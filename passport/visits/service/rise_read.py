"""Rise of the ends by a taut line or a laser: lengths that are read off, turns of both ends, after.

One number is looked up: the gap under the line at the board's middle, or what is left of the
laser's height there when half of both ends' is taken off.
"""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from forms.field import Digits
from forms.form import Block
from passport.leveling.rises import MIDDLE, PLACES
from passport.table import Kit, RiseBy, Table
from passport.visit import Count, Doubt
from passport.visits.answers import Answers
from passport.visits.grid import LABEL, PITCH, TURNS_LEFT, digit_boxes, digits, heads, row_name
from passport.visits.ink import SMALL, Ink, ending, label, section
from passport.visits.service import ids
from passport.visits.service.both_ways import half_doubts
from passport.visits.service.rise_ladder import ENDS, end_turns, gauge, ladder_ink
from passport.visits.service.rows import Row, row_doubts, settled
from passport.visits.service.station import (
    LINE,
    untouched_tick,
)
from scan.reading import Value

HOW = {
    RiseBy.LINE: (
        "Legs level first. Line over blocks on both end legs, pulled by its weight alone; read the "
        "gap under it at the board’s middle (the look-up allows for its sag). BOTH ends and BOTH "
        "feet alike, one quarter each, alternating (*: then again)."
    ),
    RiseBy.LASER: (
        "Legs level first. Same target over both end legs and middle, laser not moved before "
        "“after”: heights above the board. Look up MIDDLE less half of A and B together. BOTH ends "
        "and feet alike, one quarter each, alternating."
    ),
}
CARE = {
    RiseBy.LINE: (
        "Weight hung low and away from feet, nobody in line with it, eye protection. Aid or helper "
        "missing: stop."
    ),
    RiseBy.LASER: (
        "Below eye height, class as on its label, don’t look into the beam or its reflection, nor "
        "let others."
    ),
}
NAMES = {"A": "end A", MIDDLE: "middle", "B": "end B"}
_ROW = 9.4  # [mm] from one number to the next
_FOUND, _AFTER = LABEL + 1.4, 62.0  # [mm] where the numbers of both looks begin


def is_read(kit: Kit) -> bool:
    """Say whether a kit reads a rise as lengths."""
    return kit.rise_by in (RiseBy.LINE, RiseBy.LASER)


def block(table: Table) -> Block:
    """Draw the look-up, one row of numbers a place, and the turns of both ends."""
    by = table.kit.rise_by
    head = section("Rise of ends", HOW[by], CARE[by])
    top = head.height + 7.2
    ink = head.ink + ladder_ink(table).moved(0, head.height)
    ink += label(_FOUND, top + 0.4, "found", SMALL, bold=True)
    ink += label(_AFTER, top + 0.4, "after", SMALL, bold=True)
    ink += ending(TURNS_LEFT + PITCH - 1, top + 0.4, "quarter turns of BOTH feet", bold=True)
    ink += heads([str(n) for n in range(1, 9)], TURNS_LEFT + PITCH, top)
    rows = top + LINE
    for index, place in enumerate(PLACES[by]):
        ink += _place(table, place).moved(0, rows + index * _ROW)
    for index, end in enumerate(ENDS):
        ink += end_turns(end, rows + index * 2 * PITCH)
    return ink.block("rise", rows + 4 * PITCH + 0.2)


def _place(table: Table, place: str) -> Ink:
    name, said = ids.rise(place), NAMES[place]
    ink = row_name(0.8, said)
    if place == MIDDLE:
        ink += untouched_tick(ids.untouched(name), "Rise of ends", 0.8)
    found = _number(table.kit, ids.found(1, name), f"Rise, {said} found")
    after = _number(table.kit, ids.after(1, name), f"Rise, {said} after")
    return ink + found.moved(_FOUND, 0) + after.moved(_AFTER, 0)


def _number(kit: Kit, field_id: str, name: str) -> Ink:
    unit, _, decimals = gauge(kit)
    whole = (2 if unit == "mm" else 1) + (kit.rise_by is RiseBy.LASER)
    boxes = digit_boxes(0, 0.4, whole + decimals, decimals)
    high = 10**whole - 10 ** (-decimals)
    return digits(Digits(field_id, name, unit, boxes, decimals, 0, high), unit)


Rise = tuple[dict[str, Count], dict[str, int], dict[str, Count]]


def read(answers: Answers, kit: Kit) -> tuple[Rise, list[Doubt]]:
    """Read found, turns and after of one look at both ends, and what contradicts itself."""
    names = [ids.rise(place) for place in PLACES[kit.rise_by]]
    middle = ids.rise(MIDDLE)
    row = Row(
        ids.found(1, middle),
        tuple(ids.turns(1, ids.rise(end)) for end in ENDS),
        ids.after(1, middle),
        ids.untouched(middle),
    )
    doubts = row_doubts(answers, row)
    kept = settled(answers, row, doubts)
    pairs = [(when(1, middle), when(1, name)) for name in names for when in (ids.found, ids.after)]
    doubts += half_doubts(answers, [pair for pair in pairs if pair[0] != pair[1]])
    turned = {end: kept.number(ids.turns(1, ids.rise(end))) for end in ENDS}
    return (
        dict(_counts(kept, kit, 1)),
        {end: quarters for end, quarters in turned.items() if quarters is not None},
        dict(_counts(kept, kit, 2)),
    ), doubts


def _counts(answers: Answers, kit: Kit, look: int) -> Iterator[tuple[str, Count]]:
    """Read one look, the first or the one after turning: whole steps of the scale."""
    _, step, _ = gauge(kit)
    for place in PLACES[kit.rise_by]:
        value = answers.decimal((ids.found if look == 1 else ids.after)(1, ids.rise(place)))
        if value is not None:
            yield place, Count(int((value / step).to_integral_value()))


def write(kit: Kit, found: Mapping[str, Count], after: Mapping[str, Count]) -> dict[str, Value]:
    """Give the numbers that read as these looks."""
    _, step, decimals = gauge(kit)
    place = Decimal(1).scaleb(-decimals)
    looks = ((ids.found, found), (ids.after, after))
    return {
        when(1, ids.rise(name)): (count.cards * step).quantize(place)
        for when, counts in looks
        for name, count in counts.items()
    }
