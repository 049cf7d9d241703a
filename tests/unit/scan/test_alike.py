"""Figures that repeat themselves on a page, drawn as strokes."""

import numpy as np
import pytest

from scan.alike import repeated
from scan.boxes import Cuts, cores
from scan.opencv import cv2

SIDE = 61  # pixels of a cut: a box of 4.8 mm with 1.4 mm around it, at 8 px/mm
LOOP = ((20, 20), (41, 41), (46, 30), (41, 20), (20, 41))
CROSS = ((20, 20), (41, 41), (30, 30), (41, 20), (20, 41))
LETTER = ((20, 42), (20, 20), (41, 42), (41, 20))


def page(*figures: tuple[tuple[int, int], ...]) -> Cuts:
    """Draw figures, each moved a little from its box's middle and of a little other size."""
    drawn = [_drawn(figure, at) for at, figure in enumerate(figures)]
    ink = np.array(drawn, np.float32)
    return Cuts(ink, ink, 4.8, 4.8)


def _drawn(figure: tuple[tuple[int, int], ...], at: int) -> np.ndarray:
    points = 30 + (np.array(figure) - 30) * (1 + 0.06 * (at % 3 - 1)) + (at % 3 - 1, at % 2)
    picture = np.zeros((SIDE, SIDE), np.float32)
    cv2.polylines(picture, [points.astype(np.int32)], False, 0.8, 3)
    return np.asarray(cv2.GaussianBlur(picture, (0, 0), 1.0))


@pytest.mark.parametrize("likes", [3, 4])
def test_a_figure_is_usual_if_four_proper_marks_look_like_it(likes):
    cuts = page(LOOP, *[LOOP] * likes, *[((20, 30), (41, 30))] * 5)

    found = repeated(cuts, cores(cuts), range(1, 6 + likes), [0])

    assert found == ({0} if likes == 4 else set())


def test_a_letter_among_crosses_is_not_usual():
    cuts = page(LETTER, *[CROSS] * 9)

    assert repeated(cuts, cores(cuts), range(1, 10), [0]) == set()


def test_letters_that_are_all_alike_are_not_usual():
    cuts = page(*[LETTER] * 9, *[CROSS] * 4)

    assert repeated(cuts, cores(cuts), range(9, 13), range(9)) == set()


def test_nothing_is_usual_on_a_page_with_three_proper_marks():
    cuts = page(*[LOOP] * 4)

    assert repeated(cuts, cores(cuts), range(1, 4), [0]) == set()
