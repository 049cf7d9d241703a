"""What a phone and a tired sheet add."""

from dataclasses import replace

import cv2
import numpy as np
import pytest

from forms.field import Box
from passport.booth import troubles
from passport.booth.camera import photograph
from passport.booth.grades import BAD, FLAT_SCAN, GOOD
from passport.booth.shot import Shot
from passport.booth.stamp import stamp
from passport.booth.troubles import NONE, Glare, Shadow, Troubles, some_troubles
from passport.booth.writer import Hand

GREY = np.full((120, 160, 3), 128, np.uint8)
PAGE = np.full((279 * 4, 216 * 4), 255, np.uint8)
SHOT = Shot(replace(GOOD, folds=GOOD.motion_px), seed=2, size=(800, 600), turn_deg=0, dpi=101.6)


def seen(**changes):
    shot = replace(SHOT, troubles=Troubles(**changes))
    return cv2.imdecode(np.frombuffer(photograph(PAGE, shot), np.uint8), cv2.IMREAD_GRAYSCALE)


def test_glare_is_brightest_where_it_was_put():
    bright = troubles.glaring(GREY, Troubles(glare=Glare((0.25, 0.5), 0.05, 0.4)))

    assert np.unravel_index(bright[:, :, 0].argmax(), (120, 160)) == (60, 40)


def test_a_second_shadow_lies_on_its_side():
    light = troubles.dimmed(np.ones((100, 100), np.float32), Troubles(shadow=Shadow(0, 0, 0.4)))

    assert (light[50, 5], light[50, 95]) == pytest.approx((1, 0.6), abs=0.01)


def test_focus_is_lost_on_its_side_only():
    stripes = np.tile(np.array([0, 255], np.uint8).repeat(2), 50)[None, :, None].repeat(200, 0)
    picture = np.ascontiguousarray(stripes.repeat(3, 2))

    soft = troubles.unfocused(picture, Troubles(focus_px=2, focus_deg=0), 2.0)

    assert np.ptp(soft[:, 185:195]) < 150 < np.ptp(soft[:, :90])


def test_sharpening_overshoots_at_an_edge():
    step = np.repeat(np.array([100, 150], np.uint8), 20)[None, :, None].repeat(9, 0).repeat(3, 2)

    sharp = troubles.sharpened(np.ascontiguousarray(step), Troubles(sharpening=0.8))

    assert (sharp.min() < 90, sharp.max() > 160) == (True, True)


def test_coarse_colour_makes_a_smaller_file_of_coloured_speckle():
    picture = np.random.default_rng(1).integers(0, 255, (64, 64, 3), np.uint8)
    sizes = [len(troubles.jpeg(picture, 80, Troubles(coarse_colour=on))) for on in (True, False)]

    assert sizes[0] < 0.8 * sizes[1]


def test_a_sheet_folded_in_four_is_shaded_along_both_creases():
    flat, folded = seen(), seen(quarters_deg=20.0)
    changed = np.abs(flat.astype(int) - folded) > 6
    rows, columns = changed.mean(axis=1), changed.mean(axis=0)

    assert (rows.max() > 0.5, columns.max() > 0.5, changed.mean() < 0.6) == (True, True, True)


def test_crumpled_paper_is_not_evenly_lit():
    assert seen(crumple_mm=1.0).std() > seen().std()


def test_holes_and_staple_are_where_a_punch_makes_them():
    """ISO 838: two holes 80 mm apart, their middles 12 mm from the edge."""
    page = troubles.punched(cv2.cvtColor(PAGE, cv2.COLOR_GRAY2BGR), 4, Troubles(holes=2))

    middle = page.shape[0] // 2
    assert [int(page[middle + at, 48, 0]) for at in (-160, 0, 160)] == [60, 255, 60]


def test_a_scanner_adds_no_glare():
    drawn = [some_troubles(FLAT_SCAN, seed) for seed in range(50)]

    assert {one.glare for one in drawn} == {None}


def test_bad_pictures_have_all_troubles():
    drawn = [some_troubles(BAD, seed) for seed in range(50)]

    assert all(any(getattr(one, name) for one in drawn) for name in vars(NONE))


def test_a_picture_of_a_digit_gets_the_height_that_the_hand_writes():
    sheet = np.full((200, 200, 3), 255, np.uint8)
    ink = np.zeros((8, 8))
    ink[1:7, 3:5] = 1.0

    stamp(sheet, ink, Box(50, 50, 100, 100), Hand(1, size=0.6), np.random.default_rng(1))

    rows = np.flatnonzero((sheet[:, :, 2] < 128).any(axis=1))
    assert np.ptp(rows) == pytest.approx(60, abs=6)
