"""Handwriting in a note's area: words whose outline follows their letters.

The letters are not meant to be read by a program; a note is kept as a picture. Each letter takes a
pattern by its kind (low, tall, hanging, digit), so that words look like words.
"""

from collections.abc import Mapping, Sequence

import numpy as np

from forms.field import Box
from passport.booth.strokes import Points, Stroke, curve, moved, pulled
from passport.booth.writer import Hand, digit_strokes

_TALL = "bdfhkltABCDEFGHIJKLMNOPQRSTUVWXYZ"
_HANGING = "gjpqy"
_WIDE = "mwMW"
_MARKS = ".,;:-"

# In x heights: x from the letter's left end, y upwards from the base line.
_PATTERNS: Mapping[str, Sequence[tuple[float, float]]] = {
    "arch": ((0.0, 0.1), (0.15, 0.9), (0.4, 0.95), (0.5, 0.4), (0.6, 0.0), (0.8, 0.15)),
    "bowl": ((0.1, 0.2), (0.6, 0.9), (0.2, 0.9), (0.1, 0.3), (0.4, 0.0), (0.65, 0.5), (0.8, 0.1)),
    "wave": ((0.0, 0.1), (0.2, 0.9), (0.3, 0.1), (0.55, 0.1), (0.6, 0.9), (0.65, 0.1), (0.85, 0.2)),
    "tall": ((0.0, 0.2), (0.35, 1.5), (0.3, 2.1), (0.15, 1.6), (0.2, 0.2), (0.5, 0.0), (0.7, 0.3)),
    "hang": (
        (0.5, 0.85),
        (0.1, 0.5),
        (0.35, 0.1),
        (0.55, 0.9),
        (0.5, -0.6),
        (0.2, -0.9),
        (0.75, 0.1),
    ),
}
_LOW = ("arch", "bowl", "wave")


def note_strokes(hand: Hand, box: Box, text: str, rng: np.random.Generator) -> tuple[Stroke, ...]:
    """Write a text into an area, line by line, smaller when it is long.

    Parameters
    ----------
    box : Box
        The area. [mm]

    Returns
    -------
    tuple of Stroke
        In millimetres of the page.
    """
    x_height = _fitting(box, text)
    rows = _rows(text, (box.width - 4) / x_height)
    pitch = 4.2 * x_height
    strokes: list[Stroke] = []
    for number, row in enumerate(rows):
        base = np.array([box.x + 2, box.y + 1.0 + 2.4 * x_height + number * pitch])
        strokes += _row_strokes(hand, row, base, x_height, rng)
    return tuple(strokes)


def _fitting(box: Box, text: str) -> float:
    """Largest usual x height with which the text stays inside [mm]."""
    for x_height in (2.8, 2.5, 2.2, 1.9, 1.6, 1.3, 1.0):
        rows = _rows(text, (box.width - 4) / x_height)
        if 1.0 + (2.4 + 4.2 * (len(rows) - 1) + 1.2) * x_height <= box.height:
            return x_height
    return 0.8


def _rows(text: str, width: float) -> list[str]:
    """Break a text at spaces; width in x heights."""
    rows = [""]
    for word in text.split():
        longer = f"{rows[-1]} {word}".strip()
        if rows[-1] and _length(longer) > width:
            rows.append(word)
        else:
            rows[-1] = longer
    return rows


def _length(text: str) -> float:
    return sum(_advance(letter) for letter in text)


def _advance(letter: str) -> float:
    """Room that a letter takes [x heights]."""
    if letter in _WIDE or letter.isdigit():
        return 1.4
    return 0.6 if letter in _MARKS else 0.9


def _row_strokes(
    hand: Hand, row: str, base: Points, x_height: float, rng: np.random.Generator
) -> list[Stroke]:
    strokes: list[Stroke] = []
    lean = np.tan(np.radians(hand.slant_deg))
    for word, start in _words(row):
        at = base + np.array([start * x_height, rng.normal(0, 0.1)])
        line = _joined(word, rng)
        if len(line) > 1:
            sheared = np.column_stack([line[:, 0] + lean * line[:, 1], -line[:, 1]])
            strokes.append(pulled(curve(sheared) * x_height + at, hand.tremor_mm, rng))
        strokes += _written_digits(hand, word, at, x_height, rng)
    return strokes


def _words(row: str) -> list[tuple[str, float]]:
    """Words of a row and where they start [x heights]."""
    found, x = [], 0.0
    for word in row.split(" "):
        found.append((word, x))
        x += _length(word + " ")
    return found


def _joined(word: str, rng: np.random.Generator) -> Points:
    """Join the letters of a word to one line, in x heights; digits and marks are left out."""
    pieces, x = [np.empty((0, 2))], 0.0
    for letter in word:
        if letter.isalpha():
            pattern = np.array(_PATTERNS[_kind(letter)]) * (_advance(letter), 1)
            pieces.append(pattern + np.array([x, 0.0]) + rng.normal(0, 0.06, pattern.shape))
        x += _advance(letter)
    return np.vstack(pieces)


def _kind(letter: str) -> str:
    if letter in _TALL:
        return "tall"
    return "hang" if letter in _HANGING else _LOW[ord(letter) % len(_LOW)]


def _written_digits(
    hand: Hand, word: str, at: Points, x_height: float, rng: np.random.Generator
) -> list[Stroke]:
    strokes: list[Stroke] = []
    for position, letter in enumerate(word):
        if letter in "0123456789":
            right = (_length(word[:position]) + 0.6) * x_height
            middle = at + np.array([right, -x_height])
            strokes += moved(digit_strokes(hand, letter, 2.0 * x_height, rng), middle)
    return strokes
