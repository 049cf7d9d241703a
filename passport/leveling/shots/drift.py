"""Cross slope from drifts: all lanes and directions at once, the player's own curve set apart.

Unknowns: cross slope at the board's middle, its growth toward the ends (twist), the player's curve
(to the player's left, so it turns about with the direction), and what is known only so well:
hollow, friction, distance to rest. Each drift is predicted by the solved path; the answer is the
most likely one, with its covariance (JCGM 100, 5.2; Gauss and Newton's steps).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import mean

import numpy as np
from numpy.typing import NDArray
from scipy.stats import chi2

from passport.leveling.shots.friction import ENDS, Friction
from passport.leveling.shots.path import Effects, Run, effects
from passport.table import Board
from passport.visit import Shot

Array = NDArray[np.float64]

INCH_M = 0.0254  # exactly; international yard and pound agreement, 1959
BOX_U_M = INCH_M / math.sqrt(12)  # marked to the whole inch
AIM_U_RAD = math.radians(0.3)  # of one shot, at least; common practice, no source
# The middle one of three: its variance is 0.4487 of one shot's (order statistics of the normal
# distribution: 1 − √3 / π).
MIDDLE_SHARE = math.sqrt(1 - math.sqrt(3) / math.pi)
LANES = {"left": 0.25, "middle": 0.0, "right": -0.25}  # of the board's width; common practice
REACH_REL_U = 0.08  # a shot against the timed glide: nobody measures each; no source
UNTIMED_REACH, UNTIMED_REACH_REL_U = 0.75, 0.15  # of the board's length, where no glide says
TWIST_U, CURVE_U_RAD, SLOPE_U = 0.0008, math.radians(1.0), 0.05  # before any shot; no source
STEEP = 0.3  # slope over friction, above which the small-slope path is off by more than 7 %
LEAST_BOARD_MM = 50.0  # no wider than this is no board to shoot on
CHANCE = 0.05  # rarer than this is beyond chance
_STEPS = 6
_FARTHEST = 6.0  # standard uncertainties that hollow, friction or reach may be off
_CLOSE = 0.01  # of the standard uncertainties: a step this small is the last
_NAMES = ("slope", "twist", "curve", "hollow", "friction", "reach A", "reach B")


@dataclass(frozen=True)
class Value:
    """A value with its standard uncertainty."""

    value: float
    u: float


@dataclass(frozen=True)
class Row:
    """One lane and direction.

    Attributes
    ----------
    lane, from_end : str
        Which.
    seen_m, u_m : float
        Drift off the aim line, positive to the left as seen from A; the mean where repeated. [m]
    shots : int
        How many marks it rests on.
    fitted_m : float
        What slope, hollow and curve found together make of it. [m]
    """

    lane: str
    from_end: str
    seen_m: float
    u_m: float
    shots: int
    fitted_m: float = 0.0


@dataclass(frozen=True)
class Ground:
    """What the shots ran on: board, friction and hollow (positive concave). [m]."""

    board: Board
    friction: Friction
    hollow_m: Value


@dataclass(frozen=True)
class Drift:
    """What the shots say.

    Attributes
    ----------
    cross_mm_per_m : Value
        At the board's middle, positive left high.
    twist_mm_per_m : Value
        Cross slope at end B minus that at the middle.
    correlation : float
        Between both.
    curve_mm : Value
        Where the player's own curve ends, positive to the player's left. [mm at rest]
    both_ways : bool
        Shots from both ends: the curve is cancelled, not assumed.
    rows : tuple of Row
        What it rests on.
    at_odds : float
        How often chance alone makes drifts that disagree as much.
    """

    cross_mm_per_m: Value
    twist_mm_per_m: Value
    correlation: float
    curve_mm: Value
    both_ways: bool
    rows: tuple[Row, ...]
    at_odds: float


def drift(ground: Ground, shots: Sequence[Shot]) -> Drift | None:
    """Find cross slope, twist and curve from shots.

    Parameters
    ----------
    ground : Ground
        Board, friction, hollow.
    shots : sequence of Shot
        Middle ones of three; repeats of a lane and direction are averaged, and their scatter
        counts where it is more than the aim's.

    Returns
    -------
    Drift or None
        None without one closed mark in a known lane.
    """
    closed = [shot for shot in shots if _closed(ground.board, shot)]
    if not closed or not _usable(ground.board):
        return None
    prior = _prior(ground)
    rows = _rows(closed, _scatter_m(ground, prior, closed))
    best, covariance, fitted = _fit(ground, prior, rows)
    excess = _excess(prior, best, rows, fitted)
    freedom = max(1, len(rows) - 1)
    at_odds = float(chi2.sf(excess, freedom))
    if at_odds < CHANCE:
        covariance = covariance * excess / freedom
    u = np.sqrt(np.diag(covariance))
    reach = mean(best[5:])
    return Drift(
        _thousandths(best[0], u[0]),
        _thousandths(best[1], u[1]),
        float(covariance[0, 1] / (u[0] * u[1])),
        _thousandths(best[2] * reach, u[2] * reach),
        len({row.from_end for row in rows}) == len(ENDS),
        tuple(_with_fit(rows, fitted)),
        at_odds,
    )


def _closed(board: Board, shot: Shot) -> bool:
    """Say whether a mark is a value: a known lane and end, no bound, not beside the board."""
    known = shot.lane in LANES and shot.from_end in ENDS and not shot.bound
    return known and abs(shot.off_line_in) * INCH_M * 1000 <= board.width_mm


def _usable(board: Board) -> bool:
    sizes = (board.length_mm, board.width_mm)
    return all(math.isfinite(size) and size > LEAST_BOARD_MM for size in sizes)


def _thousandths(value: float, u: float) -> Value:
    """Turn metres per metre, or metres, into mm/m, or mm."""
    return Value(float(value) * 1000, float(u) * 1000)


def _prior(ground: Ground) -> Array:
    """Give what is known before any shot: (7, 2) values and standard uncertainties."""
    reaches = {end: _reach(ground, end) for end in ENDS}
    return np.array(
        [
            (0.0, SLOPE_U),
            (0.0, TWIST_U),
            (0.0, CURVE_U_RAD),
            (ground.hollow_m.value, ground.hollow_m.u),
            (ground.friction.value, ground.friction.u),
            *((value, value * rel_u) for value, rel_u in reaches.values()),
        ]
    )


def _reach(ground: Ground, end: str) -> tuple[float, float]:
    """Give distance to rest and its relative uncertainty: as the glides of that end, or any."""
    runs = ground.friction.runs
    own = [run.distance_m for run in runs if run.from_end == end]
    timed = own or [run.distance_m for run in runs]
    length = ground.board.length_mm / 1000
    if not timed:
        return UNTIMED_REACH * length, UNTIMED_REACH_REL_U
    return min(mean(timed), length), REACH_REL_U if own else 2 * REACH_REL_U


def _scatter_m(ground: Ground, prior: Array, shots: Sequence[Shot]) -> float:
    """Give the standard deviation of one mark: the repeats' own, at least aim and boxes. [m]."""
    aim = max(abs(_effects(ground, prior[:, 0], end).aim) for end in ENDS)
    floor = math.hypot(MIDDLE_SHARE * AIM_U_RAD * aim, BOX_U_M)
    groups = [marks for marks in _grouped(shots).values() if len(marks) > 1]
    freedom = sum(len(marks) - 1 for marks in groups)
    if not freedom:
        return floor
    squares = sum((mark - mean(marks)) ** 2 for marks in groups for mark in marks)
    return max(floor, math.sqrt(squares / freedom))


