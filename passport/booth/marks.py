"""Marks in boxes: crosses, ticks, slashes, dots, filled boxes, and what undoes them."""

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from forms.field import Box
from passport.booth.strokes import Points, Stroke, curve, pulled
from passport.booth.writer import Hand, MarkStyle

Path = Sequence[tuple[float, float]]

# Shapes around the middle of a box whose half side is 1.
_CROSS: tuple[Path, ...] = (
    ((-0.8, -0.8), (0.05, 0.02), (0.8, 0.82)),
    ((0.8, -0.78), (0.0, 0.05), (-0.82, 0.78)),
)
_TICK: tuple[Path, ...] = (
    ((-0.65, 0.0), (-0.4, 0.35), (-0.2, 0.75), (-0.2, 0.75), (0.25, -0.2), (0.95, -1.15)),
)
_SLASH: tuple[Path, ...] = (((0.78, -0.9), (0.02, 0.0), (-0.8, 0.88)),)


def mark_strokes(hand: Hand, box: Box, rng: np.random.Generator) -> tuple[Stroke, ...]:
    """Mark a box in this person's way.

    Parameters
    ----------
    box : Box
        The printed box. [mm]

    Returns
    -------
    tuple of Stroke
        In millimetres of the page.
    """
    half = np.array([box.width, box.height]) / 2
    middle = np.array([box.x, box.y]) + half
    aim = middle + rng.normal(0, hand.wander, 2) * 2 * half
    size = half * hand.overshoot * rng.normal(1, 0.08, 2)
    lines = _SHAPES[hand.mark](rng)
    turn = _turned(rng.normal(0, 6))
    return tuple(pulled(line @ turn.T * size + aim, hand.tremor_mm, rng) for line in lines)


def scribble_strokes(hand: Hand, box: Box, rng: np.random.Generator) -> tuple[Stroke, ...]:
    """Scribble a box out: back and forth, well over the edge."""
    half = np.array([box.width, box.height]) / 2
    line = _zigzag(rng, 9) * 1.25
    back = _zigzag(rng, 7)[:, ::-1] * 1.15
    middle = np.array([box.x, box.y]) + half
    return tuple(pulled(path * half + middle, 2 * hand.tremor_mm, rng) for path in (line, back))


def line_strokes(hand: Hand, points: Path, rng: np.random.Generator) -> tuple[Stroke, ...]:
    """Pull one line through points of the page [mm]."""
    return (pulled(curve(points), 2 * hand.tremor_mm, rng),)


def _jittered(paths: Sequence[Path], rng: np.random.Generator) -> list[Points]:
    return [_shaken(np.array(path), rng) for path in paths]


def _shaken(points: Points, rng: np.random.Generator) -> Points:
    moved = rng.normal(0, 0.07, points.shape)
    corner = np.flatnonzero((points[1:] == points[:-1]).all(axis=1)) + 1
    moved[corner] = moved[corner - 1]
    return curve(points + moved)


def _cross(rng: np.random.Generator) -> list[Points]:
    return _jittered(_CROSS, rng)


def _tick(rng: np.random.Generator) -> list[Points]:
    return _jittered(_TICK, rng)


def _slash(rng: np.random.Generator) -> list[Points]:
    return _jittered(_SLASH, rng)


def _dot(rng: np.random.Generator) -> list[Points]:
    """Wind a small spiral."""
    turns = np.linspace(0, rng.uniform(5, 8) * np.pi, 60)
    radius = rng.uniform(0.3, 0.45) * (0.15 + 0.85 * turns / turns[-1])
    return [np.column_stack([radius * np.cos(turns), radius * np.sin(turns)])]


def _filled(rng: np.random.Generator) -> list[Points]:
    return [_zigzag(rng, 13) * 0.95, _zigzag(rng, 11)[:, ::-1] * 0.9]


def _zigzag(rng: np.random.Generator, pulls: int) -> Points:
    """Back and forth over the whole box."""
    x = np.where(np.arange(pulls) % 2 == 0, -1.0, 1.0) * rng.uniform(0.8, 1.0, pulls)
    y = np.linspace(-0.95, 0.95, pulls) + rng.normal(0, 0.04, pulls)
    return curve(np.column_stack([x, y]))


def _turned(degrees: float) -> Points:
    angle = np.radians(degrees)
    return np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])


_SHAPES: Mapping[MarkStyle, Callable[[np.random.Generator], list[Points]]] = {
    MarkStyle.CROSS: _cross,
    MarkStyle.TICK: _tick,
    MarkStyle.SLASH: _slash,
    MarkStyle.DOT: _dot,
    MarkStyle.FILLED: _filled,
}
