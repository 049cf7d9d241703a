"""J. C. Moody, "How to calibrate surface plates in the plant", The Tool Engineer, October 1955.

Worked example, pages 15 to 21: a plate of 48 × 72 in, foot spacing 4 in, eight lines of slope
steps in seconds of arc. Inputs and Figure 6 are published; what is marked *recomputed* was worked
out again from these inputs and is no published figure (Moody rounded by hand). Each check names its
definition: Moody's own (above the lowest point of his datum), least squares, minimum zone. That
each line has a free tilt belongs to this example: our levels share gravity.
"""

import numpy as np
import pytest

from passport.leveling.flatness import Definition, least_squares, minimum_zone

# Heights above the lowest point, seconds of arc of a 4 in step; station by station along each line:
# column 7 of the worksheets to a hundredth, recomputed; printed, hand-rounded, they are within 0.1.
HEIGHTS = {
    "NW_SE": "3.2 4.6 5.5 5.4 5.5 5.9 6.4 6.8 6.7 7.1 6.8 6.7 6.8 7.0 6.8 6.3 5.4 5.6 5.4 4.8 3.2",
    "NE_SW": "1.5 3.3 3.8 4.4 4.7 5.4 6.3 6.4 6.6 7.1 6.8 6.4 6.0 5.7 5.6 5.0 4.4 3.7 3.7 3.1 1.5",
    "NE_NW": "1.5 2.85 3.4 4.75 5.9 6.95 7.7 7.55 7.9 7.55 7.0 6.55 6.0 5.25 4.6 4.45 3.2",
    "NE_SE": "1.5 1.9 0.9 0.3 0.0 0.3 0.4 0.8 1.7 2.8 3.2",
    "SE_SW": "3.2 5.02 5.45 6.47 7.4 7.92 8.65 9.17 9.2 8.62 7.55 6.47 5.2 3.92 2.75 2.17 1.5",
    "NW_SW": "3.2 3.82 3.04 2.16 1.48 1.1 0.22 0.74 1.36 1.98 1.5",
    "E_W": "1.0 1.55 2.8 3.75 5.1 5.95 6.3 6.65 6.8 6.95 6.1 5.75 4.9 3.75 3.3 2.55 1.8",
    "N_S": "7.9 7.8 7.5 7.1 6.9 6.8 7.0 7.8 8.5 8.9 9.2",
}
READINGS = {
    "NW_SE": "6.5 6.0 5.0 5.2 5.5 5.6 5.5 5.0 5.5 4.8 5.0 5.2 5.3 4.9 4.6 4.2 5.3 4.9 4.5 3.5",
    "NE_SW": "6.6 5.4 5.4 5.2 5.5 5.7 5.0 5.0 5.4 4.5 4.4 4.5 4.5 4.8 4.2 4.2 4.2 4.8 4.3 3.2",
    "NE_NW": "20.5 19.7 20.5 20.3 20.2 19.9 19.0 19.5 18.8 18.6 18.7 18.6 18.4 18.5 19.0 17.9",
    "NE_SE": "3.5 2.1 2.5 2.8 3.4 3.2 3.5 4.0 4.2 3.5",
    "SE_SW": "16.4 15 15.6 15.5 15.1 15.3 15.1 14.6 14 13.5 13.5 13.3 13.3 13.4 14 13.9",
    "NW_SW": "6 4.6 4.5 4.7 5.0 4.5 5.9 6 6 4.9",
    "E_W": "11.7 12.4 12.1 12.5 12.0 11.5 11.5 11.3 11.3 10.3 10.8 10.3 10 10.7 10.4 10.4",
    "N_S": "6.6 6.4 6.3 6.5 6.6 6.9 7.5 7.4 7.1 7",
}
CORNERS = {"NW": (0, 10), "NE": (16, 10), "SW": (0, 0), "SE": (16, 0)}
MIDDLES = {"E": (16, 5), "W": (0, 5), "N": (8, 10), "S": (8, 0)}
POINTS = CORNERS | MIDDLES
MICROINCH = 4e6 * 4.8481368e-6  # of a second of arc over 4 in


