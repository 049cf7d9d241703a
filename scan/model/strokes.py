"""Digits drawn with a pen of our own, for training only.

What is drawn stands in ``scan.model.shapes``; here is the hand that draws it, and spoils it.
"""

import numpy as np

from scan.arrays import Floats, Points
from scan.glyph import stroke_width
from scan.model.shapes import Strokes
from scan.opencv import cv2

SHOWS = 0.25  # of a digit's ink: what a stroke through it adds at least
CALM = 0.25  # of the hands draw as with a ruler
CANVAS = 112  # pixels, four times the network's picture


def draw(strokes: Strokes, rng: np.random.Generator) -> Floats:
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


def doubled(one: Floats, two: Floats, rng: np.random.Generator) -> Floats | None:
    """Write one digit (112, 112) over another; None if neither place shows both."""
    for _ in range(8):
        over = np.roll(two, rng.integers(-12, 13, 2), (0, 1))
        if _shows(one, over) and _shows(over, one):
            return np.asarray(np.maximum(one * rng.uniform(0.6, 1), over), np.float32)
    return None


def _shows(digit: Floats, over: Floats) -> bool:
    """Tell whether enough of a digit is left beside what was written over it."""
    near = cv2.dilate(over, np.ones((5, 5), np.uint8))
    own = digit > 0.5
    return float((own & (near < 0.5)).sum()) > SHOWS * float(own.sum())


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
    unsteady = rng.uniform(0.01, 0.04)
    if rng.random() < CALM:
        slant, bend, unsteady = 0.4 * slant, 0.2 * bend, 0.003

    def warp(points: Points) -> Points:
        moved = points + rng.normal(0, unsteady, points.shape)
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
