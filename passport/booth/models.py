"""Two models of a hand, by two authors; a writer has one of them."""

import numpy as np

from forms.field import Box
from passport.booth import marks, pulses, writer
from passport.booth.strokes import Stroke
from passport.booth.writer import Hand, Model


def digit_strokes(
    hand: Hand, digit: str, height: float, rng: np.random.Generator
) -> tuple[Stroke, ...]:
    """Write one digit around the origin in this hand's model [mm]."""
    write = pulses.digit_strokes if hand.model is Model.PULSES else writer.digit_strokes
    return write(hand, digit, height, rng)


def mark_strokes(hand: Hand, box: Box, rng: np.random.Generator) -> tuple[Stroke, ...]:
    """Mark a box in this hand's model [mm]."""
    mark = pulses.mark_strokes if hand.model is Model.PULSES else marks.mark_strokes
    return mark(hand, box, rng)
