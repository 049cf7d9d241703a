"""Technicians: what each marks on the paper and turns, one walk after the other.

They see boxes only, never what the hall knows. A walk's marks are kept as arrays over the tables,
``NONE`` where nothing was written.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from leveling.hall import CROSS_BOXES, HOLLOW_BOXES, RISE_BOXES, THOU, Bools, Hall, Ints

NONE = -99
MOST_MARKED = 8  # quarter turns in a row of the form
PART_TURNS = 3  # of a nut, at most
AGAIN = 3  # times that a look-up with "then again" is followed at one station


@dataclass
class Marks:
    """One kind of station in one walk, arrays of shape (N, stations)."""

    found: Ints
    turns: Ints  # (N, stations) of nuts or ends; (N, stations, 2) of feet
    after: Ints


@dataclass
class Walk:
    """What is marked in one walk along the tables."""

    legs: Marks
    nuts: Marks
    ends: Marks
    done: Bools  # tables whose technician made this walk

    @classmethod
    def blank(cls, hall: Hall, done: Bools) -> "Walk":
        """Open an unmarked walk."""
        legs, nuts, ends = len(hall.legs), hall.hollow.shape[1], len(hall.ends)
        return cls(
            _blank((hall.count, legs), (hall.count, legs, 2)),
            _blank((hall.count, nuts), (hall.count, nuts)),
            _blank((hall.count, ends), (hall.count, ends)),
            done,
        )


def _blank(shape: tuple[int, ...], turns: tuple[int, ...]) -> Marks:
    return Marks(np.full(shape, NONE), np.full(turns, NONE), np.full(shape, NONE))


@dataclass(frozen=True)
class Words:
    """What stands under the boxes of one station of each table: arrays (N or 1, boxes).

    ``turns`` of a nut or an end (N, boxes), of feet (N, boxes, 2); ``again``: turn, then measure
    and look again; ``centre``: turn the low foot until the bubble is centred.
    """

    turns: Ints
    ok: Bools
    again: Bools
    centre: Bools

    def at(self, counts: Ints, lowest: int) -> "Words":
        """Read what stands under the marked boxes, (N,)."""
        rows = np.arange(len(counts)) if len(self.ok) > 1 else np.zeros(len(counts), np.int64)
        place = (rows, counts - lowest)
        return Words(self.turns[place], self.ok[place], self.again[place], self.centre[place])


@dataclass(frozen=True)
class Paper:
    """The words under the boxes of every station."""

    legs: Sequence[Words]
    nuts: Sequence[Words]
    ends: Sequence[Words]


@dataclass
class Log:
    """All walks of all visits so far, and the level checks (N, 2) of visits that made one."""

    visits: list[list[Walk]] = field(default_factory=list)
    checks: dict[int, Ints] = field(default_factory=dict)


# the technician with the paper alone


def paper_visit(hall: Hall, paper: Paper, walks: int, *, rise_again: bool = False) -> list[Walk]:
    """Walk by the look-ups: legs, ends, brackets, each read right before it is turned.

    A further walk is made where a reading after turning was not OK; the ends have no row on the
    pass sheet unless ``rise_again``. The walks are what the office records.
    """
    made, go = [], np.ones(hall.count, np.bool_)
    for number in range(walks):
        walk = Walk.blank(hall, go)
        left = [_leg(hall, walk, leg, words) for leg, words in enumerate(paper.legs)]
        if number == 0 or rise_again:
            left += [_end(hall, walk, end, words) for end, words in enumerate(paper.ends)]
        left += [_nut(hall, walk, nut, words) for nut, words in enumerate(paper.nuts)]
        made.append(walk)
        go = go & np.any(left, axis=0)
    return made


def _leg(hall: Hall, walk: Walk, leg: int, words: Words) -> Bools:
    found = hall.read_cross(leg)
    asked = words.at(found, CROSS_BOXES[0])
    centred = hall.centring(leg)
    one_foot = np.stack([np.maximum(0, -centred), np.maximum(0, centred)], axis=-1)
    turns = np.where(asked.centre[:, None], one_foot, asked.turns) * walk.done[:, None]
    hall.turn_feet(leg, turns[:, 0], turns[:, 1])
    after = hall.read_cross(leg)
    turned = turns.any(axis=1)
    seen = hall.recorded(found, CROSS_BOXES), turns, hall.recorded(after, CROSS_BOXES)
    _mark(walk.legs, leg, walk.done, seen, turned)
    last = np.where(turned, after, found)
    return ~words.at(last, CROSS_BOXES[0]).ok


def _end(hall: Hall, walk: Walk, end: int, words: Words) -> Bools:
    leg = hall.ends[end]
    turn = lambda turns: hall.turn_feet(leg, turns, turns)  # noqa: E731
    read = lambda: hall.read_rise(end)  # noqa: E731
    return _one(hall, walk.ends, end, (read, turn, words, RISE_BOXES), walk.done)


def _nut(hall: Hall, walk: Walk, nut: int, words: Words) -> Bools:
    turn = lambda turns: hall.turn_nut(nut, turns)  # noqa: E731
    read = lambda: hall.read_hollow(nut)  # noqa: E731
    return _one(hall, walk.nuts, nut, (read, turn, words, HOLLOW_BOXES), walk.done)


Station = tuple[Callable[[], Ints], Callable[[Ints], None], Words, tuple[int, int]]


def _one(hall: Hall, marks: Marks, place: int, station: Station, done: Bools) -> Bools:
    """Read, turn, read again; follow "then again" a few times; mark sums of turns.

    What the row's scale of turns can't hold is left for the next walk.
    """
    read, turn, words, boxes = station
    found = read()
    last, total, go = found, np.zeros_like(found), done.copy()
    for _ in range(AGAIN):
        asked = words.at(last, boxes[0])
        wanted = np.clip(total + asked.turns * go, -MOST_MARKED, MOST_MARKED)
        turns = wanted - total
        turn(turns)
        total = wanted
        last = np.where(turns != 0, read(), last)
        go = go & asked.again & (turns != 0)
    seen = hall.recorded(found, boxes), total, hall.recorded(last, boxes)
    _mark(marks, place, done, seen, total != 0)
    return ~words.at(last, boxes[0]).ok


def _mark(
    marks: Marks, place: int, done: Bools, seen: tuple[Ints, Ints, Ints], turned: Bools
) -> None:
    """Write a station's row; "after" only where something was turned."""
    found, turns, after = seen
    marks.found[:, place] = np.where(done, found, NONE)
    marks.turns[:, place] = np.where(done[:, None] if turns.ndim > 1 else done, turns, NONE)
    marks.after[:, place] = np.where(done & turned, after, NONE)


