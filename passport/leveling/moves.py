"""The plan as lines of work: what to turn, on what finding, and what to expect."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from passport.leveling.advice import Move, Quantity, Verdict
from passport.leveling.conditions import condition
from passport.leveling.goal import Goal
from passport.leveling.judge import judge
from passport.leveling.lines import percent_words, sense_words, value_words
from passport.leveling.nuts import NutGoal, movement
from passport.leveling.plan import LegGoal, Plan, Problem, best_plan, shared_part
from passport.leveling.response import Response
from passport.leveling.spread import Spread
from passport.leveling.supports import end_legs
from passport.leveling.surface import ENDS, Estimate
from passport.table import Role, Table


@dataclass(frozen=True)
class Learned:
    """Responses per leg and per bracket."""

    feet: Mapping[str, Response | None]
    nuts: Mapping[str, Response]


def moves(
    table: Table, found: Sequence[Estimate], withheld: frozenset[str], learned: Learned
) -> tuple[Move, ...]:
    """Plan the turns of the next visit.

    Parameters
    ----------
    table : Table
        Geometry and kit.
    found : sequence of Estimate
        State of every station.
    withheld : frozenset of str
        Stations whose marks wait for a person: no turns there.
    learned : Learned
        What a quarter turn does.

    Returns
    -------
    tuple of Move
        Legs from end A, then brackets from end A, then the rise.
    """
    known = {(e.station.quantity, e.station.name): e for e in found if _usable(e, withheld)}
    task = problem(table, known, learned)
    plan = best_plan(task)
    legs = [
        move
        for leg in table.adjusted_legs()
        for move in _leg_moves(table, known.get((Quantity.CROSS, leg.name)), plan, learned)
    ]
    nuts = [
        _nut_move(table, known[Quantity.HOLLOW, name], quarters, (task, plan, learned.nuts[name]))
        for name, quarters in plan.nuts.items()
        if quarters
    ]
    return (*legs, *nuts, *_rise_moves(table, known.get((Quantity.RISE, "ends")), plan, learned))


def problem(
    table: Table, known: Mapping[tuple[Quantity, str], Estimate], learned: Learned
) -> Problem:
    """Set up the plan from what is known of the stations."""
    legs = tuple(
        LegGoal(leg, _goal(table, known.get((Quantity.CROSS, name))), learned.feet.get(name))
        for leg in table.adjusted_legs()
        for name in (leg.name,)
    )
    nuts = tuple(
        NutGoal(bracket.name, place, goal, learned.nuts[bracket.name])
        for place, bracket in enumerate(table.brackets)
        if (goal := _goal(table, known.get((Quantity.HOLLOW, bracket.name))))
    )
    ends = end_legs(table)
    centre = next((leg.name for leg in table.legs if leg.role is Role.CENTRE), None)
    rise = _goal(table, known.get((Quantity.RISE, "ends")))
    names = None if ends is None else (ends[0].name, ends[1].name)
    return Problem(legs, nuts, rise, names, centre)


def _usable(estimate: Estimate, withheld: frozenset[str]) -> bool:
    return estimate.value is not None and estimate.station.name not in withheld


def _goal(table: Table, estimate: Estimate | None) -> Goal | None:
    if estimate is None or estimate.spread is None:
        return None
    target = estimate.station.target
    settled = judge(table, estimate).verdict is Verdict.IN
    spread = estimate.spread
    return Goal(spread.value, spread.u, target.value, target.tolerance, settled)


@dataclass(frozen=True)
class _Change:
    """What a plan moves at a station, and how surely; in the station's unit."""

    by: float
    u: float