def _grouped(shots: Sequence[Shot]) -> Mapping[tuple[str, str], list[float]]:
    groups: dict[tuple[str, str], list[float]] = {}
    for shot in shots:
        groups.setdefault((shot.lane, shot.from_end), []).append(shot.off_line_in * INCH_M)
    return groups


def _rows(shots: Sequence[Shot], scatter_m: float) -> list[Row]:
    return [
        Row(lane, end, mean(marks), scatter_m / math.sqrt(len(marks)), len(marks))
        for (lane, end), marks in _grouped(shots).items()
    ]


def _fit(ground: Ground, prior: Array, rows: Sequence[Row]) -> tuple[Array, Array, Array]:
    """Step to the most likely unknowns; give them, their covariance and the fitted drifts."""
    seen = np.array([row.seen_m for row in rows])
    weight = np.array([row.u_m for row in rows]) ** -2
    held = np.diag(prior[:, 1] ** -2)
    best = prior[:, 0].copy()
    for _ in range(_STEPS):
        fitted, per = _predict(ground, best, rows)
        precision = held + per.T @ (weight[:, None] * per)
        covariance = np.asarray(np.linalg.inv(precision), dtype=np.float64)
        pull = per.T @ (weight * (seen - fitted)) + held @ (prior[:, 0] - best)
        step = _possible(best + covariance @ pull, prior) - best
        best = best + step
        if np.all(np.abs(step) <= _CLOSE * np.sqrt(np.diag(covariance))):
            break
    return best, covariance, fitted + per @ step


