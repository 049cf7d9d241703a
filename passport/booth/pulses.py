"""A second author's model of a hand: each pull of the pen is a pulse of speed along an arc.

Pulses overlap in time, so a hasty hand rounds its corners and falls short of where it aimed; a
fast pull leaves less ink. It shares no shape with ``glyphs``.

References
----------
Plamondon (1995), A kinematic theory of rapid human movements: the speed of one movement is a
lognormal pulse. The targets below were drawn for this project.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from forms.field import Box
from passport.booth.strokes import STEP_MM, Points, Stroke, smooth_noise
from passport.booth.writer import Hand, MarkStyle

Aim = tuple[float, float, float]  # where to, and how far the heading turns on the way [degrees]
Pull = tuple[tuple[float, float], tuple[Aim, ...]]  # where the pen is set down, then the aims
Shape = tuple[Pull, ...]

_SIGMA = 0.28  # width of a pulse in the logarithm of time
_SAMPLES = 160

# In a cell .6 wide and 1 high, y downwards; turns are clockwise.
DIGITS: Mapping[str, tuple[Shape, ...]] = {
    "0": (
        (
            (
                (0.40, 0.06),
                ((0.06, 0.5, -85), (0.3, 0.98, -95), (0.55, 0.5, -90), (0.38, 0.03, -80)),
            ),
        ),
        (((0.2, 0.05), ((0.55, 0.45, 100), (0.3, 0.99, 90), (0.05, 0.5, 90), (0.24, 0.02, 80))),),
        (
            (
                (0.34, 0.02),
                ((0.1, 0.55, -60), (0.36, 0.97, -120), (0.52, 0.4, -80), (0.2, 0.1, -110)),
            ),
        ),
    ),
    "1": (
        (((0.31, 0.0), ((0.29, 1.0, 4),)),),
        (((0.1, 0.3), ((0.36, 0.02, -8), (0.34, 0.99, 2))),),
        (((0.16, 0.2), ((0.33, 0.02, 0), (0.32, 0.98, 0))), ((0.1, 0.98), ((0.55, 0.97, 0),))),
        (((0.04, 0.44), ((0.38, 0.01, -14), (0.36, 1.0, 3))),),
    ),
    "2": (
        (((0.07, 0.22), ((0.5, 0.2, 165), (0.05, 0.97, 25), (0.57, 0.95, -12))),),
        (((0.1, 0.1), ((0.5, 0.26, 130), (0.06, 0.92, 40), (0.14, 0.86, 190), (0.58, 0.94, -40))),),
        (((0.06, 0.12), ((0.46, 0.16, 110), (0.06, 0.98, 10), (0.56, 0.99, 0))),),
    ),
    "3": (
        (((0.08, 0.1), ((0.24, 0.46, 200), (0.05, 0.93, 215))),),
        (((0.08, 0.04), ((0.52, 0.04, 0), (0.25, 0.42, 0), (0.06, 0.95, 205))),),
        (((0.1, 0.06), ((0.26, 0.48, 220), (0.2, 0.46, 0), (0.04, 0.9, 200))),),
    ),
    "4": (
        (((0.2, 0.02), ((0.05, 0.6, -5), (0.57, 0.6, 0))), ((0.42, 0.3), ((0.4, 1.0, 2),))),
        (((0.44, 0.02), ((0.04, 0.66, 3), (0.58, 0.66, 0))), ((0.44, 0.02), ((0.43, 1.0, 0),))),
        (((0.12, 0.04), ((0.1, 0.5, -20), (0.5, 0.5, -30))), ((0.48, 0.04), ((0.44, 1.0, 0),))),
    ),
    "5": (
        (((0.14, 0.05), ((0.1, 0.42, 0), (0.06, 0.94, 205))), ((0.13, 0.05), ((0.55, 0.04, 0),))),
        (((0.55, 0.03), ((0.14, 0.05, 0), (0.1, 0.42, 0), (0.05, 0.93, 200))),),
        (((0.52, 0.02), ((0.16, 0.04, -20), (0.12, 0.44, -20), (0.08, 0.97, 190))),),
    ),
    "6": (
        (
            (
                (0.45, 0.03),
                ((0.06, 0.68, -45), (0.32, 0.98, -95), (0.5, 0.72, -95), (0.09, 0.74, -150)),
            ),
        ),
        (((0.36, 0.0), ((0.05, 0.72, -25), (0.5, 0.76, -190), (0.08, 0.8, -170))),),
    ),
    "7": (
        (((0.06, 0.05), ((0.55, 0.05, 5), (0.2, 1.0, -12))),),
        (
            ((0.06, 0.05), ((0.55, 0.04, 0), (0.24, 1.0, 0))),
            ((0.14, 0.52), ((0.48, 0.49, 0),)),
        ),
        (
            ((0.05, 0.2), ((0.08, 0.04, 0), (0.56, 0.06, 20), (0.26, 0.98, -20))),
            ((0.16, 0.5), ((0.5, 0.52, 0),)),
        ),
    ),
    "8": (
        (
            (
                (0.48, 0.12),
                (
                    *((0.1, 0.25, -130), (0.3, 0.49, -45), (0.5, 0.75, 50)),
                    *((0.08, 0.76, 180), (0.3, 0.48, 45), (0.5, 0.1, -40)),
                ),
            ),
        ),
        (
            ((0.32, 0.03), ((0.3, 0.46, -180), (0.32, 0.02, -180))),
            ((0.3, 0.47), ((0.3, 0.99, -180), (0.31, 0.46, -180))),
        ),
    ),
    "9": (
        (((0.5, 0.2), ((0.08, 0.26, -175), (0.5, 0.22, -180), (0.44, 1.0, 0))),),
        (((0.48, 0.14), ((0.08, 0.3, -150), (0.5, 0.2, -200), (0.46, 0.78, 5), (0.1, 0.95, 120))),),
    ),
}

# Around the middle of a box whose half side is 1.
_MARKS: Mapping[MarkStyle, tuple[Shape, ...]] = {
    MarkStyle.CROSS: (
        (((-0.8, -0.85), ((0.85, 0.8, 14),)), ((0.8, -0.8), ((-0.85, 0.85, -10),))),
        (((-0.8, -0.7), ((0.7, 0.75, 0), (0.75, -0.75, -140), (-0.8, 0.8, 0))),),  # pen not lifted
        (((-0.9, 0.0), ((0.9, 0.05, 0),)), ((0.05, -0.9), ((0.0, 0.9, 0),))),  # upright
    ),
    MarkStyle.TICK: (
        (((-0.7, 0.1), ((-0.15, 0.75, 20), (0.95, -1.2, -25))),),
        (((-0.5, -0.2), ((-0.2, 0.8, 0), (1.3, -1.0, 10))),),
    ),
    MarkStyle.SLASH: ((((0.8, -0.9), ((-0.8, 0.9, 12),)),), (((-0.8, -0.9), ((0.8, 0.85, 0),)),)),
    MarkStyle.DOT: (
        (((-0.3, 0.0), ((0.3, 0.05, 170), (-0.25, 0.0, 170), (0.25, 0.0, 170), (0, 0.1, 90))),),
    ),
    MarkStyle.FILLED: (
        (
            (
                (-0.9, -0.8),
                tuple(((-1) ** i * 0.9, -0.8 + 1.6 * i / 14, (-1) ** i * 20) for i in range(15)),
            ),
        ),
    ),
}


@dataclass(frozen=True)
class _Moment:
    """What is lasting about a person's shape, and how it falls this time."""

    person: np.random.Generator
    now: np.random.Generator
    wobble: float


