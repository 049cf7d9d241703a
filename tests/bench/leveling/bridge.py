"""The only module of the benches that knows the calculator: marks in, turns and words out."""

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
from leveling.hall import CROSS_BOXES, HOLLOW_BOXES, RISE_BOXES, Hall
from leveling.walk import NONE, PART_TURNS, Log, Paper, Planner, Turns, Walk, Words

from passport.leveling import lookup
from passport.leveling.advice import Advice, Quantity
from passport.leveling.advise import plan_after, undated
from passport.leveling.moves import part_turns
from passport.leveling.plan import Plan, shared_part
from passport.leveling.response import taught
from passport.table import Leg, Table
from passport.visit import BracketPass, Count, LegPass, Pass, Visit

FIRST_DAY = date(2026, 3, 2)
EVERY = timedelta(days=70)
END_NAMES = ("A", "B")


# marks as the visits that the office would have recorded


def visits_of(hall: Hall, log: Log, table: int) -> list[Visit]:
    """Give one table's recorded visits, oldest first."""
    return [
        Visit(
            form=f"F{number}",
            kind="service",
            table=hall.table.number,
            date=FIRST_DAY + number * EVERY,
            kit=hall.table.kit,
            level_check=_check(log.checks.get(number), table),
            passes=tuple(_pass(hall, walk, table) for walk in walks if walk.done[table]),
        )
        for number, walks in enumerate(log.visits)
    ]


def _pass(hall: Hall, walk: Walk, table: int) -> Pass:
    legs = {leg.name: _leg(walk, table, place) for place, leg in enumerate(hall.legs)}
    nuts = {one.name: _nut(walk, table, place) for place, one in enumerate(hall.table.brackets)}
    ends = list(enumerate(END_NAMES[: len(hall.ends)]))
    found, after = (
        {
            name: _count(marks[table, place], RISE_BOXES)
            for place, name in ends
            if marks[table, place] != NONE
        }
        for marks in (walk.ends.found, walk.ends.after)
    )
    turns = {
        name: int(walk.ends.turns[table, place])
        for place, name in ends
        if walk.ends.turns[table, place] != NONE
    }
    return Pass(
        {name: row for name, row in legs.items() if row != LegPass()},
        {name: row for name, row in nuts.items() if row != BracketPass()},
        found,
        after,
        turns,
    )


def _leg(walk: Walk, table: int, place: int) -> LegPass:
    left, right = (_turns(turns) for turns in walk.legs.turns[table, place])
    found, after = walk.legs.found[table, place], walk.legs.after[table, place]
    return LegPass(_count(found, CROSS_BOXES), left, right, _count(after, CROSS_BOXES))


def _nut(walk: Walk, table: int, place: int) -> BracketPass:
    found, after = walk.nuts.found[table, place], walk.nuts.after[table, place]
    turns = _turns(walk.nuts.turns[table, place])
    return BracketPass(_count(found, HOLLOW_BOXES), turns, _count(after, HOLLOW_BOXES))


def _check(counts: np.ndarray | None, table: int) -> tuple[Count, Count] | None:
    if counts is None:
        return None
    first, second = (_count(cards, CROSS_BOXES) for cards in counts[table])
    return (first, second) if first and second else None


def _count(cards: int, boxes: tuple[int, int]) -> Count | None:
    return None if cards == NONE else Count(int(cards), bool(cards in boxes))


def _turns(turns: int) -> int | None:
    return None if turns == NONE else int(turns)


# the plan


def planner(hall: Hall) -> Planner:
    """Let the calculator plan every table whose technician is still walking."""

    def plan(log: Log) -> Turns:
        turns = no_turns(hall)
        for table in np.flatnonzero(log.visits[-1][-1].done):
            _plan_in(hall, turns, table, plan_after(hall.table, visits_of(hall, log, table)))
        return turns

    return plan


def _plan_in(hall: Hall, turns: Turns, table: int, plan: Plan) -> None:
    """Write a plan down as its moves do: both feet of an end apart, nuts in parts."""
    for place, leg in enumerate(hall.legs):
        pair = plan.feet.get(leg.name, (0, 0))
        both = shared_part(pair) if place in hall.ends else 0
        turns.feet[table, place] = pair[0] - both, pair[1] - both
        if place in hall.ends:
            turns.ends[table, hall.ends.index(place)] = both
    for place, nut in enumerate(hall.table.brackets):
        parts = part_turns(plan.nuts[nut.name]) if plan.nuts.get(nut.name) else ()
        turns.nuts[table, place, : len(parts)] = parts


