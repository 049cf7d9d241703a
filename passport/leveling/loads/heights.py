"""What a visit says of the feet: their heights from the rise of the ends and the cross levels."""

import math
from dataclasses import dataclass

import numpy as np

from passport.leveling.advice import Quantity
from passport.leveling.common import common_errors
from passport.leveling.loads.moments import Array
from passport.leveling.readings import rise_reading, rise_shape_u
from passport.leveling.rises import Spans, rises_read
from passport.leveling.shots.levels import cross_levels
from passport.leveling.supports import end_spans_mm
from passport.leveling.walks import Moment, count_at, rise_counts
from passport.table import Leg, RiseBy, Role, Table
from passport.visit import Count, Visit

ENDS = ("A", "B")
# Where nothing was measured and no target says more; common practice, no source.
UNMEASURED_RISE_U_MM = 0.5
UNMEASURED_CROSS_U_MM_PER_M = 0.8


@dataclass(frozen=True)
class FootHeights:
    """Heights of the feet of N legs, from end A.

    Attributes
    ----------
    middle_mm, middle_u_mm : ndarray of shape (N,)
        Height halfway between both feet, from the middle of the board. [mm]
    lean_mm, lean_u_mm : ndarray of shape (N,)
        Left foot minus right foot. [mm]
    slack : ndarray of bool, shape (2, N)
        Feet that the visit marks as slack, left and right.
    assumed : tuple of str
        What was not measured.
    """

    middle_mm: Array
    middle_u_mm: Array
    lean_mm: Array
    lean_u_mm: Array
    slack: np.typing.NDArray[np.bool_]
    assumed: tuple[str, ...] = ()


def legs_from_a(table: Table) -> tuple[Leg, ...]:
    """List the legs in their order from end A."""
    return tuple(sorted(table.legs, key=lambda leg: leg.x_mm))


def foot_heights(table: Table, visit: Visit | None) -> FootHeights:
    """Read the feet's heights out of a visit, as left.

    Supporting legs lie on the straight line between their neighbours: nobody measures them.

    Parameters
    ----------
    table : Table
        Legs and targets.
    visit : Visit or None
        The visit; without one the targets are taken, with their tolerances.

    Returns
    -------
    FootHeights
        Heights with standard uncertainties.
    """
    legs = legs_from_a(table)
    rises, assumed = _rises(table, visit)
    known = [(leg, *_height(leg, rises)) for leg in legs if leg.role is not Role.SUPPORTING]
    leans, unread = _leans(table, visit)
    return FootHeights(
        *_along(legs, known),
        *_along(legs, leans),
        np.array([_marked(visit, leg) for leg in legs], dtype=np.bool_).reshape(-1, 2).T,
        (*assumed, *unread),
    )


def _height(leg: Leg, rises: dict[str, tuple[float, float]]) -> tuple[float, float]:
    return rises.get(leg.name, (0.0, 0.0))


def _rises(
    table: Table, visit: Visit | None
) -> tuple[dict[str, tuple[float, float]], tuple[str, ...]]:
    """Give height and uncertainty of the end legs, in mm; a table on two legs has none."""
    spans = end_spans_mm(table)
    if spans is None:
        return {}, ()
    ends = [leg for leg in legs_from_a(table) if leg.role is Role.END]
    rises, assumed = {}, []
    for leg, end in zip(ends, ENDS, strict=True):
        read = _read_rise(visit, end, spans)
        rises[leg.name] = read or _wanted_rise(table)
        assumed += [] if read else [f"rise of end {end} not measured"]
    return rises, tuple(assumed)


def _read_rise(visit: Visit | None, end: str, spans: Spans) -> tuple[float, float] | None:
    """Give the rise of an end and its standard uncertainty; None without a closed count."""
    if visit is not None and visit.kit.rise_by is not RiseBy.LEVEL:
        return _rise_otherwise(visit, ENDS.index(end), spans)
    span_mm = spans[ENDS.index(end)]
    count = count_at(visit, Quantity.RISE, end, Moment.LEFT) if visit else None
    if visit is None or not isinstance(count, Count) or count.bound or span_mm <= 0:
        return None
    reading = rise_reading(visit.kit, span_mm, count)
    shared, way = common_errors(visit), 1 if end == ENDS[0] else -1  # marked end toward A
    value = (reading.value or 0.0) + way * reading.per_zero * shared.zero_mm_per_m
    shape = rise_shape_u(visit.kit, span_mm) * value
    return value, math.hypot(reading.own_u, shape, *shared.column(reading))


def _rise_otherwise(visit: Visit, end: int, spans: Spans) -> tuple[float, float] | None:
    """Give an end's rise by steps, a line or a laser; of a line both ends are taken as alike."""
    shared, counts = common_errors(visit), rise_counts(visit, Moment.LEFT)
    read = rises_read(visit.kit, spans, counts, (shared.zero_mm_per_m, shared.zero_u))
    if read is None:
        return None
    apart, apart_u = read.apart or (0.0, 2 * UNMEASURED_RISE_U_MM)
    value = read.mean[0] + (apart / 2 if end == 0 else -apart / 2)
    return value, math.hypot(read.mean[1], apart_u / 2)


def _wanted_rise(table: Table) -> tuple[float, float]:
    target = table.targets.rise_mm
    if target is None:
        return 0.0, UNMEASURED_RISE_U_MM
    return target.value, max(target.tolerance, UNMEASURED_RISE_U_MM)


def _leans(
    table: Table, visit: Visit | None
) -> tuple[list[tuple[Leg, float, float]], tuple[str, ...]]:
    """Give left minus right foot of the adjusted legs, in mm, by their cross levels."""
    read = cross_levels(table, visit, Moment.LEFT) if visit else ()
    found = {level.station: (level.value, level.u) for level in read}
    leans, unread = [], []
    for leg in (leg for leg in legs_from_a(table) if leg.role is not Role.SUPPORTING):
        per_slope = leg.foot_spacing_mm / 1000
        value, u = found.get(leg.name, (0.0, UNMEASURED_CROSS_U_MM_PER_M))
        leans.append((leg, value * per_slope, u * per_slope))
        unread += [] if leg.name in found else [leg.name]
    words = f"cross level at {', '.join(unread)} not measured"
    return leans, (words,) if unread else ()


def _along(legs: tuple[Leg, ...], known: list[tuple[Leg, float, float]]) -> tuple[Array, Array]:
    """Lay values known at some legs along all of them."""
    at = np.array([leg.x_mm for leg in legs])
    if not known:
        return np.zeros(len(legs)), np.full(len(legs), UNMEASURED_RISE_U_MM)
    x = [leg.x_mm for leg, _, _ in known]
    values = np.interp(at, x, [value for _, value, _ in known])
    return values, np.interp(at, x, [u for _, _, u in known])


def _marked(visit: Visit | None, leg: Leg) -> tuple[bool, bool]:
    """Say which feet the last pass that names them marks as slack."""
    rows = [walk.legs[leg.name] for walk in visit.passes if leg.name in walk.legs] if visit else []
    left = [row.bears_left for row in rows if row.bears_left is not None]
    right = [row.bears_right for row in rows if row.bears_right is not None]
    return bool(left and not left[-1]), bool(right and not right[-1])
