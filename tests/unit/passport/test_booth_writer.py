from dataclasses import replace
from itertools import combinations

import cv2
import numpy as np
import pytest

from passport.booth.glyphs import CELL_WIDTH, DIGITS
from passport.booth.pens import FELT_TIP
from passport.booth.strokes import lay, moved
from passport.booth.writer import Hand, digit_strokes, shape_strokes, some_hand, usual_shape

SHAPES = [(digit, number) for digit in DIGITS for number in range(len(DIGITS[digit]))]
WRITERS = range(20)


def picture(strokes, seed=0):
    """Show a digit as 24 × 24 grey levels: upright, its box scaled and centred."""
    sheet = np.full((180, 180, 3), 255, np.uint8)
    lay(sheet, moved(strokes, np.array([7.5, 7.5])), FELT_TIP, np.random.default_rng(seed), 12)
    ink = upright(255 - sheet[:, :, 1])
    x, y, width, height = cv2.boundingRect(ink)
    side = max(width, height)
    square = np.zeros((side, side), np.uint8)
    top, left = (side - height) // 2, (side - width) // 2
    square[top : top + height, left : left + width] = ink[y : y + height, x : x + width]
    small = cv2.resize(square, (24, 24), interpolation=cv2.INTER_AREA)
    return cv2.GaussianBlur(small, (0, 0), 1.2).astype(float) / 255


def upright(ink):
    """Shear a digit so that its second moments have no slant."""
    moments = cv2.moments(ink)
    lean = moments["mu11"] / moments["mu02"]
    to_upright = np.array([[1, -lean, lean * ink.shape[0] / 2], [0, 1, 0]])
    return cv2.warpAffine(ink, to_upright, ink.shape[::-1])


def template(digit, shape):
    calm = Hand(0, tremor_mm=0, haste=0, slant_deg=7)
    return picture(shape_strokes(calm, digit, shape, 8, np.random.default_rng(0)))


@pytest.fixture(scope="module")
def templates():
    return {key: template(*key) for key in SHAPES}


def nearest(found, templates):
    return min(templates, key=lambda key: np.square(templates[key] - found).sum())[0]


def test_every_digit_has_four_shapes_or_more():
    assert min(len(DIGITS[digit]) for digit in "0123456789") >= 4


def test_shapes_stay_in_their_cell():
    points = np.vstack([path for shapes in DIGITS.values() for shape in shapes for path in shape])

    assert np.all((points >= 0) & (points <= (CELL_WIDTH, 1)))


@pytest.mark.parametrize("digit", DIGITS)
def test_shapes_of_a_digit_differ(digit, templates):
    pairs = combinations([templates[digit, i] for i in range(len(DIGITS[digit]))], 2)

    assert min(np.abs(one - other).max() for one, other in pairs) > 0.15


def test_written_digits_are_told_apart_by_their_nearest_template(templates):
    """20 writers, every digit twice: the sum of wrong ones is at most 1 in 100."""
    wrong = 0
    for writer in WRITERS:
        rng = np.random.default_rng(writer)
        for digit in [*DIGITS, *DIGITS]:
            found = picture(digit_strokes(some_hand(writer), digit, 8, rng), writer)
            wrong += nearest(found, templates) != digit

    assert wrong <= 0.01 * 2 * len(DIGITS) * len(WRITERS)


def test_same_writer_and_moment_write_the_same():
    one, other = (digit_strokes(some_hand(4), "5", 8, np.random.default_rng(2)) for _ in "ab")

    assert all(np.array_equal(a.points, b.points) for a, b in zip(one, other, strict=True))


def test_a_writer_never_repeats_a_digit_exactly():
    rng = np.random.default_rng(2)
    one, other = (picture(shape_strokes(some_hand(4), "5", 1, 8, rng)) for _ in "ab")

    assert np.abs(one - other).max() > 0.05


def test_a_writer_is_more_like_himself_than_like_others():
    def three(writer):
        rng = np.random.default_rng(writer)
        return [picture(shape_strokes(some_hand(writer), "2", 0, 8, rng)) for _ in range(4)]

    hands = [three(writer) for writer in WRITERS]
    within = np.mean([np.abs(a - b).mean() for hand in hands for a, b in combinations(hand, 2)])
    between = np.mean([np.abs(a[0] - b[0]).mean() for a, b in combinations(hands, 2)])

    assert between > 1.3 * within


def test_writers_use_every_shape_of_every_digit():
    used = {(digit, usual_shape(some_hand(w), digit)) for w in range(80) for digit in DIGITS}

    assert used == set(SHAPES)


def test_crossed_seven_has_two_strokes_and_plain_seven_one():
    strokes = [
        len(shape_strokes(Hand(1), "7", shape, 8, np.random.default_rng(0))) for shape in (0, 1)
    ]

    assert strokes == [1, 2]


@pytest.mark.parametrize("slant", [-5.0, 0.0, 15.0])
def test_slant_leans_an_upright_to_the_right(slant):
    hand = replace(Hand(1), slant_deg=slant, tremor_mm=0, haste=0)
    leans = []
    for seed in range(60):
        (stroke,) = shape_strokes(hand, "1", 0, 8, np.random.default_rng(seed))
        top, foot = stroke.points[0], stroke.points[-1]
        leans.append(np.degrees(np.arctan2(top[0] - foot[0], foot[1] - top[1])))

    # the shape itself leans by about a degree, the person by up to a few
    assert np.mean(leans) == pytest.approx(slant + 1.1, abs=2.5)


@pytest.mark.parametrize("digit", DIGITS)
def test_digit_is_as_high_as_meant(digit):
    strokes = shape_strokes(Hand(2), digit, 0, 8, np.random.default_rng(3))
    heights = np.vstack([stroke.points for stroke in strokes])[:, 1]

    assert np.ptp(heights) == pytest.approx(8, rel=0.2)
