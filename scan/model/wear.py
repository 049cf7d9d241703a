"""What pen, box, paper and camera do to a drawn digit: training pictures made of drawings."""

import numpy as np

from scan.arrays import Floats
from scan.glyph import glyph_of, stroke_width
from scan.model.samples import Samples, on_canvas
from scan.model.strokes import CANVAS, NOT_DIGITS, SHAPES, draw, scribble, struck
from scan.opencv import cv2

UNLIKE = 10  # the class of shapes that are no digit
DRAWN = 40  # pictures of each of our own shapes in a round
JUNK = 2500  # and of what is no digit


def photographed(canvas: Floats, rng: np.random.Generator) -> Floats:
    """Slant, thin, thicken, cut, smudge and blur a drawing as paper and camera do."""
    picture = _slanted(canvas, rng)
    picture = _other_pen(picture, rng)
    picture = _in_cell(picture, rng)
    return _through_camera(picture, rng)


def _slanted(canvas: Floats, rng: np.random.Generator) -> Floats:
    angle, shear = rng.normal(0, 0.11), rng.normal(0, 0.13)
    sizes = rng.uniform(0.62, 1.1) * np.array([rng.uniform(0.78, 1.22), 1.0])
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    matrix = turn @ np.array([[1, shear], [0, 1]]) @ np.diag(sizes)
    middle = np.full(2, CANVAS / 2)
    shift = middle - matrix @ middle + rng.normal(0, 5, 2)
    return np.asarray(cv2.warpAffine(canvas, np.column_stack([matrix, shift]), (CANVAS, CANVAS)))


def _other_pen(picture: Floats, rng: np.random.Generator) -> Floats:
    """Thicken or thin the stroke; a stroke that would vanish keeps its width."""
    slimmest = min(0, 3 - int(stroke_width(picture > 0.5)))
    step = int(rng.integers(max(-8, slimmest), 5))
    brush = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (abs(step) + 1,) * 2)
    if step >= 0:
        return np.asarray(cv2.dilate(picture, brush))
    return np.asarray(cv2.erode(picture, brush))


def _in_cell(picture: Floats, rng: np.random.Generator) -> Floats:
    """Trim to a cell of a box's shape; some are cut by its edge or keep a rest of its line."""
    rows, columns = np.nonzero(picture > 0.3)
    if not len(rows) or min(np.ptp(rows), np.ptp(columns)) < 4:
        return picture
    share = rng.uniform(-0.06, 0.3, 4)
    room = np.where(share < 0, share * np.repeat([np.ptp(rows), np.ptp(columns)], 2), share * 100)
    top, bottom = rows.min() - room[0], rows.max() + room[1]
    left, right = columns.min() - room[2], columns.max() + room[3]
    bounds = np.clip(np.round([top, bottom + 1, left, right + 1]), 0, CANVAS).astype(int)
    cell = picture[bounds[0] : bounds[1], bounds[2] : bounds[3]].copy()
    if rng.random() < 0.15 and min(cell.shape) > 20:
        side, width = int(rng.integers(4)), int(rng.integers(1, 5))
        np.rot90(cell, side)[:width] = rng.uniform(0.2, 0.9)
    return cell


def _through_camera(cell: Floats, rng: np.random.Generator) -> Floats:
    """Blur, coarsen, grain and fade; the result is a cell as the reader cuts it."""
    if rng.random() < 0.15:  # ink that skips
        holes = cv2.GaussianBlur(rng.normal(0, 1, cell.shape).astype(np.float32), (0, 0), 3)
        cell = np.where(holes < rng.uniform(0.2, 0.45), cell, 0).astype(np.float32)
    blurred = cv2.GaussianBlur(cell, (0, 0), float(rng.uniform(0.5, 4.0 + 2.0 * rng.random())))
    if rng.random() < 0.3:
        blurred = cv2.filter2D(blurred, -1, _shake(rng))
    factor = float(rng.uniform(0.2, 0.7))
    size = [max(6, round(length * factor)) for length in cell.shape[::-1]]
    small = np.asarray(cv2.resize(blurred, size, interpolation=cv2.INTER_AREA), np.float32)
    small = small / max(float(np.percentile(small, 99)), 0.05) * rng.uniform(0.35, 0.95)
    grain = rng.normal(0, rng.uniform(0, 0.05), small.shape)
    return np.asarray(np.clip(small + grain, 0, 1), dtype=np.float32)


