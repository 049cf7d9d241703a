"""The digit networks: a normalised shape in, the chance of each digit out.

Two of different build, trained on the same pictures, look at each shape upright and leaning to
either side. Chances are the geometric mean of the six views: what one of them doubts weighs.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from scan.arrays import Floats
from scan.errors import ModelDamaged
from scan.glyph import SIDE, Glyph
from scan.guards import GUARDS, Guards
from scan.opencv import cv2

HERE = Path(__file__).parent / "model"
TOLERANCE = 0.01  # of stored scores; versions of OpenCV differ by less than 0.001

UNLIKE = 10  # place of the class of shapes that are no digits
SLANTS = (-0.2, 0.2)  # a digit stays one when it leans a little to either side

# Both networks believe too little in ones: odds that are added, fitted on plain digits of the
# sheets for choosing, by the smallest log loss (vector scaling, Guo et al. 2017, arXiv 1706.04599).
LIKELIER = np.log(np.where(np.arange(UNLIKE) == 1, 4.3, 1.0))
EIGHT = 8  # what two of three corrections look like that are misread
EIGHTS = 2.5  # odds, more than by its shape, that an eight is none

# Shapes outside these bounds are unlike any digit of the training data (0.1 % on either side).
ASPECT = (0.04, 1.6)
STROKE = (0.03, 0.42)
INK = (0.06, 1.0)
HEIGHT = (0.35, 1.25)  # of the box; a shorter stroke may be a dot or a dash


@dataclass(frozen=True)
class Guess:
    """The chance of each digit for a shape, and whether the shape is like a digit at all."""

    chances: tuple[float, ...]  # (10,)
    like_a_digit: bool

    @property
    def digit(self) -> int:
        """The likeliest one."""
        return int(np.argmax(self.chances))

    @property
    def chance(self) -> float:
        """That of the likeliest one."""
        return max(self.chances)


@dataclass(frozen=True)
class Network:
    """The loaded networks, in one graph, and what belongs to them."""

    net: "cv2.dnn.Net"
    temperatures: np.ndarray  # (K,)
    centres: np.ndarray  # (10, 64)
    spread: np.ndarray  # (10, 64)
    farthest: float

    def guess(self, glyphs: Sequence[Glyph], guards: Guards = GUARDS) -> list[Guess]:
        """Guess each shape's digit."""
        if not glyphs:
            return []
        pictures = np.stack([glyph.picture for glyph in glyphs])
        features, scores = self.outputs(pictures)
        slanted = [self.outputs(_slanted(pictures, by))[1] for by in SLANTS]
        views = np.concatenate([scores, *slanted])
        chances = self._agreed(views[:, :, :UNLIKE], LIKELIER)
        unlike = self._agreed(views)[:, UNLIKE]
        rows = zip(glyphs, features, chances, unlike, strict=True)
        return [self._judged(*row, guards) for row in rows]

    def _agreed(self, views: np.ndarray, likelier: np.ndarray | float = 0.0) -> np.ndarray:
        """Chances (N, K) on which all views (V, N, K) agree: their geometric mean.

        Of the digits among themselves: whether a shape is one at all is asked apart. ``likelier``
        are logarithms of odds (K,) that are added.
        """
        warmth = np.resize(self.temperatures, len(views))
        logs = [log_softmax(scores / own) for scores, own in zip(views, warmth, strict=True)]
        return softmax(np.mean(logs, axis=0) + likelier)

    def outputs(self, pictures: Floats) -> tuple[np.ndarray, np.ndarray]:
        """Features (N, 64) and each network's scores (K, N, 11) of pictures (N, 28, 28)."""
        self.net.setInput(np.ascontiguousarray(pictures[:, None], dtype=np.float32))
        names = [scores_of(number) for number in range(len(self.temperatures))]
        features, *scores = self.net.forward(["features", *names])
        return np.asarray(features), np.stack(scores)

    def _judged(
        self,
        glyph: Glyph,
        features: np.ndarray,
        chances: np.ndarray,
        unlike: float,
        guards: Guards,
    ) -> Guess:
        digit = int(np.argmax(chances))
        away = (features - self.centres[digit]) / self.spread[digit]
        near = float(np.sqrt(np.mean(away**2))) <= guards.domain * self.farthest
        shaped = np.isinf(guards.domain) or _shaped_like_a_digit(glyph)
        whole = _odds_times(unlike, EIGHTS if digit == EIGHT else 1.0) <= guards.unlike
        like = near and whole and shaped and glyph.beyond <= guards.beyond
        return Guess(tuple(chances.tolist()), bool(like))


def scores_of(number: int) -> str:
    """Name the output with the scores of one of the networks, counted from 0."""
    return f"scores {number}"


def _odds_times(chance: float, factor: float) -> float:
    return factor * chance / (factor * chance + 1 - chance)


def _slanted(pictures: Floats, by: float) -> Floats:
    """Lean pictures (N, 28, 28) about their middles, by that much across for each down."""
    lean = np.array([[1, by, -by * (SIDE / 2 - 0.5)], [0, 1, 0]])
    return np.stack([cv2.warpAffine(picture, lean, (SIDE, SIDE)) for picture in pictures])


def softmax(scores: np.ndarray) -> np.ndarray:
    """Chances (N, K) of scores (N, K)."""
    return np.asarray(np.exp(log_softmax(scores)))


def log_softmax(scores: np.ndarray) -> np.ndarray:
    """Logarithms of the chances (N, K) of scores (N, K)."""
    moved = scores - scores.max(axis=1, keepdims=True)
    return np.asarray(moved - np.log(np.exp(moved).sum(axis=1, keepdims=True)))


def _shaped_like_a_digit(glyph: Glyph) -> bool:
    bounds = (
        (glyph.aspect, ASPECT),
        (glyph.stroke, STROKE),
        (glyph.ink, INK),
        (glyph.height, HEIGHT),
    )
    return all(low <= value <= high for value, (low, high) in bounds)


@cache
def digit_network() -> Network:
    """Load the network once, and check it on ten stored digits.

    Raises
    ------
    ModelDamaged
        It scores them otherwise than when it was made.
    """
    with np.load(HERE / "digits.npz") as stored:
        facts = {name: stored[name] for name in stored.files}
    net = cv2.dnn.readNetFromONNX(str(HERE / "digits.onnx"))
    network = Network(
        net,
        facts["temperatures"],
        facts["centres"],
        facts["spread"],
        float(facts["farthest"]),
    )
    check(network, facts["golden"], facts["golden_scores"])
    return network


def check(network: Network, golden: np.ndarray, scores: np.ndarray) -> None:
    """Compare the network's scores of stored digits (N, 28, 28) with those of its making (N, 11).

    Raises
    ------
    ModelDamaged
        They differ by more than ``TOLERANCE``.
    """
    pictures = (golden.reshape(-1, SIDE, SIDE) / 255).astype(np.float32)
    found = network.outputs(pictures)[1]
    difference = float(np.abs(found - scores).max())
    if not difference <= TOLERANCE:
        raise ModelDamaged(difference, cv2.__version__)
