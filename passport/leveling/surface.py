"""The state of a table: one value per station, with what all readings of the visit share."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from passport.leveling.advice import Quantity
from passport.leveling.common import CommonErrors, common_errors
from passport.leveling.lookup import capped_rise
from passport.leveling.readings import (
    ROOT_3,
    Reading,
    bubble_u_mm_per_m,
    hollow_reading,
    rise_reading,
    rise_shape_u,
    slope_reading,
)
from passport.leveling.response import foot_prior
from passport.leveling.spread import Spread
from passport.leveling.supports import end_spans_mm
from passport.leveling.walks import Gap, Moment, count_at, first_leg_row
from passport.table import Kit, Table, Target
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
    low, high : float or None
        Ends of the interval; None on the open side, both None with a gap.
    half : float
        Half width of the rectangular part.
    normal : float
        Standard uncertainty of its own besides.
    shared : tuple of float
        Standard deviations from level zero, cards, bow and the board's shape, with their signs:
        the same four unknowns in every estimate of a visit.
    """

    station: Station
    counts: tuple[Count, ...] = ()
    gap: Gap | None = None
    low: float | None = None
    high: float | None = None
    half: float = 0.0
    normal: float = 0.0
    shared: tuple[float, ...] = (0.0, 0.0, 0.0, 0.0)

    @property
    def value(self) -> float | None:
        """Middle of the interval; None for a gap or a bound."""
        if self.low is None or self.high is None:
            return None
        return (self.low + self.high) / 2

    @property
    def spread(self) -> Spread | None:
        """How the value may lie, shared errors included."""
        if self.value is None:
            return None
        return Spread(self.value, self.half, math.hypot(self.normal, *self.shared))


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
    """Estimate every station from the counts of a visit.

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
    seen = _Seen(visit, moment, common_errors(visit))
    return tuple(_estimate(table, seen, station) for station in stations(table))


def covariance(found: Sequence[Estimate]) -> NDArray[np.float64]:
    """Give the covariance of estimates of one visit.

    Parameters
    ----------
    found : sequence of Estimate
        N estimates with a value.

    Returns
    -------
    ndarray of shape (N, N)
        Own variances on the diagonal, shared unknowns everywhere. [unit²]
    """
    columns = np.array([estimate.shared for estimate in found], dtype=np.float64)  # (N, 4)
    own = np.diag([estimate.half**2 / 3 + estimate.normal**2 for estimate in found])
    return np.asarray(own + columns @ columns.T, dtype=np.float64)


def estimate_rise(
    table: Table, kit: Kit, station: Station, counts: tuple[Count, Count]
) -> Estimate:
    """Estimate the mean end rise from a count at each end; the level's zero cancels in it."""
    spans = end_spans_mm(table) or (table.board.length_mm / 2,) * 2
    pair = [rise_reading(kit, span, count) for span, count in zip(spans, counts, strict=True)]
    low = _mean([reading.low for reading in pair])
    high = _mean([reading.high for reading in pair])
    known = [end for end in (low, high) if end is not None]
    middle = sum(known) / len(known) if known else 0.0
    card = sum(reading.per_card for reading in pair) / 2 * kit.card_u_mm
    shape = rise_shape_u(kit, sum(spans) / 2) * middle
    own = math.hypot(*(reading.own_u for reading in pair)) / 2
    return Estimate(station, counts, None, low, high, 0.0, own, (0.0, card, 0.0, shape))


@dataclass(frozen=True)
class _Seen:
    """A visit at one moment, and what its readings share."""

    visit: Visit
    moment: Moment
    shared: CommonErrors


def _estimate(table: Table, seen: _Seen, station: Station) -> Estimate:
    if station.quantity is Quantity.RISE:
        return _rise(table, seen, station)
    count = count_at(seen.visit, station.quantity, station.name, seen.moment)
    if isinstance(count, Gap):
        return Estimate(station, gap=count)
    plain = _estimate_count(table, seen, station, count)
    if count.bound and station.quantity is Quantity.CROSS and seen.moment is Moment.FOUND:
        return _turned_to_centre(table, seen, plain) or plain
    return plain


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
    zero = (second.per_zero + first.per_zero) * common_errors(visit).zero_u
    u = math.hypot(first.own_u, second.own_u, card, zero) / length_m
    return Spread(((second.value or 0.0) - (first.value or 0.0)) / length_m, 0.0, u)


def _turned_to_centre(table: Table, seen: _Seen, bound: Estimate) -> Estimate | None:
    """Read "more" by the turns that centred the bubble: they, and the count after, are the value.

    None where the turns, the count after or the thread is missing, or where they contradict the
    side that was low.
    """
    leg = next(leg for leg in table.legs if leg.name == bound.station.name)
    row = first_leg_row(seen.visit, leg.name)
    prior = foot_prior(leg)
    if row is None or row.after is None or row.after.bound or prior is None:
        return None
    quarters = (row.turns_right or 0) - (row.turns_left or 0)
    if quarters * bound.counts[0].cards <= 0:
        return None
    shift = quarters * prior.mm / leg.foot_spacing_mm * 1000
    after = _estimate_count(table, seen, bound.station, row.after)
    return replace(
        after,
        counts=bound.counts,
        low=None if after.low is None else after.low + shift,
        high=None if after.high is None else after.high + shift,
        normal=math.hypot(after.normal, shift * prior.log_u),
    )


def _rise(table: Table, seen: _Seen, station: Station) -> Estimate:
    first, second = (count_at(seen.visit, Quantity.RISE, end, seen.moment) for end in ENDS)
    if isinstance(first, Gap):
        return Estimate(station, gap=first)
    if isinstance(second, Gap):
        return Estimate(station, gap=second)
    return estimate_rise(table, seen.visit.kit, station, (first, second))


def _estimate_count(table: Table, seen: _Seen, station: Station, count: Count) -> Estimate:
    """Estimate a leg's cross level or a bracket's hollow from one count."""
    if station.quantity is Quantity.CROSS:
        reading = slope_reading(seen.visit.kit, count)
        bubble = bubble_u_mm_per_m(seen.visit.kit)
    else:
        reading = hollow_reading(seen.visit.kit, table.board.width_mm, count)
        bubble = 0.0
    return _from_reading(station, reading, bubble, seen.shared, count)


def _from_reading(
    station: Station, reading: Reading, bubble: float, shared: CommonErrors, count: Count
) -> Estimate:
    shift = shared.correct(reading)
    step = math.sqrt(max(0.0, reading.own_u**2 - bubble**2)) * ROOT_3
    return Estimate(
        station,
        (count,),
        None,
        None if reading.low is None else reading.low + shift,
        None if reading.high is None else reading.high + shift,
        0.0 if count.bound else step,
        bubble,
        (*shared.column(reading), 0.0),
    )


def _mean(ends: list[float | None]) -> float | None:
    known = [end for end in ends if end is not None]
    return sum(known) / len(known) if len(known) == len(ends) else None