def _leg_moves(table: Table, estimate: Estimate | None, plan: Plan, learned: Learned) -> list[Move]:
    """List turns of single feet; what both feet share is the rise's."""
    if estimate is None:
        return []
    leg = next(leg for leg in table.legs if leg.name == estimate.station.name)
    response = learned.feet.get(leg.name)
    left, right = _single(plan.feet.get(leg.name, (0, 0)))
    if response is None or left == right == 0:
        return []
    per_quarter = response.mm / leg.foot_spacing_mm * 1000
    by = (left - right) * per_quarter
    change = _Change(by, abs(by) * response.log_u)
    each = value_words(table, Quantity.CROSS, per_quarter)
    why = f"{_stands(table, estimate)}. A quarter turn of one foot moves {each}"
    found = condition(table, estimate, by)
    parts = (("left foot", left), ("right foot", right))
    return [
        _move(leg.name, part, quarters, found, _Line(estimate, change, why))
        for part, quarters in sorted(parts, key=lambda part: -part[1])
        if quarters
    ]


def _nut_move(
    table: Table, estimate: Estimate, quarters: int, way: tuple[Problem, Plan, Response]
) -> Move:
    task, plan, response = way
    moved = movement(task.nuts, plan.nuts, estimate.station.name)
    change = _Change(moved.by, moved.u)
    each = value_words(table, Quantity.HOLLOW, response.mean_mm, response.u_mm)
    why = f"{_stands(table, estimate)}. A quarter turn moves {each} ({_source(response)})"
    found = condition(table, estimate, change.by)
    line = _Line(estimate, change, why)
    return _move(estimate.station.name, "inner nut", quarters, found, line)


def _source(response: Response) -> str:
    """Say what a response rests on."""
    if not response.learned_from:
        return "common practice"
    return f"learned from {response.learned_from} turn" + "s" * (response.learned_from != 1)


def _rise_moves(
    table: Table, estimate: Estimate | None, plan: Plan, learned: Learned
) -> list[Move]:
    ends = end_legs(table)
    if estimate is None or ends is None:
        return []
    change = _rise_change(table, plan, learned)
    why = f"{_stands(table, estimate)}. What counts is the mean of both ends"
    line = _Line(estimate, change, why)
    return [
        _move(name, "both feet", quarters, condition(table, estimate, change.by, index), line)
        for index, (name, leg) in enumerate(zip(ENDS, ends, strict=True))
        if (quarters := shared_part(plan.feet.get(leg.name, (0, 0))))
    ]


def _rise_change(table: Table, plan: Plan, learned: Learned) -> _Change:
    """Sum what all turns of a plan do to the mean end rise, in mm."""
    by, variance = 0.0, 0.0
    for leg in table.adjusted_legs():
        response = learned.feet.get(leg.name)
        if response is not None:
            share = -1.0 if leg.role is Role.CENTRE else 0.5
            lift = share * sum(plan.feet.get(leg.name, (0, 0))) * response.mm / 2
            by, variance = by + lift, variance + (lift * response.log_u) ** 2
    return _Change(by, math.sqrt(variance))


@dataclass(frozen=True)
class _Line:
    """What a move's line is made of."""

    estimate: Estimate
    change: _Change
    why: str


def _move(station: str, part: str, quarters: int, condition: str, line: _Line) -> Move:
    estimate, change, target = line.estimate, line.change, line.estimate.station.target
    spread = estimate.spread
    assert spread is not None
    after = Spread(spread.value + change.by, spread.half, math.hypot(spread.normal, change.u))
    p_in = after.within(target.value - target.tolerance, target.value + target.tolerance)
    why = f"{line.why}. Chance of being within afterwards: {percent_words(p_in)}."
    quantity = estimate.station.quantity
    return Move(station, quantity, part, quarters, condition, why, after.value, after.u)


def _stands(table: Table, estimate: Estimate) -> str:
    """Say where a station stands and what is asked."""
    station, spread = estimate.station, estimate.spread
    assert spread is not None
    said = sense_words(table, station.quantity, spread.value, spread.u)
    asked = value_words(table, station.quantity, station.target.value, station.target.tolerance)
    return f"As left {said}; asked {asked}"


def _single(pair: tuple[int, int]) -> tuple[int, int]:
    """Give the quarter turns of each foot beyond what both share."""
    common = shared_part(pair)
    return pair[0] - common, pair[1] - common