def digit_strokes(
    hand: Hand, digit: str, height: float, rng: np.random.Generator
) -> tuple[Stroke, ...]:
    """Write one digit around the origin; as ``writer.digit_strokes``."""
    person = np.random.default_rng([hand.seed, 62, ord(digit)])
    shapes = DIGITS[digit]
    usual, other = int(person.integers(len(shapes))), int(rng.integers(len(shapes)))
    shape = shapes[usual if rng.random() < 0.85 else other]
    bend = _leaning(hand, person, rng) * height
    moment = _Moment(person, rng, 0.008 + 0.015 * hand.haste)
    return tuple(
        _stroke((_way(pull, hand, moment) - (0.3, 0.5)) @ bend.T, hand, rng) for pull in shape
    )


def mark_strokes(hand: Hand, box: Box, rng: np.random.Generator) -> tuple[Stroke, ...]:
    """Mark a box; as ``marks.mark_strokes``."""
    half = np.array([box.width, box.height]) / 2
    aim = np.array([box.x, box.y]) + half + rng.normal(0, hand.wander, 2) * 2 * half
    shapes = _MARKS[hand.mark]
    person = np.random.default_rng([hand.seed, 63])
    shape = shapes[int(person.integers(len(shapes)))]
    moment = _Moment(person, rng, 0.06)
    size = half * hand.overshoot * rng.normal(1, 0.08, 2)
    return tuple(_stroke(_way(pull, hand, moment) * size + aim, hand, rng) for pull in shape)


