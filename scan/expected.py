"""What a form knew of a number when it was printed, as a witness of the digits that were read.

Bounds and expectation say how much likelier the number is than those that it would be if one of its
digits were another. They never pick a digit: a shape's likeliest digit stays the only one that is
reported, and each must pass a gate of its own before they are asked (``Guards.expected_chance``).
Where the others are as likely, as for a last digit that is less than the expectation's uncertainty,
they say nothing.
"""

from collections.abc import Sequence

import numpy as np

from forms.field import Digits, Expectation
from scan.network import Guess

OUTSIDE = 0.002  # share of numbers that are written outside their field's bounds; no source
SURPRISES = 0.05  # and of those that history did not foresee, evenly within bounds; no source
ELSEWHERE = 0.2  # of the chance to be another digit, shared evenly: few errors are second guesses


def expected_chances(field: Digits, guesses: Sequence[Guess], sign: int) -> list[float]:
    """Chance of each digit of a number, the others being right, with what its form knew.

    Parameters
    ----------
    field : Digits
        Its bounds and expectation.
    guesses : sequence of Guess
        Most significant first.
    sign : int
        1 or -1.
    """
    digits = np.array([guess.digit for guess in guesses])
    units = 10.0 ** (np.arange(len(digits))[::-1] - field.decimals)
    others = np.arange(10) - digits[:, None]
    changed = others * units[:, None]  # (N, 10), by one digit each
    values = sign * (digits @ units + changed)
    chances = np.array([_shared(guess) for guess in guesses])
    weighted = chances * likelihood(field, values)
    own = weighted[np.arange(len(digits)), digits]
    return [float(chance) for chance in own / weighted.sum(axis=1)]


def likelihood(field: Digits, values: np.ndarray) -> np.ndarray:
    """How likely each of some numbers is to be written in a field, before anything is read."""
    step = 10.0**-field.decimals
    writable = 10 ** len(field.boxes)
    if field.low < field.high:
        within = min((field.high - field.low) / step + 1, writable)
        inside = (values > field.low - step / 2) & (values < field.high + step / 2)
    else:
        within, inside = writable, np.ones(values.shape, bool)
    shares = (1 - OUTSIDE) / within, OUTSIDE / max(writable - within, 1)
    known = np.asarray(np.where(inside, *shares))
    if field.expect is None:
        return known
    return np.asarray(SURPRISES * known + (1 - SURPRISES) * _foreseen(field.expect, values, step))


def _foreseen(expect: Expectation, values: np.ndarray, step: float) -> np.ndarray:
    """Chance of the numbers of one step around each of some values."""
    u = float(np.hypot(expect.u, step))
    away = (values - expect.value) / u
    return np.asarray(step / u / np.sqrt(2 * np.pi) * np.exp(-0.5 * away**2))


def _shared(guess: Guess) -> np.ndarray:
    """Chance of each digit; what is left to others is shared out among them in part."""
    chances = (1 - ELSEWHERE) * np.array(guess.chances) + ELSEWHERE * (1 - guess.chance) / 9
    chances[guess.digit] = guess.chance
    return np.asarray(chances)