def stations():
    """Give place and height of all stations by Moody's own reduction, in seconds of arc."""
    raw = {
        name: np.concatenate([[0.0], np.cumsum(np.array(text.split(), float))])
        for name, text in READINGS.items()
    }
    lines, ends = {}, {}
    for name in ("NW_SE", "NE_SW"):
        level = raw[name] - np.linspace(0, raw[name][-1], 21)
        lines[name] = level - level[10]
        ends |= dict(zip(name.split("_"), (lines[name][0], lines[name][-1]), strict=True))
    for name in ("NE_NW", "NE_SE", "SE_SW", "NW_SW"):
        lines[name] = tied(raw[name], *(ends[end] for end in name.split("_")))
    halves = {"N": "NE_NW", "E": "NE_SE", "S": "SE_SW", "W": "NW_SW"}
    ends |= {end: lines[name][len(lines[name]) // 2] for end, name in halves.items()}
    for name in ("E_W", "N_S"):
        line = tied(raw[name], *(ends[end] for end in name.split("_")))
        lines[name] = line - line[len(line) // 2]
    lowest = min(line.min() for line in lines.values())
    return {name: line - lowest for name, line in lines.items()}


def tied(line, start, end):
    return line + start - line[0] + np.linspace(0, end - start - line[-1] + line[0], len(line))


def all_points():
    """Give coordinates in steps and heights in millionths of an inch, (126,)."""
    xs, ys, heights = [], [], []
    for name, line in stations().items():
        (x0, y0), (x1, y1) = (POINTS[end] for end in name.split("_"))
        xs.append(np.linspace(x0, x1, len(line)))
        ys.append(np.linspace(y0, y1, len(line)))
        heights.append(line * MICROINCH)
    return (np.concatenate(xs), np.concatenate(ys)), np.concatenate(heights)


@pytest.mark.parametrize("line", HEIGHTS)
def test_all_stations_are_those_of_the_worksheets(line):
    """All 126, to the last figure that they are given to."""
    given = HEIGHTS[line].split()
    last = 10.0 ** -max(len(one.partition(".")[2]) for one in given)

    assert stations()[line] == pytest.approx(np.array(given, float), abs=0.51 * last)


def test_overall_flatness_by_moodys_own_definition_is_figure_6():
    """Figure 6: 0.00018 in between two planes parallel to his datum."""
    _, heights = all_points()

    assert round(np.ptp(heights) * 1e-6, 5) == 0.00018


def test_zone_about_the_least_squares_plane():
    """Recomputed: 175.37 millionths of an inch for Moody's 126 heights."""
    found = least_squares(*all_points())

    assert (found.definition, found.zone) == (
        Definition.LEAST_SQUARES,
        pytest.approx(175.37, abs=0.05),
    )


def test_minimum_zone():
    """Recomputed: 163.67 millionths of an inch for the same heights."""
    found = minimum_zone(*all_points())

    assert (found.definition, found.zone) == (
        Definition.MINIMUM_ZONE,
        pytest.approx(163.67, abs=0.05),
    )


def test_minimum_zone_is_never_wider_than_that_of_least_squares():
    assert minimum_zone(*all_points()).zone <= least_squares(*all_points()).zone


def test_lowest_station_is_near_the_middle_of_the_east_side():
    """Where his datum has its lowest value, −6.8 seconds."""
    (x, y), heights = all_points()

    lowest = int(heights.argmin())

    assert (x[lowest], y[lowest]) == pytest.approx(MIDDLES["E"], abs=1.01)


def test_departures_carry_the_uncertainty_of_the_heights():
    """One height alone uncertain: its departure keeps (1 − leverage) of it."""
    x = np.arange(5.0)
    covariance = np.diag([0.0, 0.0, 1.0, 0.0, 0.0])

    found = least_squares((x,), x, covariance)

    assert found.u[2] == pytest.approx(1 - 1 / 5)
