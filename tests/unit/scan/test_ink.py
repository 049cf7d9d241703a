import numpy as np
import pytest

from forms.field import Box
from scan.errors import TooDark, TooSmall
from scan.fiducials import find_fiducials, pyramid
from scan.ink import Sight, sight_of
from scan.page import flatten


def sight(picture, layout) -> Sight:
    page, levels = layout.pages[0], pyramid(picture)
    return sight_of(levels, flatten(find_fiducials(levels), page), page.marks)


def lit(printed, dark: float, bright: float) -> np.ndarray:
    light = np.linspace(dark, bright, printed.shape[1])
    return (printed * light).astype(np.uint8)


def test_light_is_divided_out(printed, layout):
    uneven = sight(lit(printed, 0.4, 1.0), layout)

    areas = [uneven.area(Box(x, 240, 20, 10)).ink.mean() for x in (25, 170)]

    assert areas == pytest.approx([0, 0], abs=0.02)


def test_print_is_black_in_any_light(printed, layout):
    dim = sight(lit(printed, 0.3, 0.5), layout)
    x, y = layout.pages[0].marks[0].corner

    assert np.median(dim.area(Box(x, y, 10, 1.2)).ink) == pytest.approx(1, abs=0.1)


def test_place_beyond_the_picture_is_not_seen(printed, layout):
    cut = sight(printed[:, : 150 * 8], layout)
    whole, lost = Box(30, 100, 10, 10), Box(146, 100, 10, 10)

    assert cut.area(whole).sees(whole)
    assert not cut.area(lost).sees(lost)


def test_boxes_of_one_size_have_one_number_of_pixels(printed, layout):
    area = sight(printed, layout).area(Box(20, 60, 60, 10))

    sizes = {area.cut(Box(20 + 7.2 * at, 61, 4.5, 4.5)).shape for at in range(8)}

    assert sizes == {(36, 36)}


def test_dark_paper_is_refused(printed, layout):
    with pytest.raises(TooDark):
        sight(lit(printed, 0.15, 0.15), layout)


def test_small_page_is_refused(printed, layout):
    with pytest.raises(TooSmall):
        sight(np.ascontiguousarray(printed[::3, ::3]), layout)
