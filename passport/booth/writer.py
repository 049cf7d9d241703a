"""A person who writes: the steady peculiarities of a hand, and the wobble of the moment."""

from dataclasses import dataclass, replace
from enum import Enum, auto

import numpy as np

from passport.booth.glyphs import CELL_WIDTH, DIGITS, Path
from passport.booth.pens import BALLPOINT_BLUE, PENS, Pen
from passport.booth.strokes import Points, Stroke, curve, evenly, pulled

_HABIT = 0.9  # share of a writer's digits that take the usual shape


class MarkStyle(Enum):
    """What a writer puts into a box."""

    CROSS = auto()
    TICK = auto()
    SLASH = auto()
    DOT = auto()
    FILLED = auto()


class Model(Enum):
    """How a hand is modelled; see ``models``."""

    CURVES = auto()
    PULSES = auto()


@dataclass(frozen=True)
class Hand:
    """A writer with a pen.

    Attributes
    ----------
    seed : int
        Which person: the shapes of the digits and their lasting distortions follow from it.
    size : float
        Height of a digit over the height of its box. [1]
    slant_deg : float
        How far uprights lean to the right. [degrees]
    tremor_mm : float
        Standard deviation of the tip beside the line that was meant. [mm]
    haste : float
        0 careful to 1 fast: how much corners are cut and forms distorted. [1]
    wander : float
        Standard deviation of a mark's middle over the side of its box. [1]
    overshoot : float
        Width of a mark over that of its box; above 1 it crosses the edge. [1]
    model : Model
        Whose model of a hand draws digits and marks.
    """

    seed: int
    pen: Pen = BALLPOINT_BLUE
    mark: MarkStyle = MarkStyle.CROSS
    size: float = 0.72
    slant_deg: float = 5.0
    tremor_mm: float = 0.04
    haste: float = 0.3
    wander: float = 0.06
    overshoot: float = 0.95
    model: Model = Model.CURVES


def some_hand(seed: int, pen: Pen | None = None) -> Hand:
    """Somebody: a hand whose every trait is drawn from the seed.

    Parameters
    ----------
    pen : Pen, optional
        What they write with; drawn too when left out.
    """
    rng = np.random.default_rng([seed, 11])
    usual = (MarkStyle.CROSS, MarkStyle.TICK, MarkStyle.SLASH, MarkStyle.DOT)
    return Hand(
        seed=seed,
        pen=pen or PENS[rng.integers(len(PENS))],
        mark=usual[rng.choice(4, p=(0.5, 0.35, 0.1, 0.05))],
        size=rng.uniform(0.60, 0.84),
        slant_deg=rng.uniform(-6, 20),
        tremor_mm=rng.uniform(0.02, 0.07),
        haste=rng.uniform(0.05, 0.7),
        wander=rng.uniform(0.03, 0.10),
        overshoot=rng.uniform(0.7, 1.15),
    )


def with_mark(hand: Hand, mark: MarkStyle) -> Hand:
    """Let the same person mark in another way."""
    return replace(hand, mark=mark)


def usual_shape(hand: Hand, digit: str) -> int:
    """Which of a digit's shapes this person was taught."""
    return int(_person(hand, digit).integers(len(DIGITS[digit])))


def digit_strokes(
    hand: Hand, digit: str, height: float, rng: np.random.Generator
) -> tuple[Stroke, ...]:
    """Write one digit around the origin.

    Parameters
    ----------
    digit : str
        "0" to "9".
    height : float
        Height that was meant. [mm]

    Returns
    -------
    tuple of Stroke
        In millimetres, x to the right and y downwards.
    """
    usual = usual_shape(hand, digit)
    other = int(rng.integers(len(DIGITS[digit])))
    shape = usual if rng.random() < _HABIT else other
    return shape_strokes(hand, digit, shape, height, rng)


def shape_strokes(
    hand: Hand, digit: str, shape: int, height: float, rng: np.random.Generator
) -> tuple[Stroke, ...]:
    """Write one given shape of a digit around the origin, in this person's way."""
    person = _person(hand, digit)
    bend = _bend(hand, person, rng) * height
    tuned = [_distorted(path, hand, person, rng) for path in DIGITS[digit][shape]]
    lines = [_hurried(curve(path), hand.haste) @ bend.T for path in tuned]
    return tuple(pulled(line, hand.tremor_mm, rng) for line in lines)


def _person(hand: Hand, digit: str) -> np.random.Generator:
    """Draw what is lasting about a person's digit: the same numbers each time."""
    return np.random.default_rng([hand.seed, 12, ord(digit)])


def _distorted(
    path: Path, hand: Hand, person: np.random.Generator, rng: np.random.Generator
) -> Points:
    """Control points as this person has them, and as they fell this time; middle at 0, 0."""
    points = np.array(path) - (CELL_WIDTH / 2, 0.5)
    lasting = 0.016 * person.standard_normal(points.shape)
    today = (0.008 + 0.012 * hand.haste) * rng.standard_normal(points.shape)
    moved = lasting + today
    corner = np.flatnonzero((points[1:] == points[:-1]).all(axis=1)) + 1
    moved[corner] = moved[corner - 1]  # a corner stays one point
    return points + moved


def _bend(hand: Hand, person: np.random.Generator, rng: np.random.Generator) -> Points:
    """Slant, width, size and rotation of one digit as a (2, 2) matrix."""
    wide = person.uniform(0.82, 1.18) * rng.normal(1, 0.04)
    tall = rng.normal(1, 0.04)
    lean = np.tan(np.radians(hand.slant_deg + rng.normal(0, 2)))
    turn = np.radians(rng.normal(0, 2.0))
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    return np.asarray(rotation @ np.array([[wide, -lean], [0, tall]]))


def _hurried(line: Points, haste: float) -> Points:
    """Cut corners as a fast hand does; the ends stay where they are."""
    points = evenly(line, 0.02)
    reach = 0.6 + 3.0 * haste
    half = min(int(np.ceil(3 * reach)), len(points) - 1)
    kernel = np.exp(-0.5 * (np.arange(-half, half + 1) / reach) ** 2)
    before = 2 * points[0] - points[half:0:-1]
    after = 2 * points[-1] - points[-2 : -half - 2 : -1]
    padded = np.vstack([before, points, after])
    blurred = [np.convolve(padded[:, i], kernel / kernel.sum(), mode="valid") for i in (0, 1)]
    return np.column_stack(blurred)
