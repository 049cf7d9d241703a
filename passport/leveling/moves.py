"""The plan as lines of work: what to turn, on what finding, and what to expect."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate

import numpy as np

from passport.leveling.advice import Move, Quantity
from passport.leveling.conditions import condition
from passport.leveling.goal import Goal
from passport.leveling.judge import is_in
from passport.leveling.lines import percent_words, response_words, sense_words
from passport.leveling.lookup import MOST_NUT_STEPS
from passport.leveling.move_line import Line, afterwards, move_of, stands
from passport.leveling.nuts import NutGoal, hollow_parts
from passport.leveling.outlook import Outlook
from passport.leveling.plan import (
    LegGoal,
    Plan,
    Problem,
    best_plan,
    rise_parts,
    shared_part,
    slope_parts,
)
from passport.leveling.response import Learned
from passport.leveling.supports import end_legs
from passport.leveling.surface import ENDS, Estimate
from passport.table import Role, Table

BEYOND_STEPS = 1  # a nut goes back this much beyond and forward again; lost motion is less
UNPROVED = (
    "The turns of the nuts are not proved best: with so many brackets only smaller turns were "
    "looked at. Measure again after them."
)
Stations = Mapping[tuple[Quantity, str], Estimate]


@dataclass(frozen=True)
class Ahead:
    """What a plan rests on: what is believed, what was learned, stations with a value."""

    table: Table
    outlook: Outlook
    learned: Learned
    known: Stations


def ahead(
    table: Table, found: Sequence[Estimate], withheld: frozenset[str], outlook: Outlook,
    learned: Learned,
) -> Ahead:  # fmt: skip
    """Leave out stations without a reading, and those whose marks wait for a person."""
    usable = [one for one in found if one.gap is None and one.station.name not in withheld]
    known = {(one.station.quantity, one.station.name): one for one in usable}
    return Ahead(table, outlook, learned, known)


def planned(view: Ahead) -> Plan:
    """Plan the turns of the next pass."""
    return best_plan(problem(view))


def unproved(plan: Plan) -> tuple[str, ...]:
    """Say so where a plan is not proved best."""
    return () if plan.proved else (UNPROVED,)


def moves(view: Ahead, plan: Plan) -> tuple[Move, ...]:
    """Put a plan into lines of work.

    Parameters
    ----------
    view : Ahead
        What is believed of the table.
    plan : Plan
        The turns.

    Returns
    -------
    tuple of Move
        Legs from end A, then brackets from end A, then the rise. A nut that goes back is two moves:
        beyond, and forward again; one that goes further than its scale of turns is two, too. Each
        says what to expect once it is made.
    """
    task = problem(view)
    legs = [move for leg in task.legs for move in _leg_moves(view, task, leg, plan)]
    nuts = [move for nut in task.nuts for move in _nut_moves(view, nut, plan)]
    return (*legs, *nuts, *_rise_moves(view, task, plan))


def problem(view: Ahead) -> Problem:
    """Set up the plan from what is known of the stations."""
    table = view.table
    settled = _settled(view)
    goals = {where: _goal(one, settled) for where, one in view.known.items()}
    legs = tuple(
        LegGoal(leg, number, goals.get((Quantity.CROSS, leg.name)))
        for number, leg in enumerate(table.adjusted_legs())
    )
    nuts = tuple(
        NutGoal(bracket.name, number, goal)
        for number, bracket in enumerate(table.brackets)
        if (goal := goals.get((Quantity.HOLLOW, bracket.name)))
    )
    rise = goals.get((Quantity.RISE, "ends"))
    return Problem(view.outlook, legs, nuts, rise, _joined(table), table.nuts_by)


def _joined(table: Table) -> tuple[str, str, str] | None:
    ends = end_legs(table)
    centre = next((leg.name for leg in table.legs if leg.role is Role.CENTRE), None)
    return None if ends is None or centre is None else (ends[0].name, ends[1].name, centre)


def _settled(view: Ahead) -> bool:
    """Whether all that is known is in tolerance: such a table gets no turn."""
    return all(is_in(estimate) for estimate in view.known.values())


def _goal(estimate: Estimate, settled: bool) -> Goal:
    target = estimate.station.target
    return Goal(target.value, target.tolerance, settled)


def _leg_moves(view: Ahead, task: Problem, leg: LegGoal, plan: Plan) -> list[Move]:
    """List turns of single feet; what both feet share is the rise's.

    A single foot may be turned for the rise alone: then the line says so.
    """
    estimate = view.known.get((Quantity.CROSS, leg.leg.name))
    left, right = _single(plan.feet.get(leg.leg.name, (0, 0)))
    if estimate is None or left == right == 0:
        return []
    value, u = view.outlook.predict(slope_parts(view.outlook, leg, np.array(left - right)))
    now, _ = view.outlook.predict([(view.outlook.places.slope(leg.number), 1.0)])
    response, factor = view.learned.feet[leg.leg.name], 1000 / leg.leg.foot_spacing_mm
    assert response is not None
    each = response_words(
        view.table, Quantity.CROSS, response.mean_mm * factor, response.u_mm * factor
    )
    target = estimate.station.target.value
    away = abs(float(value) - target) > abs(float(now) - target)
    purpose = _for_the_rise(view, task, plan) if away else ""
    why = f"{stands(view.table, estimate)}{purpose}. A quarter turn of one foot moves {each}"
    found = condition(view.table, estimate, float(value - now))
    line = Line(estimate, float(value), float(u), why)
    parts = (("left foot", left), ("right foot", right))
    return [
        move_of(leg.leg.name, part, quarters, found, line)
        for part, quarters in sorted(parts, key=lambda part: -part[1])
        if quarters
    ]


def _nut_moves(view: Ahead, nut: NutGoal, plan: Plan) -> list[Move]:
    """List a nut's part turns, each with what to expect once it is made."""
    steps, by = plan.nuts.get(nut.name, 0), view.table.nuts_by
    if not steps:
        return []
    estimate, response = view.known[Quantity.HOLLOW, nut.name], view.learned.nuts[nut.name]
    one = (response.mean_mm * by.quarters, response.u_mm * by.quarters)
    each = response_words(view.table, Quantity.HOLLOW, *one)
    why = f"{stands(view.table, estimate)}. A {by.one} moves {each} ({response.source()})"
    parts = part_turns(steps)
    ways = [_on_the_way(view, nut, plan, done) for done in accumulate(parts)]
    now, _ = view.outlook.predict([(view.outlook.places.hollow(nut.number), 1.0)])
    found = condition(view.table, estimate, float(ways[-1][0] - now))
    notes = (*(_note(steps, part) for part in parts[:-1]), "")
    when = (found, *["when the turn before is made"] * (len(parts) - 1))
    return [
        move_of(nut.name, "inner nut", part, on, Line(estimate, *way, why, note, by))
        for part, on, way, note in zip(parts, when, ways, notes, strict=True)
    ]


