"""Marks paler than grain: figures drawn in arrays, on Gaussian grain smoothed as blur does."""

import numpy as np
import pytest

from scan.boxes import Cuts
from scan.opencv import cv2
from scan.pale import own_traces
from scan.traces import insides

SIDE, COUNT = 61, 120  # a box of 4.8 mm with 1.4 mm around it, at 8 px/mm
GRAIN = 0.04
CROSS = ((20, 20), (41, 41)), ((41, 20), (20, 41))


def page(marks: int, faint: float, smooth: float = 1.0, seed: int = 1) -> tuple[Cuts, np.ndarray]:
    """Draw grain in all boxes, a cross in the first ones, and a faint one in the last."""
    rng = np.random.default_rng(seed)
    ink = rng.normal(0, 1, (COUNT, SIDE, SIDE))
    ink = np.stack([cv2.GaussianBlur(one, (0, 0), smooth) for one in ink])
    ink *= GRAIN / ink.std()
    for at in range(marks):
        ink[at] += _cross(0.5, at % 3 - 1)
    ink[-1] += _cross(faint, 1)
    small = np.asarray(ink, np.float32)
    return Cuts(small, small, 4.8, 4.8), np.arange(COUNT) < marks


def _cross(dark: float, aside: int) -> np.ndarray:
    picture = np.zeros((SIDE, SIDE), np.float32)
    for start, end in CROSS:
        cv2.line(picture, (start[0] + aside, start[1]), (end[0] + aside, end[1]), dark, 3)
    return picture


def found(marks: int, faint: float, smooth: float = 1.0, seed: int = 1) -> np.ndarray:
    cuts, marked = page(marks, faint, smooth, seed)
    grain = float(insides(cuts)[marks:-1].std())
    return own_traces(cuts, np.full(COUNT, grain), np.full(COUNT, 0.5), marked)


@pytest.mark.parametrize("smooth", [0.5, 1.5, 3.0])
def test_a_mark_as_pale_as_grain_stands_out_from_blank_boxes(smooth):
    traces = found(12, 1.2 * GRAIN, smooth)

    assert traces[-1] > traces[12:-1].max()


def test_blank_boxes_stand_out_as_far_however_alike_their_grain_is():
    usual = [float(np.median(found(12, 0.0, smooth)[12:])) for smooth in (0.5, 1.0, 1.5)]

    assert max(usual) < 1.25 * min(usual)


def test_a_page_with_two_marks_tells_nothing_of_its_hand():
    assert not len(found(2, GRAIN))


def test_burnt_out_paper_is_not_searched_for_figures_in_its_rounding():
    cuts, marked = page(12, 0.0)
    still = Cuts(cuts.ink * 0.01, cuts.soft, 4.8, 4.8)

    assert own_traces(still, np.full(COUNT, GRAIN), np.full(COUNT, 0.5), marked)[12:].max() < 0.5
