import cmath
from datetime import date

import numpy as np
import pytest

from passport.climate.room import expected_course, year_angle
from passport.table import Room


def damp_month(room):
    """Month at which the stated swing is dampest, 0.5 being mid January."""
    return (cmath.phase(complex(*expected_course(room).swing)) / (2 * np.pi) * 12) % 12


def widths(room):
    return np.sqrt(np.linalg.eigvalsh(np.array(expected_course(room).swing_cov)))


def test_heated_room_is_taken_to_be_damp_in_august():
    assert 7.0 < damp_month(Room(heated=True)) < 7.5


def test_named_months_decide_over_heating():
    room = Room(heated=True, dry_months=(7, 8), damp_months=(1, 2))

    assert damp_month(room) == pytest.approx(1.0)


def test_dry_months_alone_put_the_damp_end_half_a_year_away():
    assert damp_month(Room(dry_months=(1, 2))) == pytest.approx(7.0)


def test_months_that_contradict_each_other_say_nothing():
    room = Room(dry_months=(1,), damp_months=(1,))

    assert expected_course(room) == expected_course(Room())


@pytest.mark.parametrize(
    ("room", "stated"),
    [
        (Room(heated=True), "a heated room, assumed driest in February"),
        (Room(damp_months=(8,)), "the room's dry and damp months as described"),
        (Room(), "a room of which no dry and damp months are described"),
        (Room(heated=False), "a room of which no dry and damp months are described"),
    ],
)
def test_course_says_what_it_rests_on(room, stated):
    assert expected_course(room).stated == stated


def test_room_without_months_may_be_damp_at_any_season():
    """Both axes about as wide as the swing itself, and hardly any mean."""
    narrow, wide = widths(Room())

    assert narrow / wide > 0.9


def test_moments_of_the_course_are_those_of_a_swing_of_uncertain_size_and_season():
    draw = np.random.default_rng(1)
    size, season = (
        draw.normal(1.8, 0.9, 400_000),
        draw.normal(217 * 2 * np.pi / 365.25, 0.6, 400_000),
    )
    pairs = np.array([size * np.cos(season), size * np.sin(season)])
    course = expected_course(Room(heated=True))

    np.testing.assert_allclose(np.cov(pairs), course.swing_cov, atol=0.01)


def test_year_starts_at_new_year():
    assert year_angle(date(2000, 1, 1).toordinal()) == 0.0
