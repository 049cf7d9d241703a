"""Digits drawn with a pen of our own, for training only.

The open data set holds American hands. Here stand the forms it lacks (1 with upstroke, crossed 7,
crossed 0, open 4, looped 2, flat 3), and shapes that are no digits at all. A shape is a list of
strokes, a stroke a list of points in a unit square, y downward.
"""

import numpy as np

from scan.arrays import Floats, Points
from scan.glyph import stroke_width
from scan.opencv import cv2

SHOWS = 0.25  # of a digit's ink: what a stroke through it adds at least
CANVAS = 112  # pixels, four times the network's picture


def arc(
    middle: tuple[float, float], radii: tuple[float, float], turn: tuple[float, float]
) -> list[tuple[float, float]]:
    """Points of an ellipse's arc; ``turn`` from and to, in degrees, clockwise from the right."""
    angles = np.deg2rad(np.linspace(*turn, 16))
    xs, ys = middle[0] + radii[0] * np.cos(angles), middle[1] + radii[1] * np.sin(angles)
    return list(zip(xs.tolist(), ys.tolist(), strict=True))


_ZERO = arc((0.5, 0.5), (0.32, 0.48), (-90, 275))
_SEVEN = [(0.15, 0.05), (0.85, 0.05), (0.4, 0.98)]
_LOW_BOWL = arc((0.45, 0.68), (0.36, 0.3), (-80, 160))

SHAPES: dict[int, list[list[list[tuple[float, float]]]]] = {
    0: [
        [_ZERO],
        [_ZERO, [(0.75, 0.12), (0.25, 0.88)]],
        [arc((0.5, 0.5), (0.38, 0.44), (-60, 290))],
    ],
    1: [
        [[(0.5, 0.0), (0.5, 1.0)]],
        [[(0.22, 0.32), (0.58, 0.02), (0.58, 1.0)]],
        [[(0.1, 0.5), (0.6, 0.0), (0.55, 1.0)]],
        [[(0.3, 0.22), (0.55, 0.02), (0.55, 1.0)], [(0.25, 1.0), (0.85, 1.0)]],
    ],
    2: [
        [[*arc((0.48, 0.28), (0.34, 0.27), (-165, 40)), (0.12, 0.98), (0.88, 0.98)]],
        [
            [
                *arc((0.45, 0.28), (0.34, 0.27), (-165, 50)),
                (0.25, 0.85),
                *arc((0.27, 0.88), (0.14, 0.1), (120, 300)),
                (0.6, 0.97),
                (0.92, 0.9),
            ]
        ],
    ],
    3: [
        [
            [
                *arc((0.45, 0.26), (0.34, 0.25), (-150, 85)),
                *arc((0.45, 0.74), (0.38, 0.25), (-85, 150)),
            ]
        ],
        [[(0.15, 0.03), (0.82, 0.03), (0.45, 0.4), *arc((0.45, 0.7), (0.36, 0.29), (-75, 150))]],
    ],
    4: [
        [[(0.6, 0.0), (0.1, 0.66), (0.92, 0.66)], [(0.68, 0.32), (0.68, 1.0)]],
        [[(0.2, 0.02), (0.15, 0.52), (0.85, 0.52)], [(0.75, 0.02), (0.72, 1.0)]],
        [[(0.7, 1.0), (0.7, 0.0), (0.08, 0.7), (0.95, 0.7)]],
        [[(0.35, 0.0), (0.12, 0.6), (0.9, 0.55)], [(0.55, 0.3), (0.5, 1.0)]],
    ],
    5: [
        [[(0.82, 0.03), (0.25, 0.03), (0.2, 0.42), *_LOW_BOWL]],
        [[(0.25, 0.05), (0.2, 0.42), *_LOW_BOWL], [(0.22, 0.04), (0.85, 0.02)]],
    ],
    6: [
        [[(0.7, 0.02), (0.3, 0.35), *arc((0.48, 0.7), (0.32, 0.28), (-170, 200))]],
        [[(0.55, 0.0), (0.2, 0.6), *arc((0.48, 0.76), (0.28, 0.22), (170, -190))]],
    ],
    7: [
        [_SEVEN],
        [_SEVEN, [(0.32, 0.5), (0.82, 0.48)]],
        [[(0.12, 0.2), *_SEVEN]],
        [[(0.12, 0.2), *_SEVEN], [(0.28, 0.52), (0.85, 0.48)]],
    ],
    8: [
        [
            [
                *arc((0.5, 0.25), (0.28, 0.24), (-60, -265)),
                *arc((0.5, 0.74), (0.34, 0.25), (-90, 270)),
                *arc((0.5, 0.25), (0.28, 0.24), (90, -60)),
            ]
        ],
        [arc((0.5, 0.26), (0.27, 0.24), (0, 360)), arc((0.5, 0.75), (0.33, 0.25), (0, 360))],
    ],
    9: [
        [[*arc((0.5, 0.3), (0.3, 0.28), (-20, -375)), (0.78, 0.4), (0.72, 1.0)]],
        [
            [
                *arc((0.5, 0.28), (0.3, 0.26), (-20, -375)),
                (0.8, 0.6),
                *arc((0.45, 0.75), (0.34, 0.23), (0, 140)),
            ]
        ],
    ],
}

