from dataclasses import replace

import numpy as np
import pytest

from passport.leveling.posterior.filter import known_at
from passport.leveling.relief import contour_step, contours, fall_lines, relief, surface_weights
from passport.visit import Count, LegPass, Pass

X, Y = np.linspace(0, 4000, 81), np.linspace(-250, 250, 21)


def bowl():
    return (X[None, :] - 2000) ** 2 / 4e6 + (Y[:, None] / 250) ** 2


def test_one_mm_per_m_of_cross_slope_lifts_the_left_edge_by_half_the_width(table):
    half = table.board.width_mm / 2

    weights = surface_weights(table, np.array([0.0]), np.array([half]))

    assert weights[0, 0, : len(table.adjusted_legs())].sum() == pytest.approx(half / 1000)


def test_a_hollow_lifts_both_edges_by_its_depth(table):
    half, at = table.board.width_mm / 2, table.brackets[1].x_mm

    weights = surface_weights(table, np.array([at]), np.array([-half, 0.0, half]))

    assert weights[:, 0, -len(table.brackets) + 1].tolist() == [1.0, 0.0, 1.0]


def test_a_rise_is_met_in_full_over_its_own_leg(table):
    legs = table.adjusted_legs()

    weights = surface_weights(table, np.array([legs[0].x_mm, legs[-1].x_mm]), np.array([0.0]))

    rises = weights[0, :, len(legs) : len(legs) + 2]
    assert rises == pytest.approx(np.eye(2))


def test_the_surface_between_two_legs_twists_evenly(table):
    legs = table.adjusted_legs()
    middle = (legs[0].x_mm + legs[1].x_mm) / 2

    weights = surface_weights(table, np.array([middle]), np.array([1000.0]))

    assert weights[0, 0, :2].tolist() == pytest.approx([0.5, 0.5])


def test_every_point_of_a_contour_has_its_height():
    lines = contours(X, Y, bowl(), 0.5)

    off = [
        np.abs((p[:, 0] - 2000) ** 2 / 4e6 + (p[:, 1] / 250) ** 2 - line.height).max()
        for line in lines
        for p in [line.points]
    ]
    assert max(off) < 0.01


def test_no_contour_runs_along_the_lowest_line():
    assert min(line.height for line in contours(X, Y, bowl(), 0.5)) == 0.5


def test_fall_lines_only_go_down():
    def height(way):
        return (way[:, 0] - 2000) ** 2 / 4e6 + (way[:, 1] / 250) ** 2

    ways = fall_lines(X, Y, bowl())

    assert max(np.diff(height(way)).max() for way in ways) < 1e-3


def test_a_level_board_has_no_fall_lines():
    assert fall_lines(X, Y, np.zeros((21, 81))) == ()


@pytest.mark.parametrize(("height", "step"), [(0.1, 0.01), (1.3, 0.1), (2.7, 0.2), (6.9, 0.5)])
def test_contours_are_a_round_figure_apart(height, step):
    assert contour_step(height, "metric") == pytest.approx(step)


def test_the_relief_has_the_heights_and_uncertainties_of_the_posterior(table, visit):
    laid, known = relief(table, (visit,)), known_at(table, (visit,))
    end = known.places.rise(0)
    state = known.state(known.course.left)

    column = laid.heights[len(laid.y) // 2]
    read = np.interp(table.adjusted_legs()[0].x_mm, laid.x, column)

    assert read == pytest.approx(float(state.mean[end]), abs=0.02)


def test_the_middle_is_the_datum_and_certain(table, visit):
    laid = relief(table, (visit,))
    middle = (len(laid.y) // 2, len(laid.x) // 2)

    assert (laid.heights[middle], laid.u[middle]) == (0.0, 0.0)


def test_stations_that_nobody_read_are_named(table, visit):
    leg = table.adjusted_legs()[0].name
    alone = replace(visit, passes=(Pass(legs={leg: LegPass(found=Count(1))}),))

    laid = relief(table, (alone,))

    others = [one.name for one in (*table.adjusted_legs()[1:], *table.brackets)]
    assert [name for name in laid.unread if "end" not in name] == others


def test_without_a_visit_there_is_no_relief(table):
    assert relief(table, ()) is None
