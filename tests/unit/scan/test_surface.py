"""Bent sheets: a cylinder of known radius, bent without stretching, through a pinhole camera."""

import numpy as np
import pytest

from scan.squares import BENT_MM, Square, surface_through
from scan.surface import Bent, Plane, bent_through

RADIUS_MM = 400.0
CORNERS = np.array([[0, 0], [10, 0], [10, 10], [0, 10]])
PLACES = ((8, 8), (95, 8), (180, 8), (8, 130), (180, 130), (8, 255), (95, 255), (180, 255))


def pictured(mm: np.ndarray, direction: float, radius: float = RADIUS_MM) -> np.ndarray:
    """Pixels of a sheet rolled about an axis across ``direction``, seen from 600 mm aslant."""
    away = mm - (100, 135)
    unit = np.array((np.cos(direction), np.sin(direction)))
    along, across = away @ unit, away @ (-unit[1], unit[0])
    angle = along / radius
    rolled = np.outer(radius * np.sin(angle), unit) + np.outer(across, (-unit[1], unit[0]))
    height = radius * (1 - np.cos(angle))
    depth = 600 + 0.2 * rolled[:, 0] - height
    return 2800 * rolled / depth[:, None] + (1500, 2000)


def corners() -> np.ndarray:
    return np.concatenate([CORNERS + place for place in PLACES]).astype(float)


@pytest.mark.parametrize("degrees", [0, 35, 90, 140])
def test_a_rolled_sheet_is_followed_between_its_squares(degrees):
    direction = np.radians(degrees)
    inside = np.mgrid[30:180:30, 40:250:30].reshape(2, -1).T.astype(float)

    bent = bent_through(corners(), pictured(corners(), direction))

    away = np.linalg.norm(bent.at(inside) - pictured(inside, direction), axis=1) / 4.5  # px/mm
    assert away.max() < 0.6


@pytest.mark.parametrize(("radius", "kind"), [(1e9, Plane), (RADIUS_MM, Bent)])
def test_a_sheet_is_bent_only_where_a_flat_one_does_not_do(radius, kind):
    squares = [
        Square(CORNERS + place, pictured(CORNERS + np.array(place), 0.0, radius))
        for place in PLACES
    ]

    assert isinstance(surface_through(squares), kind)


def test_a_torn_sheet_leaves_more_than_a_bent_one_may():
    torn = corners() + np.outer(corners()[:, 1] > 140, (7.2, 0))
    px = pictured(torn, 0.0, 1e9)

    left = np.linalg.norm(bent_through(corners(), px).at(corners()) - px, axis=1) / 4.5

    assert np.sqrt(np.mean(left**2)) > BENT_MM
