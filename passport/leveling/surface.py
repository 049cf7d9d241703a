"""The state of a table: one value per station, with what all readings of the visit share."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from passport.leveling.advice import Quantity
from passport.leveling.common import common_errors, read_both_ways
from passport.leveling.lookup import capped_rise
from passport.leveling.posterior.filter import Known, known_at
from passport.leveling.readings import (
    Reading,
    bubble_u_mm_per_m,
    cross_reading,
    hollow_reading,
    rise_reading,
)
from passport.leveling.rises import PLACES, Spans, rises_read
from passport.leveling.spread import Spread
from passport.leveling.supports import end_spans_mm
from passport.leveling.walks import Gap, Moment, count_at, counts_at, first_leg_row, rise_counts
from passport.table import Kit, RiseBy, Table, Target
from passport.visit import Count, Visit

ENDS = ("A", "B")


@dataclass(frozen=True)
class Station:
    """A place where something is measured and judged; x in mm from end A."""

    name: str
    x_mm: float
    quantity: Quantity
    target: Target


@dataclass(frozen=True)
class Estimate:
    """What the last visit says of a station, in mm or mm/m.

    Attributes
    ----------
    station : Station
        Where, what, target.
    counts : tuple of Count
        The counts it rests on; empty when there is a gap.
    gap : Gap or None
        Why there is no value.
    spread : Spread or None
        How the value may lie, by all that is known; None with a gap or a bound.
    low, high : float or None
        What a bound says: its one known end.
    normal : float
        Standard uncertainty of that end.
    reversed_already : bool
        Read both ways round, so that the level's zero cancels.
    factors : tuple of float
        Standard deviations from independent unknowns: the same ones in all estimates of one call.
    kit : Kit or None
        What the counts were taken with.
    """

    station: Station
    counts: tuple[Count, ...] = ()
    gap: Gap | None = None
    spread: Spread | None = None
    low: float | None = None
    high: float | None = None
    normal: float = 0.0
    reversed_already: bool = False
    factors: tuple[float, ...] = field(default=(), repr=False)
    kit: Kit | None = None

    @property
    def value(self) -> float | None:
        """Best value; None for a gap or a bound."""
        return None if self.spread is None else self.spread.value


def stations(table: Table) -> tuple[Station, ...]:
    """List what is judged at a table: legs that leveling turns, brackets, the rise of the ends."""
    targets, rise = table.targets, capped_rise(table)
    legs = tuple(
        Station(leg.name, leg.x_mm, Quantity.CROSS, targets.cross_mm_per_m)
        for leg in table.adjusted_legs()
    )
    brackets = tuple(
        Station(bracket.name, bracket.x_mm, Quantity.HOLLOW, targets.hollow_mm)
        for bracket in table.brackets
    )
    middle = table.board.length_mm / 2
    ends = () if rise is None else (Station("ends", middle, Quantity.RISE, rise),)
    return legs + brackets + ends


def estimates(table: Table, visit: Visit | None, moment: Moment) -> tuple[Estimate, ...]:
    """Estimate every station from the counts of one visit, without those before it.

    Parameters
    ----------
    table : Table
        Geometry and targets.
    visit : Visit or None
        The visit; None leaves every station without a value.
    moment : Moment
        As found or as left.

    Returns
    -------
    tuple of Estimate
        One per station, in the order of ``stations``.
    """
    if visit is None:
        return tuple(Estimate(station, gap=Gap.NOT_MEASURED) for station in stations(table))
    return estimates_of(table, visit, known_at(table, (visit,)), moment)


def estimates_of(table: Table, visit: Visit, known: Known, moment: Moment) -> tuple[Estimate, ...]:
    """Estimate every station at a visit from what is known of it; see ``estimates``."""
    seen = _Seen(table, visit, known, moment)
    return tuple(seen.estimate(station) for station in stations(table))


def covariance(found: Sequence[Estimate]) -> NDArray[np.float64]:
    """Give the covariance of estimates of one visit.

    Parameters
    ----------
    found : sequence of Estimate
        N estimates with a value, of one call.

    Returns
    -------
    ndarray of shape (N, N)
        All unknowns that they share included. [unit²]
    """
    rows = np.array([estimate.factors for estimate in found], dtype=np.float64)
    return np.asarray(rows @ rows.T, dtype=np.float64)


@dataclass(frozen=True)
class _Seen:
    """A visit at one moment, and what is known of it."""

    table: Table
    visit: Visit
    known: Known
    moment: Moment

    def estimate(self, station: Station) -> Estimate:
        """Estimate one station; a bound has no value unless turns led to one."""
        rise = station.quantity is Quantity.RISE
        named = PLACES[self.visit.kit.rise_by] if rise else (station.name,)
        counts: list[Count] = []
        for name in named:
            read = counts_at(self.visit, station.quantity, name, self.moment)
            if isinstance(read, Gap):
                return Estimate(station, gap=read)
            counts += read
        if any(count.bound for count in counts) and not self._centred(station, counts):
            return self._bound(station, tuple(counts))
        return Estimate(
            station,
            tuple(counts),
            spread=self._spread(station),
            reversed_already=_both_ways(self.visit, station, counts),
            factors=tuple(self._row(station) @ self.known.root),
            kit=self.visit.kit,
        )

    def _places(self, station: Station) -> list[int]:
        places = self.known.places
        if station.quantity is Quantity.CROSS:
            return [places.slope(places.legs.index(station.name))]
        if station.quantity is Quantity.HOLLOW:
            return [places.hollow(places.brackets.index(station.name))]
        return [places.rise(0), places.rise(1)]

    def _row(self, station: Station) -> NDArray[np.float64]:
        course = self.known.course
        rows = course.found if self.moment is Moment.FOUND else course.left
        return np.asarray(rows[self._places(station)].mean(axis=0), dtype=np.float64)

    def _spread(self, station: Station) -> Spread:
        """Give mean, variance, and how much of it is flat, from the count that stands last."""
        whole, row = self.known.whole, self._row(station)
        carried = row @ whole.covariance
        variance = float(carried @ row)
        flat = sum(self._flat(carried, place) for place in self._places(station))
        even = min(math.sqrt(flat / 1.2), variance)  # a rectangle's fourth cumulant is −1.2 u⁴
        return Spread(float(row @ whole.mean), math.sqrt(3 * even), math.sqrt(variance - even))

    def _flat(self, carried: NDArray[np.float64], place: int) -> float:
        """Give what the count of a place makes of the fourth cumulant, downward."""
        number, known = self._reading(place), self.known
        if number is None or known.tilted is None:
            return 0.0
        share = float(carried @ known.seen[number]) / float(known.shown_variance[number])
        return share**4 * max(0.0, -float(known.tilted.fourth[number]))

    def _reading(self, place: int) -> int | None:
        taken = [n for n, one in enumerate(self.known.course.shown) if one.place == place]
        if not taken:
            return None
        return taken[0] if self.moment is Moment.FOUND else taken[-1]

    def _centred(self, station: Station, counts: Sequence[Count]) -> bool:
        """Whether "more" was followed by turns that centred the bubble, and closed counts."""
        if station.quantity is not Quantity.CROSS or self.moment is not Moment.FOUND:
            return False
        row = first_leg_row(self.visit, station.name)
        if row is None or row.after is None or row.after.bound:
            return False
        if row.after_turned is not None and row.after_turned.bound:
            return False
        beyond = next(count.cards for count in counts if count.bound)
        return ((row.turns_right or 0) - (row.turns_left or 0)) * beyond > 0

    def _bound(self, station: Station, counts: tuple[Count, ...]) -> Estimate:
        """Say where a bound lies; what bounds share, and the bubble, make it unsure."""
        kit, shared = self.visit.kit, common_errors(self.visit)
        pair = _readings_of(self.table, kit, station, counts)
        columns = np.array([shared.column(one) for one in pair]).mean(axis=0)
        off = 0.0 if station.quantity is Quantity.RISE else shared.correct(pair[0])
        bubble = bubble_u_mm_per_m(kit) if station.quantity is Quantity.CROSS else 0.0
        return Estimate(
            station,
            counts,
            low=_mean([one.low for one in pair], off),
            high=_mean([one.high for one in pair], off),
            normal=math.hypot(*columns, bubble),
            kit=kit,
        )


def _both_ways(visit: Visit, station: Station, counts: Sequence[Count]) -> bool:
    """Whether a cross level is free of the level's zero: a pair, or as the level check asked."""
    if station.quantity is not Quantity.CROSS:
        return False
    return len(counts) > 1 or read_both_ways(visit)


