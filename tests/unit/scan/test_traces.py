"""Pale marks in grain: figures drawn in arrays, on Gaussian grain of a known standard deviation."""

import numpy as np
import pytest

from forms.field import Box
from scan.boxes import Cuts
from scan.opencv import cv2
from scan.traces import grain_of, traces

SIDE = 61  # pixels of a cut: a box of 4.8 mm with 1.4 mm around it, at 8 px/mm
GRAIN = 0.04
BOXES = [Box(10 + 7.2 * (at % 20), 20 + 7.2 * (at // 20), 4.8, 4.8) for at in range(200)]
CROSS = [((20, 20), (41, 41)), ((41, 20), (20, 41))]
TICK = [((21, 30), (27, 38)), ((27, 38), (41, 22))]
SLASH = [((21, 40), (40, 21))]


def noisy(seed: int, grain: float = GRAIN) -> np.ndarray:
    return np.random.default_rng(seed).normal(0.1, grain, (len(BOXES), SIDE, SIDE))


def cuts(ink: np.ndarray) -> Cuts:
    whole = np.asarray(ink, np.float32)
    return Cuts(whole, whole, 4.8, 4.8)


def drawn(strokes, dark: float) -> np.ndarray:
    picture = np.zeros((SIDE, SIDE), np.float32)
    for start, end in strokes:
        cv2.line(picture, start, end, dark, 3)
    return picture


def test_grain_is_measured_in_boxes_half_full_of_ink():
    ink = noisy(1)
    ink[::3, 15:30, 15:45] += 0.8

    grain = grain_of(cuts(ink), BOXES)

    assert np.median(grain) == pytest.approx(GRAIN / 2, rel=0.25)  # four pixels are averaged


def test_no_blank_box_of_200_shows_a_figure():
    blank = cuts(noisy(2))

    assert traces(blank, grain_of(blank, BOXES)).max() < 6.5


@pytest.mark.parametrize("strokes", [CROSS, TICK, SLASH], ids=["cross", "tick", "slash"])
def test_a_mark_as_dark_as_grain_itself_is_found(strokes):
    ink = noisy(3)
    ink[77] += drawn(strokes, 1.2 * GRAIN)

    found = traces(cuts(ink), grain_of(cuts(ink), BOXES))

    assert (int(found.argmax()), found[77] > 6.5) == (77, True)


def test_light_that_changes_across_a_box_is_no_figure():
    ink = noisy(4)
    ink[50] += np.linspace(0, 0.3, SIDE)[:, None] ** 2

    assert traces(cuts(ink), grain_of(cuts(ink), BOXES))[50] < 6.5


def test_paper_burnt_out_to_white_has_a_little_grain():
    assert grain_of(cuts(np.zeros((9, SIDE, SIDE))), BOXES[:9]) == pytest.approx(0.004)
