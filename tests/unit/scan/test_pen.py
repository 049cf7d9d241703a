import numpy as np
import pytest

from forms.field import Box
from scan.kin import contrast, drawn_over, joined, kin_of, rim_ink, room_of, unprinted, unseen
from scan.pen import Marks, Paper, is_written, limits_of, norm_of

THIN, BOLD, EVEN = 0.14, 0.50, np.ones(4)
ROW = [Box(10 + 7.2 * at, 20, 4.8, 4.8) for at in range(5)]
GRID = [Box(10 + 7.2 * at, 20 + 7.2 * line, 4.8, 4.8) for line in range(4) for at in range(4)]


def outlines(count: int, **others: float) -> np.ndarray:
    """Make thin outlines, ``_2=0.5`` for one that is darker all around."""
    return np.array([others.get(f"_{at}", THIN) * EVEN for at in range(count)])


def normal(cores, lines, covers=0.2):
    """Norm of boxes with these cores and outlines; marks cover so much of their boxes."""
    marks = cores[is_written(cores, np.full(len(cores), 0.004))]
    return norm_of(cores, lines, Marks(marks, np.full(len(marks), covers)))


def norm(count: int = 5, marked: int = 0, pen: float = 0.6):
    cores = np.array([pen] * marked + [0.01] * (count - marked))
    return normal(cores, outlines(count))


@pytest.mark.parametrize(
    ("marked", "pen", "inked"),
    [(0, 0.6, 0.17), (5, 0.6, 0.402), (5, 0.2, 0.134), (2, 0.6, 0.17)],
)
def test_mark_must_be_as_dark_as_the_page_s_own_pen_makes_it(marked, pen, inked):
    assert norm(40, marked, pen).inked == pytest.approx(inked)


def test_grain_of_the_photo_raises_what_counts_as_blank():
    clean, grainy = normal(np.full(9, 0.005), outlines(9)), normal(np.full(9, 0.03), outlines(9))

    assert (clean.blank, grainy.blank) == (0.022, pytest.approx(0.075))


def test_levels_leave_a_band_where_nothing_is_claimed():
    assert norm().blank < norm().inked / 2


def test_a_page_full_of_marks_is_not_taken_for_grain():
    assert normal(np.full(20, 0.6), outlines(20)).blank == 0.08


def test_pale_marks_as_an_eraser_leaves_them_are_no_pen():
    blank, rubbed = np.full(30, 0.01), np.linspace(0.13, 0.25, 9)
    pencil = np.linspace(0.2, 0.24, 9)

    found = [normal(np.r_[blank, marks], outlines(39)).inked for marks in (rubbed, pencil)]

    assert found == [pytest.approx(0.2525), pytest.approx(0.1474)]


def test_boxes_that_are_filled_or_scribbled_do_not_make_a_pale_pen_uneven():
    cores, covers = np.r_[np.full(12, 0.2), np.full(3, 0.41)], np.r_[np.full(12, 0.2), np.ones(3)]

    found = norm_of(cores, outlines(15), Marks(cores, covers))

    assert found.inked == pytest.approx(0.134)


def test_grain_raises_what_a_blank_box_may_hold_where_it_is_strong_only():
    grain = np.array([0.004, 0.02])

    found = limits_of(norm(40, 9, 0.6), Paper(grain, np.ones(2)), np.full(2, 0.01), np.ones(2))

    assert (list(found.blank), list(found.inked)) == (
        pytest.approx([0.04, 0.2]),
        pytest.approx([0.402, 0.402]),
    )


@pytest.mark.parametrize(("pen", "least"), [(300.0, 9.0), (100.0, 4.7), (30.0, 3.4)])
def test_a_pale_mark_must_show_as_the_page_s_own_pen_would(pen, least):
    """Trace limit: a twentieth of the usual mark's, from 3.4 to 9 deviations of grain."""
    cores, traces = np.full(9, 0.6), np.full(9, pen)

    found = limits_of(norm(40, 9, 0.6), Paper(np.full(9, 0.004), np.ones(9)), cores, traces)

    assert found.trace == pytest.approx(least)


def test_where_glare_leaves_less_of_the_print_a_mark_may_be_paler():
    here = Paper(np.full(9, 0.004), np.array([1.0] * 8 + [0.7]))

    found = limits_of(norm(40, 9, 0.6), here, np.full(9, 0.6), np.full(9, 300.0))

    assert found.inked == pytest.approx([0.402] * 8 + [0.281], abs=0.001)


def test_contrast_is_the_share_of_the_outlines_that_glare_leaves():
    right = [Box(x + 90, y, w, h) for x, y, w, h in GRID]
    far = [Box(x, y + 200, w, h) for x, y, w, h in GRID]
    seen = np.vstack([outlines(32), 0.7 * outlines(16)])

    found = contrast([*GRID, *right, *far], seen, np.zeros(48))

    assert found == pytest.approx([1.0] * 32 + [0.7] * 16)


