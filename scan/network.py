"""The digit network: a normalised shape in, the chance of each digit out."""

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
TURNS = (-9.0, 9.0)  # a digit stays one when the paper is turned a little [degrees]

# Shapes outside these bounds are unlike any digit of the training data (0.1 % on either side).
ASPECT = (0.04, 1.6)
STROKE = (0.03, 0.42)
INK = (0.06, 1.0)
HEIGHT = (0.35, 1.25)  # of the box; a shorter stroke may be a dot or a dash


@dataclass(frozen=True)
class Guess:
    """The likeliest digit of a shape, its chance, and whether the shape is like a digit at all."""

    digit: int
    chance: float
    like_a_digit: bool


@dataclass(frozen=True)
class Network:
    """The loaded network and what belongs to it."""

    net: "cv2.dnn.Net"
    temperature: float
    centres: np.ndarray  # (10, 64)
    spread: np.ndarray  # (10, 64)
    farthest: float

    def guess(self, glyphs: Sequence[Glyph], guards: Guards = GUARDS) -> list[Guess]:
        """Guess each shape's digit."""
        if not glyphs:
            return []
        pictures = np.stack([glyph.picture for glyph in glyphs])
        features, scores = self.outputs(pictures)
        turned = [self.outputs(_turned(pictures, angle))[1] for angle in TURNS]
        views = np.stack([scores, *turned])
        chances, unlike = self._agreed(views[:, :, :UNLIKE]), self._agreed(views)[:, UNLIKE]
        rows = zip(glyphs, features, chances, unlike, strict=True)
        return [self._judged(*row, guards) for row in rows]

    def _agreed(self, views: np.ndarray) -> np.ndarray:
        """Chances (N, K) on which all views (V, N, K) agree: their geometric mean.

        Of the digits among themselves: whether a shape is one at all is asked apart.
        """
        return softmax(
            np.mean([log_softmax(scores / self.temperature) for scores in views], axis=0)
        )

    def outputs(self, pictures: Floats) -> tuple[np.ndarray, np.ndarray]:
        """Features (N, 64) and scores (N, 11) of pictures (N, 28, 28)."""
        self.net.setInput(np.ascontiguousarray(pictures[:, None], dtype=np.float32))
        features, scores = self.net.forward(["features", "scores"])
        return np.asarray(features), np.asarray(scores)

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
        like = near and unlike <= guards.unlike and shaped and glyph.beyond <= guards.beyond
        return Guess(digit, float(chances[digit]), bool(like))


def _turned(pictures: Floats, angle: float) -> Floats:
    """Turn pictures (N, 28, 28) about their middles. [degrees]."""
    turn = cv2.getRotationMatrix2D((SIDE / 2 - 0.5, SIDE / 2 - 0.5), angle, 1.0)
    return np.stack([cv2.warpAffine(picture, turn, (SIDE, SIDE)) for picture in pictures])


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
        float(facts["temperature"]),
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