def part_turns(steps: int) -> tuple[int, ...]:
    """Part turns of a nut so that each can be marked, and that they end forward.

    Forward is the tightening direction. A part that the scale of turns can't hold goes on a pass
    sheet of its own.
    """
    whole, way = abs(steps), 1 if steps > 0 else -1
    full, rest = divmod(whole, MOST_NUT_STEPS)
    parts = [way * part for part in (*[MOST_NUT_STEPS] * full, rest) if part]
    return (*parts,) if way > 0 else (*parts[:-1], parts[-1] - BEYOND_STEPS, BEYOND_STEPS)


def _on_the_way(view: Ahead, nut: NutGoal, plan: Plan, done: int) -> tuple[float, float]:
    """Predict a hollow and its standard uncertainty with so much of the nut's own turn made."""
    outlook, places, each = view.outlook, view.outlook.places, view.table.nuts_by.quarters
    turned = {places.brackets.index(name): q for name, q in plan.nuts.items()} | {nut.number: done}
    near = {n: np.array(q * each) for n, q in turned.items() if abs(n - nut.number) <= 1}
    parts = hollow_parts(outlook, nut.number, near)
    if done != plan.nuts[nut.name] and done < 0:  # not forward again yet
        parts.append((places.lost(nut.number), 1.0 if outlook.facing[nut.number] > 0 else 0.5))
    value, u = outlook.predict(parts)
    return float(value), float(u)


def _note(steps: int, part: int) -> str:
    """Say why a part turn is followed by another."""
    if abs(steps) > MOST_NUT_STEPS and abs(part) == MOST_NUT_STEPS:
        return "Mark it and measure; the rest goes on a pass sheet"
    return "Back beyond the place first, so that the nut ends forward: the next turn goes there"


@dataclass(frozen=True)
class _Rise:
    """Mean rise of the ends as believed before a plan, and after it with its uncertainty. [mm]."""

    estimate: Estimate
    now: float
    value: float
    u: float


def _rise(view: Ahead, task: Problem, plan: Plan) -> _Rise | None:
    estimate = view.known.get((Quantity.RISE, "ends"))
    if estimate is None or task.joined is None:
        return None
    named = {leg.leg.name: leg for leg in task.legs}
    legs = [named[name] for name in task.joined]
    totals = [np.array(sum(plan.feet.get(name, (0, 0)))) for name in task.joined]
    value, u = view.outlook.predict(rise_parts(view.outlook, legs, totals))
    now, _ = view.outlook.predict(rise_parts(view.outlook, legs, [np.array(0)] * 3))
    return _Rise(estimate, float(now), float(value), float(u))


def _for_the_rise(view: Ahead, task: Problem, plan: Plan) -> str:
    """Say what a turn is for that takes its own leg's slope away from what is asked."""
    rise = _rise(view, task, plan)
    if rise is None:
        return ""
    after, p_in = afterwards(rise.estimate, rise.value, rise.u)
    low, high = after.interval()
    words = sense_words(view.table, Quantity.RISE, after.value, (high - low) / 2)
    left = stands(view.table, rise.estimate)
    return (
        f". The turn is for the rise of the ends: {left[0].lower()}{left[1:]}; "
        f"then {words}, within by {percent_words(p_in)}"
    )


def _rise_moves(view: Ahead, task: Problem, plan: Plan) -> list[Move]:
    rise, ends = _rise(view, task, plan), end_legs(view.table)
    if rise is None or ends is None:
        return []
    why = f"{stands(view.table, rise.estimate)}. What counts is the mean of both ends"
    line, by = Line(rise.estimate, rise.value, rise.u, why), rise.value - rise.now
    return [
        move_of(name, "both feet", quarters, condition(view.table, rise.estimate, by, index), line)
        for index, (name, leg) in enumerate(zip(ENDS, ends, strict=True))
        if (quarters := shared_part(plan.feet.get(leg.name, (0, 0))))
    ]


def _single(pair: tuple[int, int]) -> tuple[int, int]:
    """Give the quarter turns of each foot beyond what both share."""
    common = shared_part(pair)
    return pair[0] - common, pair[1] - common