def test_outline_that_glare_pales_evenly_is_seen():
    pale = 0.4 * outlines(5)

    assert not unseen(norm(), pale, kin_of(ROW), 0.6).any()


def test_page_without_boxes_has_a_norm():
    assert normal(np.zeros(0), np.zeros((0, 4))).inked == 0.17


def test_outline_that_is_gone_or_half_gone_is_unseen():
    seen = outlines(5, _0=0.0, _1=0.06)
    seen[2, 3] = 0.02

    assert unseen(norm(), seen, kin_of(ROW)).tolist() == [True, True, True, False, False]


def test_a_side_that_a_whole_column_lacks_was_lost_in_the_printer():
    streaked = outlines(16)
    streaked[[0, 4, 8, 12], 0] = 0.01

    assert not unseen(norm(16), streaked, kin_of(GRID)).any()


def test_two_sides_that_are_gone_are_unseen_in_a_streak_as_well():
    streaked = outlines(16)
    streaked[[0, 4, 8, 12], 0] = streaked[4, 2] = 0.01

    assert np.flatnonzero(unseen(norm(16), streaked, kin_of(GRID))).tolist() == [4]


def test_a_column_that_lies_off_its_place_is_unseen():
    moved = outlines(16)
    moved[[0, 4, 8, 12]] *= [0.2, 0.6, 1, 1]

    assert np.flatnonzero(unseen(norm(16), moved, kin_of(GRID))).tolist() == [0, 4, 8, 12]


def test_page_without_any_outline_is_unseen():
    washed = np.full((5, 4), 0.01)

    assert unseen(normal(np.zeros(5), washed), washed, kin_of(ROW)).all()


def test_outline_drawn_over_has_no_like():
    seen = outlines(5, _1=0.35)

    assert drawn_over(seen / THIN, seen / THIN, kin_of(ROW)).all(axis=1).tolist() == [
        False,
        True,
        False,
        False,
        False,
    ]


@pytest.mark.parametrize("bold", [{"_1": BOLD, "_2": BOLD}, {"_1": BOLD}])
def test_bold_print_is_no_pen(bold):
    seen = outlines(5, **bold) / THIN

    assert not drawn_over(seen, seen, kin_of(ROW)).any()


def test_bold_box_with_one_darker_side_is_drawn_over():
    seen = outlines(5, _1=BOLD, _2=BOLD)
    seen[1, 3] = 0.7

    assert drawn_over(seen / THIN, seen / THIN, kin_of(ROW))[1].any()


def rims(boxes: list[Box], **inked: int) -> np.ndarray:
    """Ink beside boxes: ``_3=2`` for ink above box 3."""
    ink = np.zeros((len(boxes), 4))
    for name, side in inked.items():
        ink[int(name[1:]), side] = 0.1
    return ink


def test_ink_above_one_box_of_a_row_is_a_pen():
    found = unprinted(rims(GRID, _5=2), kin_of(GRID))

    assert np.argwhere(found).tolist() == [[5, 2]]


@pytest.mark.parametrize(
    "heading", [{f"_{at}": 2 for at in range(4)}, {f"_{at}": 0 for at in (0, 4, 8, 12)}]
)
def test_ink_at_most_boxes_of_a_row_or_column_is_print(heading):
    assert not unprinted(rims(GRID, **heading), kin_of(GRID)).any()


def test_ink_much_darker_than_the_print_of_its_kin_is_a_pen():
    ink = 0.3 * rims(GRID, **{f"_{at}": 2 for at in range(4)})
    ink[1, 2] = 0.12

    assert np.argwhere(unprinted(ink, kin_of(GRID))).tolist() == [[1, 2]]


def test_a_hairline_that_counts_as_ink_at_one_box_only_is_print():
    beside = np.zeros((16, 4))
    beside[[1, 5, 9, 13], 3] = 0.034, 0.038, 0.035, 0.033
    ink = np.maximum(beside - 0.036, 0)

    assert (unprinted(ink, kin_of(GRID)).any(), unprinted(ink, kin_of(GRID), beside).any()) == (
        True,
        False,
    )


def test_tail_of_a_letter_above_a_lone_box_is_no_pen():
    ink, boxes = (
        np.tile([0.0, 0.0, 0.05, 0.2], (2, 1)),
        [Box(10, 20, 4.8, 4.8), Box(40, 20, 4.8, 4.8)],
    )

    found = rim_ink(norm(2), ink, outlines(2), room_of(boxes))

    assert (found > 0).tolist() == [[False, False, False, True]] * 2


def test_name_at_the_left_of_a_row_is_no_pen():
    found = rim_ink(norm(), np.full((5, 4), 0.2), outlines(5), room_of(ROW))

    assert (found[:, 0] > 0).tolist() == [False, True, True, True, True]


def test_rooms_of_all_fields_stand_one_after_the_other():
    one, other = room_of(ROW), room_of(ROW[:1])

    assert joined([one, other]).alone.tolist() == [False] * 5 + [True]
