import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.field import Box
from passport.booth.paper import Fold, Sheet, Stain, covered, jpeg, speckled, stained

A4 = (210.0, 297.0)


def sheets():
    folds = st.builds(Fold, st.floats(-90, 90), st.floats(-6, 6))
    return st.builds(
        lambda curl, bend, pair: Sheet(*A4, curl_mm=curl, bend_deg=bend, folds=tuple(pair)),
        st.floats(-14, 14),
        st.floats(0, 180),
        st.lists(folds, max_size=3),
    )


@given(sheets(), st.floats(0, 360))
def test_bending_keeps_every_length_on_the_paper(sheet, heading):
    angle = np.radians(heading)
    along = np.linspace(-100, 100, 801)
    line = np.array(A4) / 2 + along[:, None] * (np.cos(angle), np.sin(angle))

    space = sheet.in_space(line)

    length = np.linalg.norm(np.diff(space, axis=0), axis=1).sum()
    assert length == pytest.approx(200, abs=0.02)


def test_flat_sheet_lies_on_the_desk():
    space = Sheet(*A4).in_space(np.array([(0, 0), (210, 297)], float))

    assert np.allclose(space, [(-105, -148.5, 0), (105, 148.5, 0)])


@pytest.mark.parametrize("curl", [-14.0, 6.0, 14.0])
def test_curl_is_how_far_the_edges_stand_above_the_middle(curl):
    sheet = Sheet(*A4, curl_mm=curl, bend_deg=90)

    edge = sheet.in_space(np.array([(105, 0), (105, 297)], float))

    # an arc's rise is a little less than its parabola's: 14 mm over 297 mm, 0.4 % less
    assert edge[:, 2] == pytest.approx([curl, curl], rel=0.005)


def test_curled_sheet_is_a_circle_s_arc():
    """Rise of an arc of length s and radius r: r (1 - cos(s / r)); geometry, no source needed."""
    sheet = Sheet(*A4, curl_mm=10, bend_deg=0)
    radius = 105**2 / (2 * 10)

    height = sheet.in_space(np.array([(210, 100)], float))[0, 2]

    assert height == pytest.approx(radius * (1 - np.cos(105 / radius)), abs=1e-3)


def test_fold_raises_the_far_side():
    sheet = Sheet(*A4, bend_deg=90, folds=(Fold(0, 5),))

    heights = sheet.in_space(np.array([(100, 0), (100, 248.5)], float))[:, 2]

    assert heights == pytest.approx([0, 100 * np.sin(np.radians(5))], abs=0.1)


def test_slope_is_the_height_s_gradient():
    sheet = Sheet(*A4, curl_mm=9, bend_deg=30)
    at = np.array([(150.0, 200.0)])
    near = at + 0.5 * np.array([(np.cos(np.pi / 6), np.sin(np.pi / 6))])

    here, there = sheet.in_space(at)[0], sheet.in_space(near)[0]

    climbed = (there - here)[2] / np.hypot(*(there - here)[:2])
    assert np.hypot(*sheet.slopes(at)[0]) == pytest.approx(climbed, abs=1e-3)


def test_stain_darkens_its_place_only():
    page = np.full((400, 400, 3), 255, np.uint8)

    dirty = stained(page, [Stain(20, 20, 6)], scale=10, seed=1)

    darkened = np.argwhere(dirty.min(axis=2) < 250)
    assert np.hypot(*(darkened - 200).T).max() == pytest.approx(60, abs=20)  # ragged edge


def test_ring_is_darker_at_its_rim_than_inside():
    page = np.full((400, 400, 3), 255, np.uint8)

    dirty = stained(page, [Stain(20, 20, 12, ring=1.0)], scale=10, seed=1)

    assert dirty[200, 200:].min() < dirty[200, 200].min() - 40


def test_specks_are_as_many_as_asked():
    page = np.full((1000, 1000), 128, np.uint8)

    spots = (speckled(page, 200, np.random.default_rng(1)) != 128).sum()

    assert 120 < spots < 1200  # specks of one to five pixels


def test_jpeg_file_starts_as_one():
    assert jpeg(np.zeros((8, 8), np.uint8), 80)[:2] == b"\xff\xd8"


def test_covered_place_shows_nothing_of_the_page():
    page = np.zeros((100, 100, 3), np.uint8)

    hidden = covered(page, Box(-1, 2, 4, 3), scale=10)

    assert [len(np.unique(hidden[20:50, :30, 1])), hidden[20:50, :30].min() > 0] == [1, True]
    assert hidden[51:].max() == 0


def test_outline_runs_once_around_the_sheet():
    """The area inside by the shoelace formula is that of the sheet."""
    x, y = Sheet(*A4).outline.T

    area = abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2

    assert area == pytest.approx(210 * 297)