def _readings_of(
    table: Table, kit: Kit, station: Station, counts: Sequence[Count]
) -> list[Reading]:
    if station.quantity is Quantity.CROSS:
        return [cross_reading(kit, counts)]
    if station.quantity is Quantity.HOLLOW:
        return [hollow_reading(kit, table.board.width_mm, count) for count in counts]
    spans = end_spans_mm(table) or (table.board.length_mm / 2,) * 2
    return [rise_reading(kit, sum(spans) / 2, count) for count in counts]


def lengthwise_tilt(table: Table, visit: Visit, moment: Moment) -> Spread | None:
    """Give (rise B − rise A) / L, in mm/m, apart from the mean end rise.

    The level's zero, which cancels in the mean, counts twice here.

    Parameters
    ----------
    table : Table
        Legs and board.
    visit : Visit
        Counts of both ends.
    moment : Moment
        As found or as left.

    Returns
    -------
    Spread or None
        Positive: end B is higher. None without closed counts at both ends of three or more legs.
    """
    spans = end_spans_mm(table)
    if visit.kit.rise_by is not RiseBy.LEVEL:
        return None if spans is None else _tilt_read(table, visit, spans, moment)
    counts = [count_at(visit, Quantity.RISE, end, moment) for end in ENDS]
    if spans is None or any(isinstance(count, Gap) or count.bound for count in counts):
        return None
    first, second = (
        rise_reading(visit.kit, span, count)
        for span, count in zip(spans, counts, strict=True)
        if isinstance(count, Count)
    )
    length_m = table.board.length_mm / 1000
    card = (second.per_card - first.per_card) * visit.kit.card_u_mm
    shared, twice = common_errors(visit), second.per_zero + first.per_zero
    u = math.hypot(first.own_u, second.own_u, card, twice * shared.zero_u) / length_m
    apart = (second.value or 0.0) - (first.value or 0.0) - twice * shared.zero_mm_per_m
    return Spread(apart / length_m, 0.0, u)


def _tilt_read(table: Table, visit: Visit, spans: Spans, moment: Moment) -> Spread | None:
    """Give the tilt of steps or a laser; a taut line says nothing of it."""
    shared = common_errors(visit)
    zero = (shared.zero_mm_per_m, shared.zero_u)
    read = rises_read(visit.kit, spans, rise_counts(visit, moment), zero)
    if read is None or read.apart is None:
        return None
    length_m = table.board.length_mm / 1000
    return Spread(-read.apart[0] / length_m, 0.0, read.apart[1] / length_m)


def _mean(ends: list[float | None], off: float) -> float | None:
    known = [end for end in ends if end is not None]
    return sum(known) / len(known) + off if len(known) == len(ends) else None
