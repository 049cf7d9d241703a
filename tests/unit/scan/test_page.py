import numpy as np
import pytest

from scan.errors import EdgeMissing, MarksDisagree
from scan.fiducials import Fiducial
from scan.page import flatten

LENS = np.array([[9.0, 0.8, 300.0], [-0.5, 8.5, 200.0], [4e-4, -2e-4, 1.0]])


def seen(points) -> np.ndarray:
    """Where a camera aslant sees places on the page. [mm -> px]."""
    homogeneous = np.column_stack([points, np.ones(len(points))]) @ LENS.T
    return homogeneous[:, :2] / homogeneous[:, 2:]


def square(mark) -> np.ndarray:
    x, y, side = *mark.corner, mark.size
    return np.array([[x, y], [x + side, y], [x + side, y + side], [x, y + side]])


@pytest.fixture
def page(layout):
    return layout.pages[0]


@pytest.fixture
def found(page):
    return [Fiducial(mark.id, seen(square(mark))) for mark in page.marks]


PLACES = np.array([[30.0, 50.0], [100.0, 140.0], [180.0, 250.0]])


def test_flat_page_is_mapped_exactly(page, found):
    flat = flatten(found, page)

    assert flat.at(PLACES) == pytest.approx(seen(PLACES), abs=0.05)
    assert (flat.residual_mm < 0.001, flat.model) == (True, "spline")


def test_five_squares_make_a_homography(page, found):
    flat = flatten(found[:5], page)

    assert flat.at(PLACES) == pytest.approx(seen(PLACES), abs=0.05)
    assert flat.model == "homography"


def test_grid_and_single_points_agree(page, found):
    flat = flatten(found, page)
    xs, ys = np.array([30.0, 101.5, 180.25]), np.array([50.0, 141.75])

    grid = flat.grid(xs, ys)

    assert grid[1, 2] == pytest.approx(flat.px((180.25, 141.75)), abs=0.01)


def test_resolution_is_that_of_the_middle(page, found):
    flat = flatten(found, page)
    a, b = seen(np.array([[107.5, 139.7], [108.5, 139.7]]))

    assert flat.px_per_mm == pytest.approx(np.linalg.norm(b - a), rel=0.1)


def test_stray_square_is_left_out(page, found):
    stray = Fiducial(found[2].id, found[2].corners + 200)

    flat = flatten([*found[:2], stray, *found[3:]], page)

    assert flat.at(PLACES) == pytest.approx(seen(PLACES), abs=0.05)


def test_three_stray_squares_are_refused(page, found):
    shifts = np.array([[300, 0], [0, 300], [-300, -300]])
    strays = [
        Fiducial(one.id, one.corners + shift) for one, shift in zip(found[:3], shifts, strict=True)
    ]

    with pytest.raises(MarksDisagree):
        flatten([*strays, *found[3:]], page)


def test_squares_along_one_edge_are_too_few(page, found):
    upper = [found[at] for at in (0, 1, 4)]

    with pytest.raises(EdgeMissing) as refusal:
        flatten(upper, page)

    assert refusal.value.missing[0] == "lower right corner"


def test_moved_square_shows_in_the_residual(page, found):
    moved = Fiducial(found[0].id, found[0].corners + 9)

    assert flatten([moved, *found[1:]], page).residual_mm > 0.3
