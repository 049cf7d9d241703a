"""The board's surface as a relief: heights over a grid, contours, fall lines, best plane and line.

Heights are those of the surface over its own middle, against gravity. Between stations: cross slope
runs straight (a board twists evenly between the legs that hold it), so does the hollow; along the
board its centre line has the shape that the readings at its ends are taken for.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from contourpy import contour_generator
from scipy.interpolate import RegularGridInterpolator

from passport.leveling.flatness import Flatness, Floats, least_squares, minimum_zone
from passport.leveling.posterior.filter import Known, known_at
from passport.leveling.posterior.places import places_of
from passport.leveling.posterior.prior import fresh
from passport.leveling.readings import BENT_SHARE
from passport.leveling.supports import end_legs
from passport.table import Table
from passport.visit import Visit

ALONG, ACROSS = 89, 21  # points of the grid
MOST_CONTOURS = 14
_STEPS = (1.0, 2.0, 5.0)
_INCH_MM = 25.4
_FINEST = {"imperial": 0.001 * _INCH_MM, "metric": 0.01}  # [mm] between contours
LEVEL_ENOUGH = 0.15  # [mm/m] where a fall line ends: below this nothing rolls or is seen
_STRIDE = 8.0  # [mm] of a fall line
_CLEAR = 0.25  # of a step: a contour this close above the lowest spot says nothing
_LEARNT_LITTLE = 0.98  # of what common practice leaves unsure


@dataclass(frozen=True)
class Contour:
    """Points of one height: (P, 2) of x and y [mm], and the height [mm]."""

    height: float
    points: Floats


@dataclass(frozen=True)
class Relief:
    """The surface after the last visit.

    Attributes
    ----------
    x : ndarray of shape (M,)
        From end A. [mm]
    y : ndarray of shape (K,)
        From the centre line to the left. [mm]
    heights, u : ndarray of shape (K, M)
        Above the surface's middle, and the standard uncertainty of that. Where no feet raise the
        ends nothing is read along the board: its centre line is taken as level. [mm]
    step : float
        Between contours. [mm]
    contours : tuple of Contour
        Heights that are whole multiples of the step.
    fall_lines : tuple of ndarray of shape (P, 2)
        Steepest ways down, x and y of each point in their order. [mm]
    plane, zone : Flatness
        Departures (K · M,) of the surface from its best plane: by least squares, with their
        uncertainties, and by the minimum zone.
    line : Flatness
        Departures (M,) of the centre line from its best straight line, by least squares.
    unread : tuple of str
        Stations of which no reading tells: there the relief is what common practice expects.
    """

    x: Floats
    y: Floats
    heights: Floats
    u: Floats
    step: float
    contours: tuple[Contour, ...]
    fall_lines: tuple[Floats, ...]
    plane: Flatness
    zone: Flatness
    line: Flatness
    unread: tuple[str, ...]


def relief(table: Table, visits: Sequence[Visit]) -> Relief | None:
    """Lay the surface out as the last visit left it, from all readings together.

    Parameters
    ----------
    table : Table
        Geometry and targets.
    visits : sequence of Visit
        Oldest first.

    Returns
    -------
    Relief or None
        None without a visit.
    """
    return _laid_out(table, known_at(table, visits)) if visits else None


def _laid_out(table: Table, known: Known) -> Relief:
    length, half = table.board.length_mm, table.board.width_mm / 2
    x, y = np.linspace(0, length, ALONG), np.linspace(-half, half, ACROSS)
    weights = surface_weights(table, x, y)  # (K, M, state)
    state = known.state(known.course.left)
    heights = weights @ state.mean
    flat = weights.reshape(-1, state.mean.size)
    covariance = flat @ state.covariance @ flat.T
    spots = [np.tile(x, ACROSS), np.repeat(y, ALONG)]
    middle = slice(ACROSS // 2 * ALONG, (ACROSS // 2 + 1) * ALONG)
    step = contour_step(float(np.ptp(heights)), table.units)
    return Relief(
        x,
        y,
        heights,
        np.sqrt(np.maximum(np.diag(covariance), 0.0)).reshape(heights.shape),
        step,
        contours(x, y, heights, step),
        fall_lines(x, y, heights),
        least_squares(spots, heights.ravel(), covariance),
        minimum_zone(spots, heights.ravel()),
        least_squares([x], heights.ravel()[middle], covariance[middle, middle]),
        _unread(table, known),
    )


def surface_weights(table: Table, x: Floats, y: Floats) -> Floats:
    """Give the height at each spot as a sum over the state: cross slopes, rises, hollows.

    Parameters
    ----------
    table : Table
        Where stations are.
    x, y : ndarray of shape (M,), (K,)
        Along from end A, across from the centre line to the left. [mm]

    Returns
    -------
    ndarray of shape (K, M, state)
        Height [mm] per mm/m of cross slope, per mm of rise, per mm of hollow.
    """
    legs, brackets = table.adjusted_legs(), table.brackets
    slopes = _between([leg.x_mm for leg in legs], x)  # (M, legs)
    hollows = _between([bracket.x_mm for bracket in brackets], x)
    across = y[:, None, None]
    parts = [
        across / 1000 * slopes,
        np.broadcast_to(_rises(table, x), (y.size, *_rises(table, x).shape)),
        (2 * across / table.board.width_mm) ** 2 * hollows,
    ]
    return np.concatenate(parts, axis=2)


def _between(places: Sequence[float], x: Floats) -> Floats:
    """Straight from place to place, even beyond the outermost: (M, places)."""
    own = [np.interp(x, places, row) for row in np.eye(len(places))]
    return np.array(own, dtype=np.float64).reshape(len(places), x.size).T


def _rises(table: Table, x: Floats) -> Floats:
    """Shape of the centre line for each end's rise, (M, 2): near a V, a little like a bent board.

    Nothing where no feet raise the ends: (M, 0).
    """
    ends = end_legs(table)
    if ends is None:
        return np.zeros((x.size, 0))
    middle = table.board.length_mm / 2
    spans = [middle - ends[0].x_mm, ends[1].x_mm - middle]
    shares = [
        np.maximum(0.0, way * (x - middle)) / s for way, s in zip((-1, 1), spans, strict=True)
    ]
    return np.column_stack([_risen(share) for share in shares])


def _risen(share: Floats) -> Floats:
    """Height per mm of rise at a share of the span; beyond the leg it goes on straight."""
    inner = np.minimum(share, 1.0)
    bent = (3 * inner**2 - inner**3) / 2 + 1.5 * (share - inner)
    return np.asarray((1 - BENT_SHARE) * share + BENT_SHARE * bent, dtype=np.float64)


def contour_step(height_mm: float, units: str) -> float:
    """Choose the step between contours, in mm: a round one that leaves few enough lines to read.

    Heights beyond any board get one step.
    """
    finest: float = _FINEST[units]
    rungs: Iterator[float] = (finest * step * 10.0**power for power in range(6) for step in _STEPS)
    return next((rung for rung in rungs if height_mm / rung <= MOST_CONTOURS), height_mm)


def contours(x: Floats, y: Floats, heights: Floats, step: float) -> tuple[Contour, ...]:
    """Trace the lines of equal height.

    Parameters
    ----------
    x, y : ndarray of shape (M,), (K,)
        Of the grid. [mm]
    heights : ndarray of shape (K, M)
        On the grid. [mm]
    step : float
        Between lines. [mm]
    """
    trace = contour_generator(x, y, heights)
    first, last = np.ceil(heights.min() / step + _CLEAR), np.floor(heights.max() / step)
    levels = step * np.arange(first, last + 1)
    return tuple(
        Contour(float(level), np.asarray(points, dtype=np.float64))
        for level in levels
        for points in trace.lines(float(level))
    )


def fall_lines(x: Floats, y: Floats, heights: Floats) -> tuple[Floats, ...]:
    """Follow the steepest way down from spots near both edges and on the centre line.

    Parameters as of ``contours``. A line ends at the board's edge, where it is level enough, or
    after the board's width.
    """
    slopes = [np.gradient(heights, y, axis=0), np.gradient(heights, x, axis=1)]
    gradient = np.stack(slopes, axis=2)  # (K, M, 2)
    steepness = RegularGridInterpolator((y, x), gradient)
    spots = np.array([(q, p) for p in _seeds(x, 12) for q in (0.85 * y[0], 0.0, 0.85 * y[-1])])
    ways, alive = [spots], np.ones(len(spots), dtype=bool)
    ends = np.zeros(len(spots), dtype=int)
    for _ in range(int(np.ptp(y) / _STRIDE)):
        down = -steepness(ways[-1])
        steep = np.linalg.norm(down, axis=1)
        after = ways[-1] + _STRIDE * down / np.maximum(steep, 1e-12)[:, None]
        inside = (np.abs(after[:, 0]) <= y[-1]) & (after[:, 1] >= x[0]) & (after[:, 1] <= x[-1])
        alive &= inside & (steep * 1000 >= LEVEL_ENOUGH)
        ends += alive
        ways.append(np.where(alive[:, None], after, ways[-1]))
    whole = np.array(ways)[:, :, ::-1]  # (steps, spots, 2): x, y
    return tuple(whole[: end + 1, number] for number, end in enumerate(ends) if end > 1)


def _seeds(x: Floats, count: int) -> Floats:
    gap = (x[-1] - x[0]) / count
    return np.asarray(x[0] + gap * (np.arange(count) + 0.5), dtype=np.float64)


def _unread(table: Table, known: Known) -> tuple[str, ...]:
    """List the stations that are as unsure as before any visit."""
    places = places_of(table)
    names = (*places.legs, *(f"end {end}" for end in places.rises), *places.brackets)
    now = np.diag(known.state(known.course.left).covariance)
    first = np.diag(fresh(table, places).covariance)[: places.state]
    unsure = now >= _LEARNT_LITTLE**2 * first
    return tuple(name for name, one in zip(names, unsure, strict=True) if one)