NOT_DIGITS: list[list[list[tuple[float, float]]]] = [
    [[(0.0, 0.0), (1.0, 1.0)], [(1.0, 0.0), (0.0, 1.0)]],  # a cross
    [[(0.0, 0.6), (0.35, 1.0), (1.0, 0.0)]],  # a tick
    [[(0.0, 0.5), (1.0, 0.5)]],  # a dash
    [[(0.1, 0.2), (0.9, 0.2)], [(0.1, 0.8), (0.9, 0.8)]],  # ditto, lying
    [[(0.3, 0.0), (0.25, 0.4)], [(0.7, 0.0), (0.65, 0.4)]],  # ditto
    [[(0.1, 1.0), (0.5, 0.0), (0.9, 1.0)], [(0.25, 0.6), (0.75, 0.6)]],  # A
    [[(0.1, 1.0), (0.1, 0.0), (0.5, 0.5), (0.9, 0.0), (0.9, 1.0)]],  # M
    [[(0.5, 0.3), (0.5, 0.4)], [(0.5, 0.75), (0.5, 0.85)]],  # a colon
    [[(0.1, 0.0), (0.1, 1.0)], [(0.9, 0.0), (0.9, 1.0)], [(0.1, 0.5), (0.9, 0.5)]],  # H
    [[(0.9, 0.0), (0.1, 0.0), (0.1, 1.0), (0.9, 1.0)], [(0.1, 0.5), (0.7, 0.5)]],  # E
    [[(0.5, 0.0), (0.5, 1.0)], [(0.0, 0.5), (1.0, 0.5)]],  # plus
    [[(0.15, 0.0), (0.15, 1.0)], [(0.85, 0.0), (0.15, 0.55), (0.85, 1.0)]],  # K
    [[(0.4, 0.9), (0.7, 0.35), *arc((0.65, 0.2), (0.15, 0.18), (60, -250)), (0.9, 1.0)]],  # loop
    [[(0.2, 0.0), (0.2, 1.0)], [(0.5, 0.0), (0.5, 1.0)], [(0.8, 0.0), (0.8, 1.0)]],  # tally
    [[(0.0, 0.3), (0.25, 0.7), (0.5, 0.3), (0.75, 0.7), (1.0, 0.3)]],  # a wave
    [[(0.0, 0.5), (0.8, 0.5)], [(0.55, 0.25), (0.85, 0.5), (0.55, 0.75)]],  # an arrow
    [[(0.1, 0.0), (0.5, 0.5), (0.9, 0.0)], [(0.5, 0.5), (0.5, 1.0)]],  # Y
    [[(0.45, 0.35), (0.5, 0.6)]],  # a dot
    [[(0.25, 0.0), (0.25, 0.5)], [(0.1, 0.25), (0.4, 0.25)], [(0.5, 1.0), (0.9, 1.0)]],  # bits
]