def read_once(hall: Hall) -> Walk:
    """Read every station and turn nothing."""
    walk = Walk.blank(hall, np.ones(hall.count, np.bool_))
    _read_all(hall, walk, "found")
    return walk


# the technician with the plan of the calculator before each pass


@dataclass(frozen=True)
class Turns:
    """What a plan asks for: feet (N, legs, 2), both feet of the ends (N, ends), nuts (N, nuts, 3).

    A nut may be turned in parts, one after the other: as far as the scale of turns goes, the rest,
    back beyond its place and forward again.
    """

    feet: Ints
    ends: Ints
    nuts: Ints

    def any(self) -> Bools:
        """Say at which tables anything is turned."""
        parts = [one.reshape(len(one), -1).any(axis=1) for one in (self.feet, self.ends, self.nuts)]
        return np.any(parts, axis=0)


Planner = Callable[[Log], Turns]


def planned_visit(hall: Hall, log: Log, plan: Planner, passes: int) -> list[Bools]:
    """Read everything, turn by the plan, read everything; so up to ``passes`` times.

    Where the cross level is beyond the cards, its foot is turned until the bubble is centred
    first: that belongs to the reading, and is marked as a walk of its own.

    Returns
    -------
    list of ndarray (N,)
        Which tables are truly in tolerance after each pass.
    """
    walks: list[Walk] = []
    log.visits.append(walks)
    results, go = [], np.ones(hall.count, np.bool_)
    for _ in range(passes):
        _centre_first(hall, walks, go)
        walk = Walk.blank(hall, go)
        walks.append(walk)
        _read_all(hall, walk, "found")
        turns = plan(log)
        go = go & turns.any()
        _turn_all(hall, walk, turns)
        _read_all(hall, walk, "after", go)
        results.append(hall.good())
    return results


