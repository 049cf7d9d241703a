"""What pen, box, paper and camera do to a drawn digit: training pictures made of drawings."""

from collections.abc import Iterator

import numpy as np

from forms.field import Box
from scan.arrays import Floats
from scan.cells import cells_of
from scan.glyph import Glyph, stroke_width
from scan.ink import PX_PER_MM, Area
from scan.model.samples import Samples, on_canvas
from scan.model.shapes import NOT_DIGITS, some_shape
from scan.model.strokes import CANVAS, doubled, draw, scribble, struck
from scan.opencv import cv2

UNLIKE = 10  # the class of shapes that are no digit
DRAWN = 600  # pictures of our own shapes of each digit in a round
OFTEN = {1: 1200, 2: 800, 7: 1200}  # and of those that hands write most alike
JUNK = 4000  # and of what is no digit
CROSSED = (0, 7)  # digits that one line through them does not strike out

FINE = 2 * PX_PER_MM  # pixels a millimetre of the paper that is written on
WIDTH_MM, HEIGHT_MM = 6.4, 8.0  # of a digit box
RIM_MM = 2.0  # around it
PAPER_MM = (WIDTH_MM + 2 * RIM_MM, HEIGHT_MM + 2 * RIM_MM)
OVER_MM = 0.9  # as far a digit may leave its box
TOUCH = 0.2  # ink of both digits where one reaches into the other
ADDS = 0.2  # of the digit's ink, at least, that the other adds
SKIPS = 0.4  # of the pens, on wax and where they are worn
RUNS_DRY = 0.2  # of them
FOUND_MM = 0.08  # standard deviation of where the reader finds it


def photographed(canvas: Floats, rng: np.random.Generator) -> tuple[Area, Box]:
    """Write a drawing into a printed box and photograph it; the piece of the page, and the box."""
    paper = _in_box(_other_pen(_slanted(canvas, rng), rng), rng)
    ink = _through_camera(paper, rng)
    left, top = RIM_MM + rng.normal(0, FOUND_MM, 2)
    box = Box(float(left), float(top), WIDTH_MM, HEIGHT_MM)
    return Area(ink, np.ones(ink.shape, bool), Box(0, 0, *PAPER_MM)), box


def glyph_seen(canvas: Floats, rng: np.random.Generator) -> Glyph | None:
    """Photograph a drawing, and cut out what was written as the reader does."""
    area, box = photographed(canvas, rng)
    return cells_of(area, [box])[0].glyph


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


def _in_box(picture: Floats, rng: np.random.Generator) -> Floats:
    """Print a box at ``FINE`` pixels a millimetre, with its neighbours, and write into it."""
    size = [round(side * FINE) for side in PAPER_MM]
    printed = _printed(size, rng)
    rows, columns = np.nonzero(picture > 0.3)
    if not len(rows):
        return printed
    high, wide = np.ptp(rows) + 1, np.ptp(columns) + 1
    tall = min(rng.uniform(0.42, 1.0) * HEIGHT_MM, 1.05 * WIDTH_MM * high / wide)
    factor = tall * FINE / high
    free = np.array([WIDTH_MM, HEIGHT_MM]) * FINE - factor * np.array([wide, high])
    room = np.where(free < 0, 0, free) + 2 * OVER_MM * FINE * rng.uniform(0, 1, 2)
    corner = RIM_MM * FINE + free / 2 + room * rng.uniform(-0.5, 0.5, 2)
    move = corner - factor * np.array([columns.min(), rows.min()])
    matrix = np.array([[factor, 0, move[0]], [0, factor, move[1]]], np.float32)
    ink = np.asarray(cv2.warpAffine(picture, matrix, size, flags=cv2.INTER_LINEAR), np.float32)
    return np.asarray(1 - (1 - _skipping(ink, rng) * rng.uniform(0.3, 1.0)) * (1 - printed))


def _printed(size: list[int], rng: np.random.Generator) -> Floats:
    """Outline of a box, mostly of those beside it too, sometimes a decimal point."""
    canvas, line = np.zeros(size[::-1], np.uint8), int(rng.integers(3, 7))
    left, top = round(RIM_MM * FINE), round(RIM_MM * FINE)
    right, bottom = left + round(WIDTH_MM * FINE), top + round(HEIGHT_MM * FINE)
    cv2.rectangle(canvas, (left, top), (right, bottom), 255, line)
    gap, wide = round(float(rng.choice([0.8, 2.0])) * FINE), right - left
    for x in (left - gap - wide, right + gap)[: int(rng.integers(3))]:
        cv2.rectangle(canvas, (x, top), (x + wide, bottom), 255, line)
    grey = canvas * np.float32(rng.uniform(0.25, 0.8) / 255)
    if rng.random() < 0.2:
        cv2.circle(grey, (right + round(FINE), bottom), round(FINE / 2), 0.95, -1)
    return np.asarray(grey, np.float32)


def _skipping(ink: Floats, rng: np.random.Generator) -> Floats:
    """Let the pen skip now and then, and run dry along the way."""
    if rng.random() < SKIPS:
        side = int(rng.choice([10, 16, 24]))
        coarse = rng.normal(0, 1, (side, side)).astype(np.float32)
        holes = cv2.resize(coarse, ink.shape[::-1], interpolation=cv2.INTER_CUBIC)
        holes = holes + rng.normal(0, 0.5) * _along(ink, rng)
        ink = ink * np.clip(1 - rng.uniform(0.2, 1.0) * (holes > rng.uniform(0.6, 1.5)), 0, 1)
    if rng.random() < RUNS_DRY:
        ink = ink * (1 - rng.uniform(0.1, 0.4) * (1 + _along(ink, rng)))
    return np.asarray(ink, np.float32)