def draw(strokes: list[list[tuple[float, float]]], rng: np.random.Generator) -> Floats:
    """Draw a shape with an unsteady hand; (112, 112), 0 paper to 1 ink."""
    canvas = np.zeros((CANVAS, CANVAS), dtype=np.uint8)
    warp, width = _hand(rng), int(rng.integers(3, 15))
    for stroke in strokes:
        points = warp(np.asarray(stroke, dtype=np.float64))
        path = np.round(points * 8).astype(np.int32).reshape(-1, 1, 2)
        cv2.polylines(canvas, [path], False, 255, max(3, width), cv2.LINE_AA, shift=3)
    return (canvas / np.float32(255)).astype(np.float32)


def scribble(rng: np.random.Generator) -> Floats:
    """Draw a zigzag that means nothing, or strikes something out."""
    count = int(rng.integers(4, 14))
    ys = np.linspace(0.1, 0.9, count) + rng.normal(0, 0.05, count)
    xs = np.where(np.arange(count) % 2, 0.9, 0.1) + rng.normal(0, 0.08, count)
    points = np.stack([xs, ys] if rng.random() < 0.5 else [ys, xs], axis=1)
    return draw([list(map(tuple, points))], rng)


def struck(digit: Floats, rng: np.random.Generator) -> Floats:
    """Strike a drawn digit (112, 112) out with one to four lines that go beyond it.

    Lines that run along the digit's own strokes strike nothing out, and are drawn again.
    """
    own = float((digit > 0.5).sum())
    for _ in range(8):
        lines = _strike(digit, rng)
        if float(((lines > 0.5) & (digit < 0.5)).sum()) > SHOWS * own:
            break
    return np.maximum(digit, lines)


def _strike(digit: Floats, rng: np.random.Generator) -> Floats:
    rows, columns = np.nonzero(digit > 0.3)
    middle = np.array([columns.mean(), rows.mean()])
    half = 0.5 * np.array([max(np.ptp(columns), 24), max(np.ptp(rows), 24)])
    pen = stroke_width(digit > 0.5)  # the same, so that neither vanishes when thinned
    canvas, width = np.zeros((CANVAS, CANVAS), np.uint8), round(pen * rng.uniform(0.9, 1.2))
    slope = rng.uniform(-1, 1)
    for turn in range(int(rng.choice([1, 2, 3, 4], p=[0.45, 0.3, 0.15, 0.1]))):
        side = -1 if turn and rng.random() < 0.5 else 1  # some strike out with a cross
        reach = half * rng.uniform(1.12, 1.7, 2)
        shift = np.array([rng.normal(0, 3), rng.uniform(-0.35, 0.35) * half[1]])
        away = np.array([reach[0], side * slope * reach[1]])
        ends = [np.round(middle + shift + sign * away).astype(int).tolist() for sign in (-1, 1)]
        cv2.line(canvas, ends[0], ends[1], 255, max(3, width), cv2.LINE_AA)
    return (canvas / np.float32(255)).astype(np.float32)


def _hand(rng: np.random.Generator):  # type: ignore[no-untyped-def]
    """Choose size, slant, bends and tremor of one drawing."""
    size = np.array([rng.uniform(38, 70), rng.uniform(66, 84)])
    slant, bend = rng.normal(0, 0.18), rng.normal(0, 0.05, (2, 3))

    def warp(points: Points) -> Points:
        moved = points + rng.normal(0, 0.025, points.shape)
        moved = _denser(moved)
        for axis in (0, 1):
            other = moved[:, 1 - axis] - 0.5
            moved[:, axis] += bend[axis] @ np.stack([other, other**2, np.sin(6 * other)])
        moved[:, 0] -= slant * (moved[:, 1] - 0.5)
        return np.asarray((moved - 0.5) * size + CANVAS / 2)

    return warp


def _denser(points: Points) -> Points:
    """Round a stroke's corners a little by sampling between its points."""
    places = np.arange(len(points))
    fine = np.linspace(0, len(points) - 1, 6 * len(points))
    dense = np.stack([np.interp(fine, places, points[:, k]) for k in (0, 1)], axis=1)
    ends = dense[[0, -1]].copy()
    padded = np.pad(dense, ((2, 2), (0, 0)), mode="edge")
    smooth = np.mean([padded[k : k + len(dense)] for k in range(5)], axis=0)
    smooth[[0, -1]] = ends
    return np.asarray(smooth)
