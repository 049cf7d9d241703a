import cv2
import numpy as np
import pytest

from forms.field import Box
from scan.boxes import cores, cuts_of, outlines, shape_of, stained
from scan.ink import PX_PER_MM, Area
from scan.rims import rims, ruled

BOX = Box(3, 3, 4.8, 4.8)
SIDE = round(11 * PX_PER_MM)


def drawn(*lines: list[tuple[float, float]], width: float = 0.4, dark: float = 0.7) -> Area:
    """Draw lines in units of the box's side, from its corner, and the outline of the box."""
    ink = np.zeros((SIDE, SIDE), np.float32)
    corners = [(0, 0), (1, 0), (1, 1), (0, 1), (0, 0)]
    for line, pen, colour in [(corners, 0.2, 0.6), *((line, width, dark) for line in lines)]:
        path = np.round((np.array(line) * 4.8 + 3) * PX_PER_MM * 8).astype(np.int32)
        stroke = np.zeros((SIDE, SIDE), np.uint8)
        cv2.polylines(
            stroke, [path.reshape(-1, 1, 2)], False, 255, round(pen * PX_PER_MM), cv2.LINE_AA, 3
        )
        ink = np.maximum(ink, stroke / np.float32(255) * np.float32(colour))
    return Area(ink, np.ones(ink.shape, bool), Box(0, 0, 11, 11))


CROSS = ([(0.1, 0.1), (0.9, 0.9)], [(0.9, 0.1), (0.1, 0.9)])
TICK = ([(0.15, 0.5), (0.4, 0.9), (1.05, 0.0)],)
SCRIBBLE = ([(-0.2 + 1.4 * (k % 2), 0.02 + 0.12 * k) for k in range(9)],)
HATCH = ([(0.12 + 0.76 * (k % 2), 0.1 + 0.1 * k) for k in range(9)],)
SOLID = ([(0.12 + 0.76 * (k % 2), 0.1 + 0.03 * k) for k in range(27)],)
LETTERS = (
    [(0.2, 0.75), (0.2, 0.3), (0.36, 0.75), (0.36, 0.3)],
    [(0.55, 0.3), (0.72, 0.3), (0.72, 0.75), (0.55, 0.75), (0.55, 0.3)],
)
DROP = ([(0.5, 0.5), (0.51, 0.5)],)


def shape(lines):
    cuts = cuts_of([drawn(*lines)], [BOX])
    return shape_of(cuts, 0, float(cores(cuts)[0]))


@pytest.mark.parametrize("lines", [CROSS, TICK])
def test_mark_is_one_piece_of_few_strokes(lines):
    found = shape(lines)

    assert (found.parts, found.runs < 1.9, found.cover < 0.5, found.exits < 5) == (
        1,
        True,
        True,
        True,
    )


def test_scribble_covers_its_box_and_leaves_it_often():
    found = shape(SCRIBBLE)

    assert (found.cover > 0.6, found.exits > 5) == (True, True)


def test_hatching_has_gaps_and_a_solid_box_none():
    assert shape(HATCH).runs > 1.9
    assert shape(SOLID).runs < 1.35
    assert shape(SOLID).outside == 0


def test_letters_are_two_pieces_of_many_strokes():
    found = shape(LETTERS)

    assert (found.parts, found.runs > 1.9) == (2, True)


def test_a_pen_that_skips_a_little_draws_one_piece():
    skipped = shape(([(0.15, 0.5), (0.4, 0.9)], [(0.5, 0.76), (0.8, 0.35)]))
    apart = shape(([(0.3, 0.3), (0.7, 0.3)], [(0.3, 0.7), (0.7, 0.7)]))

    assert (skipped.parts, apart.parts) == (1, 2)


@pytest.mark.parametrize(
    ("line", "sides"),
    [
        ([(-0.5, 1.18), (1.5, 1.18)], [False, False, False, True]),
        ([(-0.18, -0.5), (-0.18, 1.5)], [True, False, False, False]),
        ([(0.0, 1.18), (1.0, 1.18)], [False] * 4),
        ([(-0.5, 1.3), (1.5, 1.12)], [False] * 4),
        ([(-0.5, 1.18), (0.6, 1.18)], [False] * 4),
    ],
)
def test_a_rule_runs_on_beyond_the_box(line, sides):
    assert ruled(cuts_of([drawn(line)], [BOX]))[0].tolist() == sides


def test_a_rule_in_which_the_printer_skips_is_still_one():
    broken = drawn([(-0.5, 1.18), (0.4, 1.18)], [(0.6, 1.18), (1.5, 1.18)])

    assert ruled(cuts_of([broken], [BOX]))[0].tolist() == [False, False, False, True]


def test_drop_is_small():
    assert shape(DROP).size_mm < 0.9


def test_blank_box_has_no_core_and_its_outline_is_even():
    cuts = cuts_of([drawn()], [BOX])

    assert cores(cuts) == pytest.approx([0], abs=0.01)
    assert np.ptp(outlines(cuts)) < 0.03
    assert rims(cuts, 1.15) == pytest.approx(np.zeros((1, 4)), abs=0.01)


def test_shadow_over_the_whole_box_is_no_ink():
    area = drawn()
    dark = Area(area.ink + np.float32(0.3), area.seen, area.frame)

    assert cores(cuts_of([dark], [BOX])) == pytest.approx([0], abs=0.01)


@pytest.mark.parametrize(
    ("line", "side"),
    [
        ([(-0.16, 0.2), (-0.16, 0.8)], 0),
        ([(1.16, 0.2), (1.16, 0.8)], 1),
        ([(0.2, -0.16), (0.8, -0.16)], 2),
        ([(0.2, 1.16), (0.8, 1.16)], 3),
    ],
)
def test_ink_beside_a_box_shows_on_its_side(line, side):
    found = rims(cuts_of([drawn(line)], [BOX]), 1.15)[0]

    assert found.argmax() == side
    assert found[side] > 0.05


def test_pen_over_the_outline_makes_it_darker():
    traced = [(-0.02, -0.02), (1.02, -0.02), (1.02, 1.02), (-0.02, 1.02), (-0.02, -0.02)]

    plain, over = (outlines(cuts_of([area], [BOX])) for area in (drawn(), drawn(traced)))

    assert (over > 1.5 * plain).all()


def test_cross_stains_more_of_a_box_than_the_end_of_a_stroke():
    ends = stained(cuts_of([drawn([(0.95, 0.2), (0.84, 0.27)])], [BOX]), 0.04)

    assert ends < 0.05 < stained(cuts_of([drawn(*CROSS)], [BOX]), 0.04)


BOWL = ([(0.3, 0.3), (0.7, 0.3), (0.7, 0.7), (0.3, 0.7), (0.3, 0.3)],)


@pytest.mark.parametrize(("lines", "loops"), [(CROSS, False), (TICK, False), (BOWL, True)])
def test_paper_within_a_letter_is_a_loop(lines, loops):
    assert (shape(lines).loops > 0.1) is loops


@pytest.mark.parametrize(("lines", "width", "arms"), [(CROSS, 1.5, 4), (DROP, 2.6, 0)])
def test_a_markers_cross_has_arms_and_a_burn_none(lines, width, arms):
    cuts = cuts_of([drawn(*lines, width=width)], [BOX])
    found = shape_of(cuts, 0, 0.7)

    assert (found.arms, found.thick_mm > 1.2) == (arms, True)
