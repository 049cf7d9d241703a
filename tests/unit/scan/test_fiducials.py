import cv2
import numpy as np
import pytest

from scan import fiducials
from scan.fiducials import Fiducial, by_page, by_sheet, find_fiducials, pyramid

CORNERS = np.array([[0, 0], [8, 0], [8, 8], [0, 8]], float)


def found_in(picture):
    return {one.id: one for one in find_fiducials(pyramid(picture))}


def test_all_squares_are_found_to_a_tenth_of_a_pixel(printed, layout):
    found, page = found_in(printed), layout.pages[0]
    px_per_mm = np.array(printed.shape[::-1]) / (page.width, page.height)

    for mark in page.marks:
        corner = np.array(mark.corner) * px_per_mm - 0.5
        assert found[mark.id].corners[0] == pytest.approx(corner, abs=0.1)


@pytest.mark.parametrize("turn", [cv2.ROTATE_90_CLOCKWISE, cv2.ROTATE_180])
def test_squares_are_found_whichever_way_the_page_lies(printed, turn):
    assert sorted(found_in(cv2.rotate(printed, turn))) == list(range(8))


def test_nothing_is_found_on_plain_paper():
    assert found_in(np.full((1000, 1400), 255, np.uint8)) == {}


def test_sheet_beside_another_is_found_as_well(printed):
    both = np.hstack([printed, printed])

    assert sorted(one.id for one in find_fiducials(pyramid(both))) == sorted([*range(8)] * 2)


@pytest.mark.parametrize("shape", [(2,), (2, 1)])
def test_ids_come_flat_or_as_a_column(monkeypatch, shape):
    class Detector:
        def __init__(self, rate):
            pass

        def detectMarkers(self, grey):  # noqa: N802  OpenCV's name
            quads = [CORNERS[None] + 100, CORNERS[None] + 300]
            return quads, np.array([3, 47]).reshape(shape), None

    monkeypatch.setattr(fiducials, "_detector", Detector)

    assert sorted(found_in(np.zeros((900, 900), np.uint8))) == [3, 47]


@pytest.mark.parametrize(
    ("number", "page", "place"),
    [
        (0, 1, "upper left corner"),
        (7, 1, "left edge"),
        (8, 2, "upper left corner"),
        (47, 6, "left edge"),
    ],
)
def test_number_of_a_square_tells_page_and_place(number, page, place):
    one = Fiducial(number, CORNERS)

    assert (one.page, one.place) == (page, place)


def test_squares_are_sorted_by_page():
    pages = by_page([Fiducial(number, CORNERS) for number in (9, 1, 8)])

    assert {page: [one.id for one in ones] for page, ones in pages.items()} == {1: [1], 2: [8, 9]}


def test_one_pattern_like_a_square_but_half_as_large_is_left_out():
    sheet = [Fiducial(number, CORNERS + 100 * number) for number in range(8)]
    stray = Fiducial(5, CORNERS / 2 + 333)

    assert by_sheet([*sheet, stray]) == [sheet]


def sheet_of(page):
    """Four squares at the corners of a page, a metre high in pixels."""
    spots = ((0, 0), (750, 0), (750, 1000), (0, 1000))
    return [Fiducial(8 * page - 8 + at, CORNERS + spot) for at, spot in enumerate(spots)]


def ids_of(sheets):
    return [[one.id for one in sheet] for sheet in sheets]


def test_pattern_amid_a_sheet_that_is_like_another_pages_square_is_left_out():
    stray = Fiducial(5, CORNERS / 2 + 300)

    assert ids_of(by_sheet([*sheet_of(4), stray])) == [[24, 25, 26, 27]]


def test_one_square_of_a_sheet_beside_another_is_a_sheet_to_be_told_of():
    beside = Fiducial(5, CORNERS + np.array([1000, 300]))

    assert ids_of(by_sheet([*sheet_of(4), beside])) == [[5], [24, 25, 26, 27]]


def test_pyramid_halves_three_times():
    assert [level.shape for level in pyramid(np.zeros((100, 60), np.uint8))] == [
        (100, 60),
        (50, 30),
        (25, 15),
        (12, 7),
    ]