def _shake(rng: np.random.Generator) -> Floats:
    """Path of a hand that moves while the shutter is open, up to 8 pixels of the canvas."""
    kernel = np.zeros((9, 9), np.float32)
    turn, reach = rng.uniform(0, np.pi), rng.uniform(1, 4)
    away = np.array([np.cos(turn), np.sin(turn)]) * reach
    ends = [tuple(int(v) for v in np.round(4 + side * away)) for side in (-1, 1)]
    cv2.line(kernel, ends[0], ends[1], 1.0)
    return np.asarray(kernel / kernel.sum(), np.float32)


def unlike_digit(samples: Samples, rng: np.random.Generator) -> Floats:
    """Draw what must be refused: letters, marks, scribbles, struck-out or doubled digits."""
    (one, first), (two, second) = (_any_of(samples, rng) for _ in range(2))
    kind = rng.random()
    if kind < 0.36:
        return draw(NOT_DIGITS[rng.integers(len(NOT_DIGITS))], rng)
    if kind < 0.56:
        return np.maximum(one if kind > 0.46 else 0 * one, scribble(rng))
    if kind < 0.84:
        return struck(one, rng)
    return np.maximum(one, two) if kind < 0.94 and first != second else _pair(one, two)


def _any_of(samples: Samples, rng: np.random.Generator) -> tuple[Floats, int]:
    """Give any digit, on a canvas: one of the samples, or one of our own shapes."""
    images, digits = samples
    if rng.random() < 0.3:
        digit = int(rng.integers(10))
        return draw(SHAPES[digit][rng.integers(len(SHAPES[digit]))], rng), digit
    at = int(rng.integers(len(images)))
    return on_canvas(images[at]), int(digits[at])


def _pair(one: Floats, two: Floats) -> Floats:
    """Put two digits into one box."""
    pair = np.concatenate([cv2.resize(p, (CANVAS // 2, CANVAS)) for p in (one, two)], axis=1)
    return np.asarray(pair, dtype=np.float32)


def worn(samples: Samples, rng: np.random.Generator) -> Samples:
    """One round of training pictures (N, 28, 28) and classes (N,), in random order."""
    own = [
        (draw(shape, rng), digit) for digit, shapes in SHAPES.items() for shape in shapes * DRAWN
    ]
    real = [(on_canvas(image), int(digit)) for image, digit in zip(*samples, strict=True)]
    junk = [(unlike_digit(samples, rng), UNLIKE) for _ in range(JUNK)]
    pictures, classes = seen(real + own + junk, rng)
    order = rng.permutation(len(classes))
    return pictures[order], classes[order]


def seen(drawn: list[tuple[Floats, int]], rng: np.random.Generator) -> Samples:
    """Photograph drawings, and cut out what was written as the reader does."""
    pairs = [(glyph_of(photographed(canvas, rng)), kind) for canvas, kind in drawn]
    kept = [(glyph.picture, kind) for glyph, kind in pairs if glyph is not None]
    return np.stack([picture for picture, _ in kept]), np.array([kind for _, kind in kept])


def glyphs(samples: Samples, rng: np.random.Generator, rounds: int) -> Samples:
    """Photographed pictures (N, 28, 28) and digits (N,) of samples, several of each."""
    return seen([(on_canvas(i), int(d)) for i, d in zip(*samples, strict=True)] * rounds, rng)
