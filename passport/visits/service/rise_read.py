"""Rise of the ends by a taut line or a laser: lengths that are read off, turns of both ends, after.

One number is looked up: the gap under the line at the board's middle, or what is left of the
laser's height there when half of both ends' is taken off.
"""

import math
from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import groupby

from forms.field import Digits
from forms.form import Block
from passport.leveling.lookup import capped_rise, rise_turns
from passport.leveling.rises import MIDDLE, PLACES, looked_up
from passport.leveling.supports import end_legs, spans_mm
from passport.quantity import INCH_MM
from passport.table import Kit, Leg, RiseBy, Table
from passport.visit import Count, Doubt
from passport.visits.answers import Answers
from passport.visits.grid import LABEL, PITCH, TURNS_LEFT, digit_boxes, digits, heads, row_name
from passport.visits.ink import COUNT, SMALL, WIDTH, Ink, centred, ending, label, section, together
from passport.visits.service import ids
from passport.visits.service.both_ways import half_doubts
from passport.visits.service.rows import Row, row_doubts, settled
from passport.visits.service.station import (
    LINE,
    two_way_turns,
    two_way_words,
    untouched_tick,
)
from passport.visits.service.words import rise_words
from scan.reading import Value

ENDS = ("A", "B")
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
LOOKED_UP = {RiseBy.LINE: "gap from", RiseBy.LASER: "rest from"}
NAMES = {"A": "end A", MIDDLE: "middle", "B": "end B"}
STEP = Decimal("0.000001")
_ROW = 9.4  # [mm] from one number to the next
_FOUND, _AFTER = LABEL + 1.4, 62.0  # [mm] where the numbers of both looks begin
_REACH = 9.5  # quarter turns that are looked up, either way
_LADDER = 13.0  # [mm] where the look-up begins


def is_read(kit: Kit) -> bool:
    """Say whether a kit reads a rise as lengths."""
    return kit.rise_by in (RiseBy.LINE, RiseBy.LASER)


def gauge(kit: Kit) -> tuple[str, Decimal, int]:
    """Give unit and step of the scale that a gap or height is read on, and its decimals."""
    by = kit.line or kit.laser
    assert by is not None
    for unit, size in (("in", float(INCH_MM)), ("mm", 1.0)):
        step = Decimal(repr(by.step_mm / size)).quantize(STEP).normalize()
        decimals = max(0, -int(step.as_tuple().exponent))
        if decimals <= 3:
            return unit, step, decimals
    return unit, step, decimals


def block(table: Table) -> Block:
    """Draw the look-up, one row of numbers a place, and the turns of both ends."""
    by = table.kit.rise_by
    head = section("Rise of ends", HOW[by], CARE[by])
    top = head.height + 7.2
    ink = head.ink + _ladder(table).moved(0, head.height)
    ink += label(_FOUND, top + 0.4, "found", SMALL, bold=True)
    ink += label(_AFTER, top + 0.4, "after", SMALL, bold=True)
    ink += ending(TURNS_LEFT + PITCH - 1, top + 0.4, "quarter turns of BOTH feet", bold=True)
    ink += heads([str(n) for n in range(1, 9)], TURNS_LEFT + PITCH, top)
    rows = top + LINE
    for index, place in enumerate(PLACES[by]):
        ink += _place(table, place).moved(0, rows + index * _ROW)
    for index, end in enumerate(ENDS):
        ink += _turns(end, rows + index * 2 * PITCH)
    return ink.block("rise", rows + 4 * PITCH + 0.2)


def _place(table: Table, place: str) -> Ink:
    name, said = ids.rise(place), NAMES[place]
    if place == MIDDLE:  # its name stands below the words of the tick
        ink = row_name(5.2, said) + untouched_tick(ids.untouched(name), "Rise of ends", 0.8)
    else:
        ink = row_name(0.8, said)
    found = _number(table.kit, ids.found(1, name), f"Rise, {said} found")
    after = _number(table.kit, ids.after(1, name), f"Rise, {said} after")
    return ink + found.moved(_FOUND, 0) + after.moved(_AFTER, 0)


def _number(kit: Kit, field_id: str, name: str) -> Ink:
    unit, _, decimals = gauge(kit)
    whole = (2 if unit == "mm" else 1) + (kit.rise_by is RiseBy.LASER)
    boxes = digit_boxes(0, 0.4, whole + decimals, decimals)
    high = 10**whole - 10 ** (-decimals)
    return digits(Digits(field_id, name, unit, boxes, decimals, 0, high), unit)


def _turns(end: str, row: float) -> Ink:
    field_id = ids.turns(1, ids.rise(end))
    ink = two_way_turns(field_id, f"Rise of end {end}, quarter turns", row, TURNS_LEFT)
    return ink + two_way_words(row, TURNS_LEFT, (f"{end} up", f"{end} down"))


def _ladder(table: Table) -> Ink:
    """Print from which number on what is to be done; below the first: what stands there first."""
    steps = ladder(table)
    width = (WIDTH - _LADDER) / len(steps)
    places = [_LADDER + (index + 0.5) * width for index in range(len(steps))]
    froms = ["less", *(first for first, _ in steps[1:])]
    return (
        label(0, 0.5, LOOKED_UP[table.kit.rise_by], SMALL, bold=True)
        + together(*(centred(x, 0.5, first, SMALL) for x, first in zip(places, froms, strict=True)))
        + together(
            *(
                centred(x, 3.2, word, COUNT, bold=word == "OK")
                for x, (_, word) in zip(places, steps, strict=True)
            )
        )
    )


def ladder(table: Table) -> list[tuple[str, str]]:
    """List what is asked for, from low ends to high ones, each with the number it begins at."""
    leg, (_, step, decimals) = _leg(table), gauge(table.kit)
    asked = ((n, rise_words(rise_turns(table, leg, Count(n)))) for n in _looked_at(table, leg))
    groups = ((next(found)[0], word) for word, found in groupby(asked, key=lambda one: one[1]))
    return [(f"{first * step:.{decimals}f}".replace("-", "−"), word) for first, word in groups]


def _leg(table: Table) -> Leg:
    legs = end_legs(table)
    assert legs is not None
    return legs[0]


def _looked_at(table: Table, leg: Leg) -> range:
    """Give the numbers that a look-up covers: the target, and some quarter turns either way."""
    target, spans = capped_rise(table), spans_mm(table)
    zero, one = (looked_up(table.kit, spans, 0, Count(n)).value for n in (0, 1))
    quarter = leg.thread.pitch_mm / 4 if leg.thread else 0.4
    middle = (target.value if target else 0.0) - zero
    ends = (math.ceil((middle + way * _REACH * quarter) / (one - zero)) for way in (-1, 1))
    low, high = ends
    return range(low if table.kit.rise_by is RiseBy.LASER else max(0, low), high)


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
