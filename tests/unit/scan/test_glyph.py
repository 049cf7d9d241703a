import numpy as np
import pytest

from scan.glyph import glyph_of, stroke_width


def cell() -> np.ndarray:
    return np.zeros((62, 46), np.float32)


def test_empty_cell_has_no_shape():
    assert glyph_of(cell()) is None


def test_specks_are_no_shape():
    dirty = cell()
    dirty[20, 20] = dirty[40, 10] = 0.9

    assert glyph_of(dirty) is None


def test_rest_of_the_box_line_is_no_shape():
    lined = cell()
    lined[4:58, :2] = 0.25

    assert glyph_of(lined) is None


def test_upright_stroke_in_the_middle_is_a_shape():
    one = cell()
    one[8:54, 20:23] = 0.8

    glyph = glyph_of(one)

    assert glyph is not None
    assert glyph.aspect == pytest.approx(5 / 48)
    assert glyph.picture.shape == (28, 28)


def test_picture_does_not_depend_on_place_size_or_ink():
    one, other = cell(), cell()
    one[10:50, 10:16] = one[44:50, 10:34] = 0.9
    other[30:50, 22:25] = other[47:50, 22:34] = 0.4

    first, second = glyph_of(one), glyph_of(other)

    assert first is not None
    assert second is not None
    assert np.abs(first.picture - second.picture).mean() < 0.04


def test_centre_of_mass_is_in_the_middle():
    written = cell()
    written[5:40, 3:9] = written[35:40, 3:30] = 0.8

    picture = glyph_of(written).picture

    rows, columns = np.mgrid[:28, :28]
    assert (rows * picture).sum() / picture.sum() == pytest.approx(13.5, abs=0.3)
    assert (columns * picture).sum() / picture.sum() == pytest.approx(13.5, abs=0.3)


def test_stroke_width_of_a_bar_is_its_width():
    bar = np.zeros((60, 40), bool)
    bar[5:55, 10:16] = True

    assert stroke_width(bar) == pytest.approx(6, rel=0.1)
