from dataclasses import replace

import numpy as np
import pytest

from passport.booth.pens import BALLPOINT_BLACK, FELT_TIP, PENCIL_HARD, PENCIL_SOFT, PENS
from passport.booth.strokes import curve, evenly, lay, pressed, pulled

SCALE = 300 / 25.4  # px/mm


def drawn(pen, line=((2, 5), (18, 5)), tremor=0.0, pressure=1.0, seed=5):
    picture = np.full((120, 240, 3), 255, np.uint8)
    rng = np.random.default_rng(seed)
    stroke = pressed(pulled(np.array(line, float), tremor, rng), pressure)
    lay(picture, [stroke], pen, rng, SCALE)
    return picture


def width_mm(picture):
    """Dark share of the column in the middle of the line, at half depth."""
    column = picture[:, 100, 1].astype(float)
    return (column < (255 + column.min()) / 2).sum() / SCALE


def test_curve_passes_through_its_points():
    path = np.array([(0, 0), (1, 2), (3, 1), (4, 4)], float)

    distances = np.linalg.norm(curve(path)[:, None] - path, axis=2).min(axis=0)

    assert distances.max() < 1e-12


def test_curve_through_two_points_is_straight():
    line = curve([(0, 0), (4, 2)])

    assert np.allclose(line[:, 0], 2 * line[:, 1])


def test_curve_has_a_corner_where_a_point_is_given_twice():
    line = curve([(0, 0), (1, 0), (2, 0), (2, 0), (2, 1), (2, 2)])

    assert np.all((np.abs(line[:, 1]) < 1e-12) | (np.abs(line[:, 0] - 2) < 1e-12))


def test_evenly_spaces_the_points_of_a_line():
    line = evenly(np.array([(0, 0), (1, 0), (1, 3)], float), 0.1)

    steps = np.hypot(*np.diff(line, axis=0).T)

    assert np.allclose(steps, 0.1, atol=0.03)


def test_tremor_is_as_large_as_asked():
    line = np.array([(0, 0), (400, 0)], float)

    stroke = pulled(line, 0.08, np.random.default_rng(1))

    assert stroke.points[:, 1].std() == pytest.approx(0.08, rel=0.1)


@pytest.mark.parametrize("pen", PENS, ids=lambda pen: pen.name)
def test_line_is_as_wide_as_its_pen(pen):
    assert width_mm(drawn(pen)) == pytest.approx(pen.width_mm, abs=0.13)


@pytest.mark.parametrize("pen", PENS, ids=lambda pen: pen.name)
def test_ink_stays_under_the_stroke(pen):
    picture = drawn(pen)

    inked = np.argwhere(picture.min(axis=2) < 250)[:, 0] / SCALE

    assert np.abs(inked - 5).max() < pen.width_mm / 2 * 1.2 + 0.15


def test_hard_pencil_is_paler_than_soft_and_soft_than_felt():
    shades = [
        drawn(pen)[:, 40:200].min(axis=0).mean() for pen in (PENCIL_HARD, PENCIL_SOFT, FELT_TIP)
    ]

    assert shades == sorted(shades, reverse=True)


def test_pencil_is_rougher_than_felt():
    rough = [drawn(pen)[58:60, 40:200].std() for pen in (PENCIL_SOFT, FELT_TIP)]

    assert rough[0] > 2 * rough[1]


def test_light_pressure_is_pale():
    strong, faint = (drawn(BALLPOINT_BLACK, pressure=p).astype(float) for p in (1, 0.25))

    assert (255 - faint).sum() < 0.3 * (255 - strong).sum()


def test_ballpoint_skips_where_its_ink_fails():
    """Along four metres of line, a share near the pen's own."""
    leaky = replace(BALLPOINT_BLACK, grain=0, skipping=0.05)
    lines = [drawn(leaky, ((1, 5), (19, 5)), seed=seed)[59, 20:220, 1] for seed in range(40)]

    assert 0.005 < (np.concatenate(lines) > 120).mean() < 0.08


def test_stroke_beyond_the_picture_leaves_it_white():
    assert drawn(FELT_TIP, ((50, 50), (60, 60))).min() == 255
