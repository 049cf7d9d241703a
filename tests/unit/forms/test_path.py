"""SVG paths: moved and measured."""

from math import dist

import pytest

from forms.path import PathUnusable, arc_curves, extent, moved_path, steps


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


def bezier(start: tuple[float, float], curve: tuple[float, ...], t: float) -> tuple[float, float]:
    """Point of a cubic Bézier curve, by its definition."""
    points = (start, curve[:2], curve[2:4], curve[4:])
    weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3)
    return tuple(sum(w * p[axis] for w, p in zip(weights, points, strict=True)) for axis in (0, 1))


@pytest.mark.parametrize(
    ("path", "middle"),
    [
        ("M9 50A3 3 0 1 1 15 50", (12, 50)),  # half a circle
        ("M0 0A10 10 0 0 1 10 10", (0, 10)),  # a quarter
        ("M0 0A10 10 0 1 1 10 10", (10, 0)),  # the other three quarters
        ("M0 0A10 10 0 0 0 10 10", (10, 0)),
    ],
)
def test_an_arc_s_curves_keep_on_its_circle(path: str, middle: tuple[float, float]) -> None:
    (_, start), (_, numbers) = steps(path)
    at, off = start, []
    for curve in arc_curves(start, numbers):
        off += [dist(bezier(at, curve, t / 8), middle) / numbers[0] - 1 for t in range(9)]
        at = curve[-2:]

    assert at == pytest.approx(numbers[-2:])
    assert max(map(abs, off)) < 0.0003


def test_an_arc_without_a_radius_is_a_straight_line() -> None:
    assert arc_curves((1, 2), (0, 5, 0, 0, 1, 4, 6)) == ((1, 2, 4, 6, 4, 6),)