def _leaning(hand: Hand, person: np.random.Generator, rng: np.random.Generator) -> Points:
    """Width, slant and height of a digit as a (2, 2) matrix."""
    wide, tall = person.uniform(0.75, 1.2) * rng.normal(1, 0.05), rng.normal(1, 0.05)
    lean = np.tan(np.radians(hand.slant_deg + rng.normal(0, 3)))
    return np.array([[wide, -lean], [0.0, tall]])


def _way(pull: Pull, hand: Hand, moment: _Moment) -> Points:
    """Where the tip goes: the sum of all pulses, (N, 2)."""
    start, aims = pull
    points = np.array([start, *(aim[:2] for aim in aims)])
    points = points + moment.wobble * moment.now.standard_normal(points.shape)
    points = points + 0.018 * moment.person.standard_normal(points.shape)
    turns = np.array([aim[2] for aim in aims]) * moment.person.normal(1, 0.06, len(aims))
    return np.asarray(points[0] + _summed(points, turns, gap=1.9 - 1.0 * hand.haste))


def _summed(points: Points, turns: NDArray[np.float64], gap: float) -> Points:
    """Add up the pulses; ``gap`` is the time between two, 2 ends one before the next begins."""
    times = np.linspace(0.01, gap * (len(turns) - 1) + 3.2, _SAMPLES)
    way = np.zeros((_SAMPLES, 2))
    for number, turn in enumerate(turns):
        since = np.maximum(times - gap * number, 1e-9)
        way += _arc(points[number + 1] - points[number], turn, ndtr(np.log(since) / _SIGMA))
    return way


def _arc(chord: Points, turn_deg: float, done: NDArray[np.float64]) -> Points:
    """Way along an arc that turns evenly, when a share of it is done."""
    turn = np.radians(turn_deg) or 1e-6
    length = float(np.hypot(*chord)) * (turn / 2) / np.sin(turn / 2)
    begin = np.arctan2(chord[1], chord[0]) - turn / 2
    heading = begin + turn * done
    radius = length / turn
    x, y = np.sin(heading) - np.sin(begin), np.cos(begin) - np.cos(heading)
    return np.asarray(radius * np.column_stack([x, y]))


def _stroke(way: Points, hand: Hand, rng: np.random.Generator) -> Stroke:
    """Give a way its ink: the faster the tip, the less; and let the hand tremble."""
    steps = np.hypot(*np.diff(way, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    wanted = np.linspace(0, along[-1], max(3, round(along[-1] / STEP_MM) + 1))
    line = np.column_stack([np.interp(wanted, along, way[:, axis]) for axis in (0, 1)])
    speed = np.interp(wanted, along, np.append(steps, steps[-1]) / max(float(steps.max()), 1e-9))
    shake = [smooth_noise(rng, len(line), 0.8 / STEP_MM) for _ in (0, 1)]
    pressure = 1.12 - (0.12 + 0.25 * hand.haste) * speed
    return Stroke(line + hand.tremor_mm * np.column_stack(shake), np.clip(pressure, 0.3, 1.3))