def _centre_first(hall: Hall, walks: list[Walk], go: Bools) -> None:
    walk = Walk.blank(hall, np.zeros(hall.count, np.bool_))
    for leg in range(len(hall.legs)):
        found = hall.read_cross(leg)
        more = go & np.isin(found, CROSS_BOXES)
        walk.done |= more
        centred = hall.centring(leg) * more
        turns = np.stack([np.maximum(0, -centred), np.maximum(0, centred)], axis=-1)
        hall.turn_feet(leg, turns[:, 0], turns[:, 1])
        after = hall.recorded(hall.read_cross(leg), CROSS_BOXES)
        _mark(walk.legs, leg, more, (found, turns, after), more)
    if walk.done.any():
        walks.append(walk)


def _read_all(hall: Hall, walk: Walk, row: str, go: Bools | None = None) -> None:
    done = walk.done if go is None else go & walk.done
    kinds = (
        (walk.legs, hall.read_cross, CROSS_BOXES),
        (walk.ends, hall.read_rise, RISE_BOXES),
        (walk.nuts, hall.read_hollow, HOLLOW_BOXES),
    )
    for marks, read, boxes in kinds:
        written = getattr(marks, row)
        for place in range(written.shape[1]):
            written[:, place] = np.where(done, hall.recorded(read(place), boxes), NONE)


def _turn_all(hall: Hall, walk: Walk, turns: Turns) -> None:
    go = walk.done & turns.any()
    nuts = turns.nuts.sum(axis=2)
    for marks, asked in ((walk.legs, turns.feet), (walk.ends, turns.ends), (walk.nuts, nuts)):
        marks.turns[go] = asked[go]
    turn_all(hall, turns)


def turn_all(hall: Hall, turns: Turns) -> None:
    """Make all turns of a plan, from end A to end B."""
    for leg in range(len(hall.legs)):
        both = turns.ends[:, hall.ends.index(leg)] if leg in hall.ends else 0
        left, right = turns.feet[:, leg, 0] + both, turns.feet[:, leg, 1] + both
        hall.turn_feet(leg, left, right)
    for nut in range(hall.hollow.shape[1]):
        for part in range(PART_TURNS):
            hall.turn_nut(nut, turns.nuts[:, nut, part])


# the rule of thumb


def thumb_walk(hall: Hall) -> None:
    """Nominal response, one station after the other, each read just before it is turned."""
    kit, targets = hall.table.kit, hall.table.targets
    step = kit.card_mm / kit.bearing_length_mm * 1000
    for leg in range(len(hall.legs)):
        _thumb_leg(hall, leg, step)
    for end in range(len(hall.ends)):
        span = abs(hall.table.board.length_mm / 2 - hall.legs[hall.ends[end]].x_mm) / 1000
        lift = targets.rise_mm.value - hall.read_rise(end) * step * span
        turns = np.rint(lift / (1.5875 / 4)).astype(np.int64)
        hall.turn_feet(hall.ends[end], turns, turns)
    for nut in range(hall.hollow.shape[1]):
        middle = (hall.read_hollow(nut) + 0.5) * kit.card_mm
        turns = np.rint((targets.hollow_mm.value - middle) / (2 * THOU))
        hall.turn_nut(nut, np.clip(turns, -8, 8).astype(np.int64))


def _thumb_leg(hall: Hall, leg: int, step: float) -> None:
    found = hall.read_cross(leg)
    lift = found * step * hall.legs[leg].foot_spacing_mm / 1000
    more = (found == CROSS_BOXES[0]) | (found == CROSS_BOXES[1])
    turns = np.where(more, hall.centring(leg), np.rint(lift / (1.5875 / 4))).astype(np.int64)
    hall.turn_feet(leg, np.maximum(0, -turns), np.maximum(0, turns))