def advice_on(hall: Hall, log: Log, table: int) -> Advice:
    """Ask the calculator for its advice on one table; when to come again is not asked."""
    return undated(hall.table, visits_of(hall, log, table))


def no_turns(hall: Hall) -> Turns:
    """Start from no turns at any table."""
    return Turns(
        np.zeros((hall.count, len(hall.legs), 2), np.int64),
        np.zeros((hall.count, len(hall.ends)), np.int64),
        np.zeros((*hall.hollow.shape, PART_TURNS), np.int64),
    )


def turns_of(hall: Hall, advices: Sequence[Advice | None]) -> Turns:
    """Gather the turns that are advised; none where there is no advice."""
    turns = no_turns(hall)
    for table, advice in enumerate(advices):
        if advice is not None:
            _copy(hall, turns, table, advice)
    return turns


def _copy(hall: Hall, turns: Turns, table: int, advice: Advice) -> None:
    legs = {leg.name: place for place, leg in enumerate(hall.legs)}
    nuts = {one.name: place for place, one in enumerate(hall.table.brackets)}
    for move in advice.moves:
        if move.quantity is Quantity.CROSS:
            side = {"left foot": 0, "right foot": 1}[move.part]
            turns.feet[table, legs[move.station], side] += move.steps
        elif move.quantity is Quantity.HOLLOW:
            parts = turns.nuts[table, nuts[move.station]]
            parts[np.count_nonzero(parts)] = move.steps
        else:
            turns.ends[table, END_NAMES.index(move.station)] += move.steps


# what stands out


def warned(hall: Hall, log: Log, table: int) -> tuple[str, ...]:
    """Ask what stands out at one table's last visit."""
    return advice_on(hall, log, table).warnings


# the look-ups


def paper_of(table: Table) -> Paper:
    """Print the look-ups under the boxes, as the form of this table does."""
    legs = [_words([_cross(table, leg, n) for n in _values(CROSS_BOXES)]) for leg in _legs(table)]
    nuts = [
        _words([_hollow(table, bracket, n) for n in _values(HOLLOW_BOXES)])
        for bracket in table.brackets
    ]
    ends = [_words([_rise(table, leg, n) for n in _values(RISE_BOXES)]) for leg in _ends(table)]
    return Paper(legs, nuts, ends)


def papers(hall: Hall, log: Log) -> Paper:
    """Print the form of every table for its next visit, with what its history taught."""
    if not log.visits:
        return paper_of(hall.table)
    histories = (visits_of(hall, log, table) for table in range(hall.count))
    each = [paper_of(taught(hall.table, visits)) for visits in histories]
    return Paper(*(_all([getattr(one, part) for one in each]) for part in ("legs", "nuts", "ends")))


def _all(each: Sequence[Sequence[Words]]) -> list[Words]:
    """Lay the words of all tables at one station over one another, (N, boxes)."""
    parts = ("turns", "ok", "again", "centre")
    return [
        Words(*(np.concatenate([getattr(one, part) for one in station]) for part in parts))
        for station in zip(*each, strict=True)
    ]


Box = tuple[object, bool, bool, bool]


def _cross(table: Table, leg: Leg, cards: int) -> Box:
    asked = lookup.cross_turns(table, leg, Count(cards, cards in CROSS_BOXES))
    return (asked.left, asked.right), asked.ok, False, asked.until_centred


def _hollow(table: Table, bracket: object, cards: int) -> Box:
    asked = lookup.hollow_turns(table, bracket, Count(cards, cards in HOLLOW_BOXES))
    return asked.steps, asked.ok, asked.at_least, False


def _rise(table: Table, leg: Leg, cards: int) -> Box:
    asked = lookup.rise_turns(table, leg, Count(cards, cards in RISE_BOXES))
    return asked.quarters, asked.ok, asked.at_least, False


def _words(boxes: Sequence[Box]) -> Words:
    turns, ok, again, centre = zip(*boxes, strict=True)
    return Words(np.array([turns], np.int64), np.array([ok]), np.array([again]), np.array([centre]))


def _values(boxes: tuple[int, int]) -> range:
    return range(boxes[0], boxes[1] + 1)


def _legs(table: Table) -> tuple[Leg, ...]:
    return table.adjusted_legs()


def _ends(table: Table) -> tuple[Leg, ...]:
    legs = table.adjusted_legs()
    if len(legs) < 3 or table.targets.rise_mm is None:
        return ()
    return legs[0], legs[-1]
