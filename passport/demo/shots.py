"""Test shots and glides on an invented table: weights that run over its hidden surface.

A weight is a point that slides with friction against its whole velocity, and falls off along the
surface's slope; it is stepped through time, which shares nothing with how shots are read.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from passport.demo.truth import Truth
from passport.table import Bracket, Leg, Table
from passport.visit import Glide, Shot

Floats = NDArray[np.float64]

GRAVITY = 9.80665  # [m/s²]
FRICTION = 0.045  # of the day
REACH = 0.72  # of the board's length, how far the player means to send a weight
REACH_SD, AIM_SD_RAD, WATCH_SD_S = 0.03, math.radians(0.3), 0.1
CURVE_RAD = math.radians(0.15)  # this player's own, to the player's left
LANES = {"left": 0.25, "middle": 0.0, "right": -0.25}  # of the board's width
FARTHEST_IN = 6  # the outer boxes
TRIES = 3  # a lane and direction; the middle one is written
_STEP_S = 0.005
_INCH_M = 0.0254


@dataclass(frozen=True)
class _Board:
    """The hidden surface as slopes, in metres."""

    table: Table
    truth: Truth

    def slope(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Give how steeply the surface climbs along x and along y (to the left)."""
        truth, board = self.truth, self.table.board
        legs, brackets = self.table.adjusted_legs(), self.table.brackets
        tilt = np.interp(1000 * x, [leg.x_mm for leg in legs], _of(truth.slopes, legs))
        hollow = np.interp(1000 * x, [one.x_mm for one in brackets], _of(truth.hollows, brackets))
        across = tilt / 1000 + 8 * hollow * 1000 * y / board.width_mm**2
        return self._along(x), np.asarray(across, dtype=np.float64)

    def _along(self, x: Floats) -> Floats:
        """Two stiff halves that rise from the middle to the end legs."""
        middle = self.table.board.length_mm / 2000
        if not self.truth.rises:
            return np.zeros_like(x)
        legs = (self.table.legs[0], self.table.legs[-1])
        spans = [abs(leg.x_mm / 1000 - middle) for leg in legs]
        slopes = [self.truth.rises[end] / 1000 / s for end, s in zip("AB", spans, strict=True)]
        return np.where(x < middle, -slopes[0], slopes[1])


def _of(values: Mapping[str, float], stations: Sequence[Leg | Bracket]) -> list[float]:
    return [values[one.name] for one in stations]


@dataclass(frozen=True)
class _Run:
    """Weights at rest: where [m], and after how long [s]."""

    x: Floats
    y: Floats
    seconds: Floats


def _run(board: _Board, start: tuple[Floats, Floats], speed: tuple[Floats, Floats]) -> _Run:
    """Step weights to rest; a weight that has stopped stays."""
    (x, y), (vx, vy) = start, speed
    seconds, moving = np.zeros_like(x), np.ones(x.shape, dtype=bool)
    while moving.any():
        climb, rise = board.slope(x, y)
        pace = np.maximum(np.hypot(vx, vy), 1e-9)
        vx, vy = (
            np.where(moving, v - _STEP_S * GRAVITY * (FRICTION * v / pace + tilt), 0.0)
            for v, tilt in ((vx, climb), (vy, rise))
        )
        moving &= pace > FRICTION * GRAVITY * _STEP_S
        x, y = x + _STEP_S * vx * moving, y + _STEP_S * vy * moving
        seconds = seconds + _STEP_S * moving
    return _Run(x, y, seconds)


def _sent(table: Table, truth: Truth, end: str, offsets: Floats, rng: np.random.Generator) -> _Run:
    """Send weights from an end along their aim lines, as well as a hand can."""
    length, way = table.board.length_mm / 1000, 1.0 if end == "A" else -1.0
    start = np.full_like(offsets, 0.0 if end == "A" else length)
    reach = length * REACH * (1 + rng.normal(0, REACH_SD, offsets.shape))
    pace = np.sqrt(2 * FRICTION * GRAVITY * reach)
    aim = CURVE_RAD + rng.normal(0, AIM_SD_RAD, offsets.shape)  # to the player's left
    speed = (way * pace * np.cos(aim), way * pace * np.sin(aim))
    return _run(_Board(table, truth), (start, offsets), speed)


def shots(table: Table, truth: Truth, rng: np.random.Generator) -> tuple[Shot, ...]:
    """Shoot three times a lane and direction; write where the middle one came to rest."""
    width = table.board.width_mm / 1000
    lines = np.repeat([share * width for share in LANES.values()], TRIES)
    made = []
    for end in "AB":
        rest = _sent(table, truth, end, lines, rng)
        off = np.median((rest.y - lines).reshape(-1, TRIES), axis=1) / _INCH_M
        made += [_marked(lane, end, inches) for lane, inches in zip(LANES, off, strict=True)]
    return tuple(made)


def _marked(lane: str, end: str, inches: float) -> Shot:
    """Mark the nearest box; the outer ones mean this far or farther."""
    box = max(-FARTHEST_IN, min(FARTHEST_IN, round(inches)))
    return Shot(lane, end, box, abs(box) == FARTHEST_IN)


def glides(table: Table, truth: Truth, rng: np.random.Generator) -> tuple[Glide, ...]:
    """Time one weight a direction to rest, down the middle."""
    length, made = table.board.length_mm / 1000, []
    for end in "AB":
        rest = _sent(table, truth, end, np.zeros(1), rng)
        metres = float(rest.x[0]) if end == "A" else length - float(rest.x[0])
        seconds = float(rest.seconds[0]) + rng.normal(0, WATCH_SD_S)
        made.append(Glide(end, round(metres, 1), round(seconds, 1)))
    return tuple(made)