def _possible(best: Array, prior: Array) -> Array:
    """Keep what is known besides near what is known of it, friction and distances above nought."""
    value, u = prior.T
    reach = np.where(np.arange(len(best)) < 3, np.inf, _FARTHEST * u)
    least = value - reach
    least[4:] = np.maximum(least[4:], value[4:] / 4)
    return np.clip(best, least, value + reach)


def _excess(prior: Array, best: Array, rows: Sequence[Row], fitted: Array) -> float:
    """Sum the squares of all departures over their uncertainties, slope excepted."""
    seen = np.array([row.seen_m for row in rows])
    u = np.array([row.u_m for row in rows])
    off = (best - prior[:, 0]) / prior[:, 1]
    return float(np.sum(((seen - fitted) / u) ** 2) + np.sum(off[1:] ** 2))


def _predict(ground: Ground, at: Array, rows: Sequence[Row]) -> tuple[Array, Array]:
    """Give the drifts (R,) that unknowns make, and their change per unknown (R, 7)."""
    here = _drifts(ground, at, rows)
    per = np.zeros((len(rows), len(at)))
    for i, name in enumerate(_NAMES):
        step = np.zeros(len(at))
        step[i] = 1e-4 if name in ("slope", "twist", "curve", "hollow") else 1e-3 * at[i]
        per[:, i] = (_drifts(ground, at + step, rows) - here) / step[i]
    return here, per


def _drifts(ground: Ground, at: Array, rows: Sequence[Row]) -> Array:
    """Predict the drift of each row. A shot from B sees the twist and its player's left turned."""
    slope, twist, curve = at[:3]
    width = ground.board.width_mm / 1000
    found = []
    for row in rows:
        per, turn = _effects(ground, at, row.from_end), 1.0 if row.from_end == "A" else -1.0
        aside = LANES[row.lane] * width
        own = per.slope * slope + turn * per.twist * twist + turn * per.aim * curve
        found.append(own + (per.start - 1.0) * aside)
    return np.array(found)


def _effects(ground: Ground, at: Array, end: str) -> Effects:
    board = ground.board
    curl = 8 * at[3] / (board.width_mm / 1000) ** 2
    reach = at[5 + ENDS.index(end)]
    return _solved(Run(float(at[4]), float(reach), float(curl), board.length_mm / 1000))


_solved = lru_cache(maxsize=256)(effects)


def _with_fit(rows: Sequence[Row], fitted: Array) -> list[Row]:
    return [
        Row(row.lane, row.from_end, row.seen_m, row.u_m, row.shots, float(value))
        for row, value in zip(rows, fitted, strict=True)
    ]
