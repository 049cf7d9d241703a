"""What heavy outlines blur into boxes goes; what a pen drew there stays, in however many boxes."""

import cv2
import numpy as np
import pytest

from forms.field import Box
from scan.boxes import cores, cuts_of
from scan.heavy import take_blur_off
from scan.ink import PX_PER_MM, Area

BOXES = [Box(10 + 7.2 * (at % 2), 20 + 12 * (at // 2), 4.8, 4.8) for at in range(12)]
FRAME = Box(0, 0, 40, 100)
BLUR_PX = 1.5
THIN = 0.12  # darkness of thin outlines; none of these boxes has one


def page(
    *strokes: list[tuple[float, float]], in_boxes: range = range(0), heavy: float = 1.0
) -> Area:
    """Draw boxes with heavy outlines, and strokes in some, in shares of a box's side; blurred."""
    ink = np.zeros((round(FRAME.height * PX_PER_MM), round(FRAME.width * PX_PER_MM)), np.float32)
    square = [(0, 0), (1, 0), (1, 1), (0, 1), (0, 0)]
    for at, box in enumerate(BOXES):
        drawn = [(square, 0.6 * heavy), *((one, 0.4) for one in strokes if at in in_boxes)]
        for path, width in drawn:
            points = np.round((np.array(path) * 4.8 + (box.x, box.y)) * PX_PER_MM * 8)
            layer = np.zeros(ink.shape, np.uint8)
            thick = round(width * PX_PER_MM)
            cv2.polylines(layer, [points.astype(np.int32)], False, 230, thick, cv2.LINE_AA, 3)
            ink = np.maximum(ink, layer / np.float32(255))
    return Area(cv2.GaussianBlur(ink, (0, 0), BLUR_PX), np.ones(ink.shape, bool), FRAME)


def cores_of(area: Area) -> tuple[np.ndarray, np.ndarray]:
    cuts = cuts_of([area] * len(BOXES), BOXES)
    before = cores(cuts)
    take_blur_off(cuts, BOXES, THIN)
    return before, cores(cuts)


def test_blur_of_heavy_outlines_is_taken_off():
    before, after = cores_of(page())

    assert (before.min() > 0.1, (after < 0.5 * before).all()) == (True, True)


MARKS = {
    "cross": [[(0.1, 0.1), (0.9, 0.9)], [(0.9, 0.1), (0.1, 0.9)]],
    "slash": [[(0.1, 0.9), (0.9, 0.1)]],
    "upright line amid the box": [[(0.5, 0.0), (0.5, 1.0)]],
    "filled": [[(0.15 + 0.7 * (at % 2), 0.15 + 0.03 * at) for at in range(24)]],
}


@pytest.mark.parametrize("count", [1, 6, 12])
@pytest.mark.parametrize("strokes", MARKS.values(), ids=MARKS)
def test_marks_in_heavy_boxes_keep_their_darkness(strokes, count):
    before, after = cores_of(page(*strokes, in_boxes=range(count)))

    assert after[:count] == pytest.approx(before[:count], rel=0.05)


def test_boxes_without_heavy_outlines_are_left_alone():
    cuts = cuts_of([page(heavy=0.2)] * len(BOXES), BOXES)
    before = cuts.ink.copy()

    take_blur_off(cuts, BOXES, THIN * 3)

    assert (cuts.ink == before).all()
