"""A technician on site: sees counted cards and what the paper asks for, and writes it down."""

from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from passport.demo import truth as real
from passport.demo.shots import glides, shots
from passport.demo.truth import Truth
from passport.leveling.lookup import CrossTurns, cross_turns, hollow_turns, rise_turns
from passport.table import Bracket, Leg, RiseBy, Role, Table, Ways
from passport.visit import BracketPass, Count, LegPass, Pass, Visit

MOST_FOOT = 4  # quarters that one mark of a foot's scale can say
MOST_ROUND = 3  # counts that the short scale of a level turned round can say


@dataclass(frozen=True)
class Round:
    """One visit to make: which form, when, by whom, in what air."""

    form: str
    on: date
    technician: str
    celsius: float
    humidity: float
    note: str = ""
    moved: bool = False


def visit(table: Table, truth: Truth, order: Round) -> tuple[Visit, Truth]:
    """Walk along the table once, and once more where the paper was not content.

    Returns
    -------
    tuple
        What is written on the form, and how the table stands then.
    """
    first, truth = _walk(table, truth)
    again, truth = _walk_again(table, truth, first)
    passes = (first,) if again == Pass() else (first, again)
    return _written(table, truth, order, passes), truth


def _written(table: Table, truth: Truth, order: Round, passes: tuple[Pass, ...]) -> Visit:
    rng = np.random.default_rng(order.on.toordinal())
    return Visit(
        form=order.form,
        kind="service",
        table=table.number,
        date=order.on,
        kit=table.kit,
        technician=order.technician,
        air_temperature_c=order.celsius,
        air_humidity_pct=order.humidity,
        level_check=None if table.kit.cross_read is Ways.BOTH else (Count(0), Count(0)),
        passes=passes,
        shots=shots(table, truth, rng),
        glides=glides(table, truth, rng),
        surface={},
        changed=frozenset({"moved"}) if order.moved else frozenset({"normal"}),
        office_must_read=bool(order.note),
        notes={"notes.text": order.note} if order.note else {},
        nuts_by=table.nuts_by,
    )


def _walk(table: Table, truth: Truth) -> tuple[Pass, Truth]:
    """Make the first pass: legs, then brackets, then the rise of the ends."""
    legs, brackets = {}, {}
    for leg in table.legs:
        legs[leg.name], truth = _leg(table, truth, leg)
        legs[leg.name] = _both_ways(table, leg, legs[leg.name])
    for bracket in table.brackets:
        brackets[bracket.name], truth = _bracket(table, truth, bracket)
    return _rise(table, truth, Pass(legs, brackets, minutes_to_after=30))


def _walk_again(table: Table, truth: Truth, first: Pass) -> tuple[Pass, Truth]:
    """Go back to the stations whose reading after was not OK."""
    legs, brackets = {}, {}
    for leg in table.adjusted_legs():
        left = first.legs[leg.name].after
        if left is not None and not cross_turns(table, leg, left).ok:
            legs[leg.name], truth = _leg(table, truth, leg)
            legs[leg.name] = _both_ways(table, leg, legs[leg.name])
    for bracket in table.brackets:
        hollow = first.brackets[bracket.name].after
        if hollow is not None and not hollow_turns(table, bracket, hollow).ok:
            brackets[bracket.name], truth = _bracket(table, truth, bracket)
    if not legs and not brackets:
        return Pass(), truth
    return Pass(legs, brackets, minutes_to_after=15), truth


def _leg(table: Table, truth: Truth, leg: Leg) -> tuple[LegPass, Truth]:
    found = real.slope_count(table, truth.slopes[leg.name])
    if leg.role is Role.SUPPORTING:
        return LegPass(found=found, bears_left=True, bears_right=True), truth
    asked = cross_turns(table, leg, found)
    if asked.ok or not (asked.left or asked.right):
        return LegPass(found=found, untouched=True), truth
    left, right = _feet(table, truth, leg, asked)
    truth = real.turned_foot(table, truth, leg, (left, right))
    after = real.slope_count(table, truth.slopes[leg.name])
    return LegPass(
        found, left or None, right or None, after, True, True, jam_nut_locked=True
    ), truth


def _both_ways(table: Table, leg: Leg, row: LegPass) -> LegPass:
    """Read a leg with the level turned round, too, where the kit says so; its zero is nought."""
    if table.kit.cross_read is Ways.ONE or leg.role is Role.SUPPORTING:
        return row
    after = row.after and real.bounded(row.after.cards, -MOST_ROUND, MOST_ROUND)
    return replace(row, found_turned=row.found, after_turned=after)


def _feet(table: Table, truth: Truth, leg: Leg, asked: CrossTurns) -> tuple[int, int]:
    """Turn as the paper says; without a number until the bubble is centred or the scale ends."""
    if not asked.until_centred:
        return (_held(asked.left), _held(asked.right))
    up, turned = (1, 0) if asked.left else (0, 1), truth
    for quarters in range(1, MOST_FOOT + 1):
        turned = real.turned_foot(table, truth, leg, (up[0] * quarters, up[1] * quarters))
        if real.slope_count(table, turned.slopes[leg.name]).cards == 0:
            break
    return up[0] * quarters, up[1] * quarters


def _held(quarters: int) -> int:
    return max(-MOST_FOOT, min(MOST_FOOT, quarters))


def _bracket(table: Table, truth: Truth, bracket: Bracket) -> tuple[BracketPass, Truth]:
    found = real.hollow_count(table, truth.hollows[bracket.name])
    asked = hollow_turns(table, bracket, found)
    if asked.ok or not asked.steps:
        return BracketPass(found=found, untouched=True), truth
    truth = real.turned_nut(truth, bracket.name, asked.steps * table.nuts_by.quarters)
    after = real.hollow_count(table, truth.hollows[bracket.name])
    return BracketPass(found, asked.steps, after, locked=True), truth


def _rise(table: Table, truth: Truth, walk: Pass) -> tuple[Pass, Truth]:
    """Read each end and turn by it; or both in one look, as the kit does."""
    if table.kit.rise_by in (RiseBy.LINE, RiseBy.LASER) and truth.rises:
        return _look(table, truth, walk)
    found, turns, after = {}, {}, {}
    for end in truth.rises:
        found[end] = real.rise_count(table, end, truth.rises[end])
        asked = rise_turns(table, real.end_leg(table, end), found[end])
        if asked.quarters:
            turns[end] = asked.quarters
            truth = real.turned_end(table, truth, end, asked.quarters)
            after[end] = real.rise_count(table, end, truth.rises[end])
    return replace(walk, rise=found, rise_turns=turns, rise_after=after), truth


def _look(table: Table, truth: Truth, walk: Pass) -> tuple[Pass, Truth]:
    """Read a line at all its places, turn both ends by the one number that is looked up."""
    found = real.looks(table, truth.rises)
    asked = rise_turns(table, real.end_leg(table, "A"), real.middle_of(found))
    walk = replace(walk, rise=found)
    if not asked.quarters:
        return walk, truth
    turns = dict.fromkeys(truth.rises, asked.quarters)
    for end in turns:
        truth = real.turned_end(table, truth, end, asked.quarters)
    return replace(walk, rise_turns=turns, rise_after=real.looks(table, truth.rises)), truth
