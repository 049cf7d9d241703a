"""SVG paths: moved and measured."""

import pytest

from forms.path import PathUnusable, extent, moved_path, steps


def test_a_path_is_split_into_its_commands() -> None:
    assert steps("M1 2 L3,4H5V-6Z") == (
        ("M", (1, 2)),
        ("L", (3, 4)),
        ("H", (5,)),
        ("V", (-6,)),
        ("Z", ()),
    )


def test_numbers_left_over_repeat_their_command() -> None:
    assert steps("M0 0 1 1H2 3") == (("M", (0, 0)), ("L", (1, 1)), ("H", (2,)), ("H", (3,)))


def test_all_points_of_a_path_move_but_not_the_radii() -> None:
    moved = moved_path("M1 2L3 4H5V6C1 1 2 2 3 3A2 3 45 1 0 7 8Z", 10, 20)

    assert moved == "M11 22L13 24H15V26C11 21 12 22 13 23A2 3 45 1 0 17 28Z"


def test_a_polygon_s_extent_is_that_of_its_corners() -> None:
    assert extent("M2 8H76V14H2Z") == (2, 8, 76, 14)


def test_a_curve_s_extent_holds_its_control_points() -> None:
    assert extent("M0 0C5 -4 6 7 1 1") == (0, -4, 6, 7)


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ("M9 50A3 3 0 1 1 15 50A3 3 0 1 1 9 50Z", (9, 47, 15, 53)),  # a circle in two halves
        ("M0 0A10 10 0 0 1 10 10", (0, 0, 10, 10)),  # a quarter, bulging away from (0, 10)
        ("M0 0A10 10 0 1 1 10 10", (0, -10, 20, 10)),  # the other three quarters
        ("M0 0A10 10 0 0 0 10 10", (0, 0, 10, 10)),
        ("M0 0A10 10 0 1 0 10 10", (-10, 0, 10, 20)),
        ("M0 0A1 1 0 0 1 10 0", (0, -5, 10, 0)),  # radius too small: grown to half the chord
        ("M0 0A5 2 90 0 1 4 0", (0, -5, 4, 0)),  # turned by a right angle
        ("M0 0A0 5 0 0 1 4 0", (0, 0, 4, 0)),  # no radius: a straight line
        ("M3 3A5 5 0 0 1 3 3", (3, 3, 3, 3)),  # no chord: nothing
    ],
)
def test_an_arc_s_extent_is_where_it_bulges(path: str, expected: tuple[float, ...]) -> None:
    assert extent(path) == pytest.approx(expected, abs=0.02)


def test_an_unknown_command_is_named() -> None:
    with pytest.raises(PathUnusable) as caught:
        steps("M1 2 l3 4")

    assert str(caught.value) == (
        "The drawing “M1 2 l3 4” can't be printed: “l” stands in it. "
        "Use the commands M L H V C A Z, each with all its numbers."
    )


@pytest.mark.parametrize(
    ("path", "found"),
    [
        ("M1", "M has 1 numbers"),
        ("M1 2L", "L has 0 numbers"),
        ("M1 2Z3", "Z has 1 numbers"),
        ("1 2", "“1” stands in it"),
        ("M1 2;", "“;” stands in it"),
    ],
)
def test_a_broken_path_is_refused_with_its_reason(path: str, found: str) -> None:
    with pytest.raises(PathUnusable) as caught:
        steps(path)

    assert caught.value.found == found


def test_an_empty_path_has_no_extent() -> None:
    with pytest.raises(PathUnusable) as caught:
        extent("")

    assert caught.value.found == "it draws nothing"
