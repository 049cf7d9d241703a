"""The course of a visit: which readings were taken of which state, and what was turned between.

At every moment the state is a sum: how the table was found, plus all turns so far times what each
does. So each reading is a row of factors over the unknowns, and turns only change the rows.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from passport.leveling.advice import Quantity
from passport.leveling.common import read_both_ways
from passport.leveling.lookup import NEIGHBOUR_SHARE
from passport.leveling.posterior.places import Places
from passport.leveling.posterior.sites import Floats
from passport.leveling.readings import (
    Reading,
    bow_factor,
    bubble_u_mm_per_m,
    card_slope_reading,
    centred_u_mm_per_m,
    hollow_reading,
    slope_reading,
)
from passport.leveling.rises import (
    BUBBLE_U_MM_PER_M,
    RiseReading,
    rise_readings,
    step_reading,
)
from passport.leveling.supports import end_legs, spans_mm
from passport.leveling.walks import Gap, Moment, counts_at, doubts_of, rise_counts, row_of
from passport.table import Leg, RiseBy, Role, Table
from passport.visit import BracketPass, Count, LegPass, Pass, Visit, Walk

TOUCH_U_MM = 0.0127  # whether a card passes: half a thou; common practice, no source
_LEVEL_CHECK = -1


@dataclass(frozen=True)
class Shown:
    """One count: the state it is of, factors of what the level showed, ends of its interval."""

    place: int  # of the state's unknown; -1 for the level check; of both ends' mean that of end A
    row: Floats
    low: float | None
    high: float | None
    stretch: float
    noise: float
    per_mm: float = 0.0  # slope at an end per mm of rise and unit of shape; 0 where no shape counts
    count: Count | None = None  # as it was marked; None where several counts make one reading


@dataclass(frozen=True)
class Course:
    """A visit as rows over the unknowns: its readings, and the state as found and as left."""

    shown: tuple[Shown, ...]
    found: Floats  # (state, size)
    left: Floats  # (state, size)
    facing: tuple[int, ...]  # direction each nut was turned last: 1, -1, 0 where nobody knows
    broken: frozenset[int]  # places of the state that a doubt makes unsure


@dataclass(frozen=True)
class Before:
    """What a visit starts from: where each nut faces, and what contradicts all else.

    ``moved``: places of the state that are no longer as they were left; ``contradicted``: places
    whose counts can't all be true, of which only the count as left speaks.
    """

    facing: tuple[int, ...]
    moved: frozenset[int] = frozenset()
    contradicted: frozenset[int] = frozenset()


def course(table: Table, places: Places, visit: Visit, before: Before) -> Course:
    """Lay out a visit in the order of its walk.

    Parameters
    ----------
    table : Table
        Geometry.
    places : Places
        Order of the unknowns.
    visit : Visit
        Counts and turns. What a doubt names is left out.
    before : Before
        What the visits before it leave.

    Returns
    -------
    Course
        Readings in their order, and the state's rows at both ends.
    """
    rows = np.eye(places.size)[: places.state]
    walk = _Walk(table, places, visit, rows, list(before.facing), before.contradicted)
    walk.level_check()
    found = walk.rows.copy()
    for one in visit.passes:
        walk.make(one)
    walk.last_words()
    return Course(
        _once(walk.shown), found, walk.rows, tuple(walk.facing), walk.silent | before.moved
    )


def _once(shown: list[Shown]) -> tuple[Shown, ...]:
    """Drop a count that repeats the one before it with nothing turned between: it says nothing."""
    kept: dict[tuple[object, ...], Shown] = {}
    for one in shown:
        kept[one.place, one.row.tobytes(), one.low, one.high, len(kept) * (one.place < 0)] = one
    return tuple(kept.values())


@dataclass
class _Walk:
    """A visit on its way: rows of the state now, counts so far, where the nuts face."""

    table: Table
    places: Places
    visit: Visit
    rows: Floats
    facing: list[int]
    contradicted: frozenset[int]
    shown: list[Shown] = field(default_factory=list)
    planned: bool = False  # the pass on its way: all read first, so turned by a plan

    def make(self, one: Pass) -> None:
        """Go once along the table."""
        self.planned = order_of(one) is Walk.READ_FIRST
        if self.planned:
            self._read(one, Moment.FOUND)
            self._turn(one)
            self._read(one, Moment.LEFT)
            return
        for number, leg in enumerate(self.table.adjusted_legs()):
            self._leg(number, leg, one)
        for number in range(len(self.places.brackets)):
            self._bracket(number, one)
        self._heard_look(one.rise)
        for end in range(len(self.places.rises)):
            self._end(end, one)
        self._heard_look(one.rise_after)

    def level_check(self) -> None:
        """Read the level check: turned end for end it shows slope + zero and slope − zero."""
        check = self.visit.level_check
        if check is None:
            return
        for count, sign in zip(check, (1.0, -1.0), strict=True):
            row = np.zeros(self.places.size)
            row[self.places.spot], row[self.places.zero] = 1.0, sign
            self._show(_LEVEL_CHECK, row, slope_reading(self.visit.kit, count), self._bubble())

    @cached_property
    def silent(self) -> frozenset[int]:
        """Name places of the state whose marks wait for a person, or contradict all else."""
        named = self._stations()
        waiting = (place for place, key in named.items() if doubts_of(self.visit, *key))
        return self.contradicted.union(waiting)

    def last_words(self) -> None:
        """Let a count as left speak for a silent station where nothing later contradicts it."""
        for place, (quantity, name) in self._stations().items():
            counts = counts_at(self.visit, quantity, name, Moment.LEFT)
            if place in self.silent and not isinstance(counts, Gap):
                for count, way in zip(counts, (1.0, -1.0), strict=False):
                    self._count(place, count, way)
        if not self._ends_speak():
            self._look(rise_counts(self.visit, Moment.LEFT))

    def _stations(self) -> dict[int, tuple[Quantity, str]]:
        places = self.places
        legs = {places.slope(n): (Quantity.CROSS, name) for n, name in enumerate(places.legs)}
        ends = {places.rise(n): (Quantity.RISE, name) for n, name in enumerate(places.rises)}
        nuts = {places.hollow(n): (Quantity.HOLLOW, name) for n, name in enumerate(places.brackets)}
        return legs | ends | nuts

    def _read(self, one: Pass, moment: Moment) -> None:
        """Read all stations of a pass, before or after all its turns."""
        found = moment is Moment.FOUND
        for place, (quantity, name) in self._stations().items():
            row = row_of(one, quantity, name)
            if row is not None:
                self._heard(place, row.found if found else row.after)
                self._heard(place, row.found_round if found else row.after_round, -1.0)
        self._heard_look(one.rise if found else one.rise_after)

    def _turn(self, one: Pass) -> None:
        for number, leg in enumerate(self.table.adjusted_legs()):
            if leg.name in one.legs:
                self._feet(number, leg, one.legs[leg.name])
        for number, name in enumerate(self.places.brackets):
            if name in one.brackets:
                self._nut(number, one.brackets[name])
        for end in range(len(self.places.rises)):
            self._lift_end(end, one)

    def _leg(self, number: int, leg: Leg, one: Pass) -> None:
        row = one.legs.get(leg.name)
        if row is not None:
            place = self.places.slope(number)
            self._heard(place, row.found)
            self._heard(place, row.found_turned, -1.0)
            self._feet(number, leg, row)
            self._heard(place, row.after)
            self._heard(place, row.after_turned, -1.0)

    def _bracket(self, number: int, one: Pass) -> None:
        row = one.brackets.get(self.places.brackets[number])
        if row is not None:
            self._heard(self.places.hollow(number), row.found)
            self._nut(number, row)
            self._heard(self.places.hollow(number), row.after)

    def _end(self, end: int, one: Pass) -> None:
        name, place = self.places.rises[end], self.places.rise(end)
        self._heard(place, one.rise.get(name))
        self._lift_end(end, one)
        self._heard(place, one.rise_after.get(name))

    def _feet(self, number: int, leg: Leg, row: LegPass) -> None:
        left, right = row.turns_left or 0, row.turns_right or 0
        foot = self.places.foot(number)
        self.rows[self.places.slope(number), foot] += (left - right) * 1000 / leg.foot_spacing_mm
        self._lift(number, leg, (left + right) / 2)

    def _lift_end(self, end: int, one: Pass) -> None:
        quarters = one.rise_turns.get(self.places.rises[end], 0)
        leg = (end_legs(self.table) or ())[end]
        self._lift(self.places.legs.index(leg.name), leg, quarters)

    def _lift(self, number: int, leg: Leg, quarters: float) -> None:
        """Raise a leg: its end rises, or both ends fall against the middle."""
        foot, ends = self.places.foot(number), end_legs(self.table)
        if ends is None:
            return
        for end, at in enumerate(ends):
            share = -1.0 if leg.role is Role.CENTRE else float(at.name == leg.name)
            self.rows[self.places.rise(end), foot] += share * quarters

    def _nut(self, number: int, row: BracketPass) -> None:
        turns = (row.turns or 0) * self.visit.nuts_by.quarters
        if not turns:
            return
        places, way = self.places, 1 if turns > 0 else -1
        loss = way * _share_lost(self.facing[number], way, planned=self.planned)
        own = self.rows[places.hollow(number)]
        own[places.nut(number)] += turns
        own[places.lost(number)] -= loss
        for (moved, turned), place in places.pairs.items():
            if turned == number:
                self.rows[places.hollow(moved), place] += turns
                self.rows[places.hollow(moved), places.lost(number)] -= loss * NEIGHBOUR_SHARE
        self.facing[number] = 1 if way > 0 or self.planned else 0

    def _heard(self, place: int, count: Count | None, way: float = 1.0) -> None:
        if count is not None and place not in self.silent:
            before = len(self.shown)
            self._count(place, count, way)
            self.shown[before:] = [replace(one, count=count) for one in self.shown[before:]]

    def _heard_look(self, counts: Mapping[str, Count]) -> None:
        if self._ends_speak():
            self._look(counts)

    def _ends_speak(self) -> bool:
        return self.silent.isdisjoint(map(self.places.rise, range(len(self.places.rises))))

    def _count(self, place: int, count: Count, way: float) -> None:
        """Turn a count into what the level showed of the state as it is now.

        ``way`` is 1 with the marked end of the level left, -1 with the level turned round.
        """
        places, kit = self.places, self.visit.kit
        row = self.rows[place].copy()
        if place >= places.hollow(0):
            width = self.table.board.width_mm
            row[places.bow] = bow_factor(kit, width)
            noise = math.hypot(TOUCH_U_MM, kit.feeler_u_mm)
            self._show(place, row, hollow_reading(kit, width, count), noise)
        elif place >= places.rise(0):
            end = place - places.rise(0)
            self._rise_count(end, count)
        else:
            row[places.zero] = 0.0 if read_both_ways(self.visit) else way
            self._show(place, row, slope_reading(kit, count), self._bubble())

    def _rise_count(self, end: int, count: Count) -> None:
        """Turn a count of one end; what is read of both in one look is left to ``_look``."""
        places, kit, span = self.places, self.visit.kit, spans_mm(self.table)[end]
        if kit.rise_by is RiseBy.STEPS:
            self._rise(end, step_reading(kit, span, end, count))
        elif kit.rise_by is RiseBy.LEVEL:
            row = self.rows[places.rise(end)].copy()
            row[places.zero] = 1.0 if end == 0 else -1.0
            noise = max(BUBBLE_U_MM_PER_M, centred_u_mm_per_m(kit))
            self._show(places.rise(end), row, card_slope_reading(kit, count), noise, 1000 / span)

    def _look(self, counts: Mapping[str, Count]) -> None:
        """Take what a line or a laser says of both ends in one look."""
        kit = self.visit.kit
        if kit.rise_by in (RiseBy.LINE, RiseBy.LASER) and self.places.rises:
            read = rise_readings(kit, spans_mm(self.table), counts)
            for number, one in enumerate(read):
                self._rise(number, one)

    def _rise(self, number: int, one: RiseReading) -> None:
        places = self.places
        ends = (self.rows[places.rise(end)] for end in (0, 1))
        row = np.asarray(sum(share * end for share, end in zip(one.shares, ends, strict=True)))
        row[places.zero], row[places.line] = one.per_zero, one.per_line
        self.shown.append(
            Shown(places.rise(number), row, one.low, one.high, one.stretch, one.noise)
        )

    def _show(
        self, place: int, row: Floats, reading: Reading, noise: float, per_mm: float = 0.0
    ) -> None:
        self.shown.append(
            Shown(place, row, reading.low, reading.high, reading.stretch, noise, per_mm)
        )

    def _bubble(self) -> float:
        return max(BUBBLE_U_MM_PER_M, bubble_u_mm_per_m(self.visit.kit))


def order_of(one: Pass) -> Walk:
    """Tell how a pass was made, from its rows where it does not say.

    Who goes station by station writes "after" beside turns, and nowhere else. So a count after
    where nothing was turned, or turns and no count after anywhere, were read in a walk of their
    own.
    """
    if one.walk is not None:
        return one.walk
    legs = [(bool(r.turns_left or r.turns_right), r.after is not None) for r in one.legs.values()]
    nuts = [(bool(row.turns), row.after is not None) for row in one.brackets.values()]
    rows = legs + nuts
    again = any(after and not turned for turned, after in rows)
    blind = any(turned for turned, _ in rows) and not any(after for _, after in rows)
    return Walk.READ_FIRST if again or blind else Walk.STATION_BY_STATION


def _share_lost(facing: int, way: int, *, planned: bool) -> float:
    """Give how much of a reversal's lost motion a turn may have met.

    A plan has a nut go back beyond its place and forward again: one that faced forward loses
    nothing, one that faced back goes further by its lost motion. Of a nut that was turned by a
    look-up nobody knows.
    """
    unsure = 0.0 if facing > 0 else 0.5
    if way > 0:
        return unsure
    return -unsure if planned else 0.5
