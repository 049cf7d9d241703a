"""Look-up of a rise that is written as a number: from which number on which turns of the ends."""

import math
from decimal import Decimal
from itertools import groupby

from passport.leveling.lookup import capped_rise, rise_turns
from passport.leveling.rises import looked_up
from passport.leveling.supports import end_legs, spans_mm
from passport.quantity import INCH_MM
from passport.table import Kit, Leg, RiseBy, Table
from passport.visit import Count
from passport.visits.grid import TURNS_LEFT
from passport.visits.ink import COUNT, SMALL, WIDTH, Ink, centred, label, together
from passport.visits.service import ids
from passport.visits.service.station import two_way_turns, two_way_words
from passport.visits.service.words import rise_words

ENDS = ("A", "B")
LOOKED_UP = {RiseBy.LINE: "gap from", RiseBy.LASER: "rest from", RiseBy.STEPS: "sum from"}
STEP = Decimal("0.000001")
_REACH = 9.5  # quarter turns that are looked up, either way
_LADDER = 17.0  # [mm] where the look-up begins


def gauge(kit: Kit) -> tuple[str, Decimal, int]:
    """Give unit and step of the scale that a gap or height is read on, and its decimals.

    By steps cards are counted.
    """
    if kit.rise_by is RiseBy.STEPS:
        return "", Decimal(1), 0
    by = kit.line or kit.laser
    assert by is not None
    for unit, size in (("in", float(INCH_MM)), ("mm", 1.0)):
        step = Decimal(repr(by.step_mm / size)).quantize(STEP).normalize()
        decimals = max(0, -int(step.as_tuple().exponent))
        if decimals <= 3:
            return unit, step, decimals
    return unit, step, decimals


def ladder_ink(table: Table, end: int = 0, named: str = "") -> Ink:
    """Print from which number on what is to be done; below the first: what stands there first.

    ``end`` is 0 for A and 1 for B: by steps each has its own.
    """
    steps = ladder(table, end)
    width = (WIDTH - _LADDER) / len(steps)
    places = [_LADDER + (index + 0.5) * width for index in range(len(steps))]
    froms = ["less", *(first for first, _ in steps[1:])]
    return (
        label(0, 0.5, f"{named}{LOOKED_UP[table.kit.rise_by]}", SMALL, bold=True)
        + together(*(centred(x, 0.5, first, SMALL) for x, first in zip(places, froms, strict=True)))
        + together(
            *(
                centred(x, 3.2, word, COUNT, bold=word == "OK")
                for x, (_, word) in zip(places, steps, strict=True)
            )
        )
    )


def ladder(table: Table, end: int = 0) -> list[tuple[str, str]]:
    """List what is asked for, from low ends to high ones, each with the number it begins at."""
    leg, (_, step, decimals) = _leg(table, end), gauge(table.kit)
    asked = ((n, rise_words(rise_turns(table, leg, Count(n)))) for n in _looked_at(table, leg, end))
    groups = ((next(found)[0], word) for word, found in groupby(asked, key=lambda one: one[1]))
    return [(f"{first * step:.{decimals}f}".replace("-", "−"), word) for first, word in groups]


def _leg(table: Table, end: int) -> Leg:
    legs = end_legs(table)
    assert legs is not None
    return legs[end]


def _looked_at(table: Table, leg: Leg, end: int) -> range:
    """Give the numbers that a look-up covers: the target, and some quarter turns either way."""
    target, spans = capped_rise(table), spans_mm(table)
    zero, one = (looked_up(table.kit, spans, end, Count(n)).value for n in (0, 1))
    quarter = leg.thread.pitch_mm / 4 if leg.thread else 0.4
    middle = (target.value if target else 0.0) - zero
    ends = (math.ceil((middle + way * _REACH * quarter) / (one - zero)) for way in (-1, 1))
    low, high = ends
    return range(max(0, low) if table.kit.rise_by is RiseBy.LINE else low, high)


def end_turns(end: str, row: float) -> Ink:
    """Draw the turns of both feet of an end's leg, up and down."""
    field_id = ids.turns(1, ids.rise(end))
    ink = two_way_turns(field_id, f"Rise of end {end}, quarter turns", row, TURNS_LEFT)
    return ink + two_way_words(row, TURNS_LEFT, (f"{end} up", f"{end} down"))