def _along(ink: Floats, rng: np.random.Generator) -> Floats:
    """Rise (H, W) from -1 to 1 across the paper, in any direction."""
    turn, (rows, columns) = rng.uniform(0, 2 * np.pi), np.indices(ink.shape, np.float32)
    across = np.cos(turn) * (2 * columns / ink.shape[1] - 1)
    return np.asarray(np.clip(across + np.sin(turn) * (2 * rows / ink.shape[0] - 1), -1, 1))


def _through_camera(paper: Floats, rng: np.random.Generator) -> Floats:
    """Blur, coarsen, grain and compress; the result has the reader's pixels."""
    blurred = cv2.GaussianBlur(paper, (0, 0), float(rng.uniform(0.5, 2.5 + 2.5 * rng.random())))
    if rng.random() < 0.3:
        blurred = cv2.filter2D(blurred, -1, _shake(rng))
    factor = float(rng.uniform(0.25, 0.75))
    size = [max(6, round(length * factor)) for length in paper.shape[::-1]]
    small = np.asarray(cv2.resize(blurred, size, interpolation=cv2.INTER_AREA), np.float32)
    grain = rng.normal(0, rng.uniform(0, 0.07), small.shape) * (rng.random() < 0.7)
    grey = np.clip(255 - 200 * (small + grain), 0, 255).astype(np.uint8)
    if rng.random() < 0.5:
        coded = cv2.imencode(".jpg", grey, [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(55, 90))])[1]
        grey = np.asarray(cv2.imdecode(coded, cv2.IMREAD_GRAYSCALE))
    whole = [round(side * PX_PER_MM) for side in PAPER_MM]
    ink = (255 - cv2.resize(grey, whole, interpolation=cv2.INTER_LINEAR).astype(np.float32)) / 200
    return np.asarray(np.clip(ink, 0, 1), np.float32)


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
    if kind < 0.28:
        return draw(NOT_DIGITS[rng.integers(len(NOT_DIGITS))], rng)
    if kind < 0.38:
        return np.maximum(one if kind > 0.33 else 0 * one, scribble(rng))
    if kind < 0.5:
        return _intruded(one, two, rng) if kind < 0.46 else _pair(one, two)
    both = doubled(one, two, rng) if kind < 0.7 and first != second else None
    return _struck_out(one, first, rng) if both is None else both


def _struck_out(one: Floats, digit: int, rng: np.random.Generator) -> Floats:
    out = struck(one, rng)
    return struck(out, rng) if digit in CROSSED else out


def _intruded(one: Floats, two: Floats, rng: np.random.Generator) -> Floats:
    """Let a digit of the row below or above reach into one, where they touch."""
    for by in rng.permutation(np.arange(CANVAS // 4, CANVAS // 2)) * rng.choice([-1, 1]):
        other = np.roll(two, int(by), axis=0) * (np.arange(CANVAS)[:, None] * by > 0)
        if (one * other > TOUCH).any() and (other * (1 - one)).sum() > ADDS * one.sum():
            return np.asarray(np.maximum(one, other), np.float32)
    return np.maximum(one, two)


def _any_of(samples: Samples, rng: np.random.Generator) -> tuple[Floats, int]:
    """Give any digit, on a canvas: one of the samples, or one of our own shapes."""
    images, digits = samples
    if rng.random() < 0.4:
        digit = int(rng.integers(10))
        return draw(some_shape(digit, rng), rng), digit
    at = int(rng.integers(len(images)))
    return on_canvas(images[at]), int(digits[at])


def _own(rng: np.random.Generator) -> Iterator[tuple[Floats, int]]:
    """Draw our own shapes of each digit, one after another."""
    for digit in range(10):
        for _ in range(OFTEN.get(digit, DRAWN)):
            yield draw(some_shape(digit, rng), rng), digit


def _pair(one: Floats, two: Floats) -> Floats:
    """Put two digits into one box."""
    pair = np.concatenate([cv2.resize(p, (CANVAS // 2, CANVAS)) for p in (one, two)], axis=1)
    return np.asarray(pair, dtype=np.float32)


def worn(samples: Samples, rng: np.random.Generator) -> Samples:
    """One round of training pictures (N, 28, 28) and classes (N,), in random order."""
    real = [(on_canvas(image), int(digit)) for image, digit in zip(*samples, strict=True)]
    junk = [(unlike_digit(samples, rng), UNLIKE) for _ in range(JUNK)]
    pictures, classes = seen([*real, *_own(rng), *junk], rng)
    order = rng.permutation(len(classes))
    return pictures[order], classes[order]


def seen(drawn: list[tuple[Floats, int]], rng: np.random.Generator) -> Samples:
    """Photograph drawings, and cut out what was written as the reader does."""
    pairs = [(glyph_seen(canvas, rng), kind) for canvas, kind in drawn]
    kept = [(glyph.picture, kind) for glyph, kind in pairs if glyph is not None]
    return np.stack([picture for picture, _ in kept]), np.array([kind for _, kind in kept])


def glyphs(samples: Samples, rng: np.random.Generator, rounds: int) -> Samples:
    """Photographed pictures (N, 28, 28) and digits (N,) of samples, several of each."""
    return seen([(on_canvas(i), int(d)) for i, d in zip(*samples, strict=True)] * rounds, rng)


def drawn(rng: np.random.Generator) -> Samples:
    """Photographed pictures (N, 28, 28) and digits (N,) of our own shapes."""
    return seen(list(_own(rng)), rng)
