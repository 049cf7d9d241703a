from dataclasses import replace

import numpy as np
import pytest

from passport.leveling.shots.agree import Slope, agree, differ, slope_of_levels
from passport.leveling.shots.drift import Ground, Value, drift
from passport.leveling.shots.friction import friction
from passport.leveling.shots.levels import Level, covariance, cross_levels, hollows
from passport.leveling.shots.tested import read_shots
from passport.leveling.shots.words import shot_lines
from passport.leveling.walks import Moment
from passport.table import Board
from passport.visit import BracketPass, Count, Glide, LegPass, Pass, Shot

BOARD = Board(6600, 500, 76.2, "maple")
GLIDES = (Glide("A", 5.0, 5.0), Glide("B", 5.0, 5.0))
FLAT = Ground(BOARD, friction(GLIDES), Value(0.0, 1e-6))  # no hollow
HOLLOW = Ground(BOARD, friction(GLIDES), Value(5e-4, 5e-5))
BOTH = (Shot("middle", "A", -2), Shot("middle", "B", -2))


def test_friction_assumed_without_a_glide_is_wide():
    found = friction(())

    assert (found.value, found.u, found.runs) == (0.04, 0.016, ())


def test_friction_of_one_direction_is_wider_than_of_both():
    one, both = friction(GLIDES[:1]), friction(GLIDES)

    assert one.value == both.value
    assert one.u > both.u
    assert one.slope_mm_per_m is None


def test_friction_of_one_glide_carries_watch_and_tape():
    (run,) = friction(GLIDES[:1]).runs

    # time: 0.15 s by hand, 0.1 s / √12 read, twice over 5 s; distance: 0.1 m / √12 over 5 m
    assert run.u / run.drag == pytest.approx(0.0614, abs=1e-4)


def test_repeated_glides_of_one_direction_are_averaged():
    found = friction((Glide("A", 5.0, 5.0), Glide("A", 5.0, 6.0)))

    assert found.value == pytest.approx((0.040789 + 0.028325) / 2, abs=1e-6)
    assert found.u > abs(0.040789 - 0.028325) / 2


@pytest.mark.parametrize(
    ("glide", "why"),
    [
        (Glide("A", None, 5.0), "glide from A without its distance"),
        (Glide("B", 5.0, None), "glide from B without its time"),
        (Glide("A", 5.0, 0.0), "glide from A, 5 m in 0 s, can't be"),
        (Glide("A", float("nan"), 5.0), "glide from A, nan m in 5 s, can't be"),
        (Glide("A", 0.1, 0.5), "glide from A, 0.1 m in 0.5 s, is too short to tell"),
        (Glide("A", 5.0, 50.0), "glide from A, 5 m in 50 s, can't be"),
    ],
)
def test_glide_that_can_t_be_is_named(glide, why):
    assert friction((glide,)).refused == (why,)


def test_glide_beyond_the_board_is_named():
    assert friction(GLIDES, 2.7).refused == (
        "glide from A, 5 m in 5 s, is longer than the board",
        "glide from B, 5 m in 5 s, is longer than the board",
    )


def test_drift_of_a_flat_board_is_its_slope():
    # Y = s L / (2 µ): s = 2 × 0.040789 × 0.0508 m / 5 m = 0.829 mm/m
    found = drift(FLAT, BOTH)

    assert found.cross_mm_per_m.value == pytest.approx(0.829, rel=0.02)
    assert found.curve_mm.value == pytest.approx(0.0, abs=0.01)


def test_hollow_holds_weights_back_so_the_slope_is_greater():
    assert drift(HOLLOW, BOTH).cross_mm_per_m.value > 1.2 * drift(FLAT, BOTH).cross_mm_per_m.value


def test_outer_lanes_that_come_in_alike_are_the_hollow_and_no_slope():
    fired = [Shot(lane, end, inch) for end in "AB" for lane, inch in (("left", -3), ("right", 3))]

    assert drift(HOLLOW, fired).cross_mm_per_m.value == pytest.approx(0.0, abs=1e-3)


def test_player_s_curve_turns_about_with_the_direction():
    found = drift(FLAT, (Shot("middle", "A", 2), Shot("middle", "B", -2)))

    assert found.cross_mm_per_m.value == pytest.approx(0.0, abs=1e-3)
    assert found.curve_mm.value == pytest.approx(50, abs=10)


def test_one_direction_leaves_the_curve_in_the_uncertainty():
    one, both = drift(FLAT, BOTH[:1]), drift(FLAT, BOTH)

    assert not one.both_ways
    assert one.cross_mm_per_m.u > 3 * both.cross_mm_per_m.u


def test_aim_of_a_third_of_a_degree_is_the_least_scatter():
    (row, _) = drift(FLAT, BOTH).rows

    # middle of three: 0.67 × 5 m × tan 0.3° = 17.5 mm; box of an inch: 7.3 mm
    assert row.u_m * 1000 == pytest.approx(19.0, abs=0.2)


def test_repeats_that_scatter_more_count_with_their_own_scatter():
    fired = [Shot("middle", end, inch) for end in "AB" for inch in (-5, 1)]
    rows = drift(FLAT, fired).rows

    # two marks 6 in apart: 107.8 mm for one, 76.2 mm for the mean of both
    assert [row.u_m * 1000 for row in rows] == pytest.approx([76.2, 76.2])
    assert [row.shots for row in rows] == [2, 2]


def test_bounds_alone_say_nothing():
    assert drift(FLAT, [Shot("middle", "A", 6, True)]) is None


def test_lane_that_nobody_knows_is_left_out():
    assert drift(FLAT, [Shot("edge", "A", 1)]) is None


def test_mark_beside_the_board_is_left_out():
    assert drift(FLAT, [Shot("left", "A", 262)]) is None


def test_marks_that_contradict_each_other_wildly_give_a_wide_answer():
    found = drift(FLAT, [Shot("left", "A", 19), Shot("middle", "A", -19), *BOTH])

    assert found.cross_mm_per_m.u > 1.0


def test_board_without_a_size_gives_no_drift():
    assert drift(replace(FLAT, board=replace(BOARD, width_mm=0)), BOTH) is None


def test_untimed_shots_are_far_wider():
    untimed = replace(FLAT, friction=friction(()))

    assert drift(untimed, BOTH).cross_mm_per_m.u > 1.5 * drift(FLAT, BOTH).cross_mm_per_m.u


def test_shots_that_disagree_beyond_chance_widen_the_answer():
    fired = [*BOTH, Shot("left", "A", 5), Shot("right", "A", 5), Shot("left", "B", -5)]
    found = drift(HOLLOW, fired)

    assert found.at_odds < 0.05
    assert found.cross_mm_per_m.u > drift(HOLLOW, BOTH).cross_mm_per_m.u


def read(visit, cards=1, hollow=2):
    legs = {name: LegPass(found=Count(cards)) for name in ("L1", "L3", "L5")}
    brackets = {f"B{i}": BracketPass(found=Count(hollow)) for i in range(1, 9)}
    walk = Pass(legs, brackets, rise={"A": Count(3), "B": Count(3)})
    return replace(visit, passes=(walk,), glides=GLIDES, shots=BOTH)


def test_levels_of_the_day_are_read_without_history(table, visit):
    levels = cross_levels(table, read(visit), Moment.LEFT)

    # 1 card of 0.2 mm over 500 mm
    assert [(level.station, level.value) for level in levels] == [
        ("L1", 0.4),
        ("L3", 0.4),
        ("L5", 0.4),
    ]
    assert hollows(table, read(visit), Moment.LEFT)[0].value == pytest.approx(0.5)


def test_bounds_are_no_levels(table, visit):
    legs = {"L1": LegPass(found=Count(4, True))}

    assert cross_levels(table, replace(visit, passes=(Pass(legs),)), Moment.LEFT) == ()


def test_level_zero_is_shared_by_all_cross_levels():
    levels = [Level("L1", 0.0, 0.0, 0.1, (0.2, 0.0, 0.0)), Level("L2", 1.0, 0.0, 0.1, (0.2, 0, 0))]

    assert covariance(levels) == pytest.approx(np.array([[0.05, 0.04], [0.04, 0.05]]))


def test_line_through_levels_keeps_the_shared_zero_in_its_uncertainty():
    ends = [Level(str(x), x, 0.4, 0.0, (0.3, 0.0, 0.0)) for x in (0.0, 3300.0, 6600.0)]
    slope = slope_of_levels(BOARD, ends)

    assert slope.middle.value == pytest.approx(0.4)
    assert slope.middle.u == pytest.approx((0.3**2 + 0.2**2 / 3) ** 0.5)
    assert slope.at(6600, BOARD).value == pytest.approx(0.4)


def test_line_without_levels_is_none():
    assert slope_of_levels(BOARD, ()) is None


def test_two_answers_are_weighed_by_their_uncertainties():
    first = Slope(Value(14.0, 1.0), Value(0.0, 1.0), 0.0)
    second = Slope(Value(15.625, 2.0), Value(0.0, 1.0), 0.0)

    both = agree(first, second).both

    # prior 15.625 ± 2, reading 14 ± 1: 14.325 ± 0.894427
    assert both.middle.value == pytest.approx(14.325)
    assert both.middle.u == pytest.approx(0.8944272)


def test_answers_two_uncertainties_apart_happen_once_in_22():
    assert differ(Value(0.0, 1.2), Value(4.0, 1.6)) == pytest.approx(0.0455, abs=1e-4)


def test_visit_without_shots_or_glides_says_nothing(table, visit):
    assert read_shots(table, visit) is None
    assert shot_lines(table, None) == ()


def test_shots_and_levels_of_a_visit_are_brought_together(table, visit):
    found = read_shots(table, read(visit))

    low, high = sorted((found.levels.middle.value, found.drift.cross_mm_per_m.value))
    assert low < found.both.both.middle.value < high
    assert found.both.both.middle.u < found.levels.middle.u
    assert found.tilt_mm_per_m.value == pytest.approx(0.0)


def test_hollow_never_measured_is_the_target_with_its_tolerance(table, visit):
    found = read_shots(table, replace(visit, shots=BOTH))

    assert (found.hollow_mm, found.hollow_read) == (Value(0.5, 0.19), False)
    assert found.levels is None
    assert found.both is None


def test_hollow_that_can_t_be_is_not_used(table, visit):
    found = read_shots(table, read(visit, hollow=10**6))

    assert (found.hollow_mm, found.hollow_read) == (Value(0.5, 0.19), False)


def test_lines_say_readings_numbers_and_conclusion(table, visit):
    found = replace(read_shots(table, read(visit, cards=2)), tilt_mm_per_m=Value(0.0, 0.1))

    assert shot_lines(table, found) == (
        "Glides from A 5.0 m in 5 s (0.041), from B 5.0 m in 5 s (0.041): 2 d / (g t²) gives "
        "friction 0.041 ± 0.004.",
        "Lengthwise, half of what the glides differ by: 0.0 ± 3.5 mm/m; by the level 0.00 ± 0.20 "
        "mm/m: they differ as chance allows.",
        "Shots from A middle 51 mm right (fitted 51 mm right); from B middle 51 mm right "
        "(fitted 51 "
        "mm right). With the hollow's pull (0.50 ± 0.16 mm hollow) and the day's friction: cross "
        "slope 1.06 ± 0.40 mm/m left high at the middle.",
        "Player's own curve: 0 ± 38 mm at rest, the same from both ends, so it is taken out.",
        "Cross slope by levels 0.80 ± 0.34 mm/m left high, by shots 1.06 ± 0.40 mm/m "
        "left high: they "
        "agree; together 0.91 ± 0.26 mm/m left high.",
        "Cross slope along the board, by shots and levels: L1 0.91 ± 0.41 mm/m left high; "
        "L3 0.91 ± 0.26 mm/m left high; L5 0.91 ± 0.41 mm/m left high.",
    )


def test_lines_in_inches_and_feet(table, visit):
    lines = shot_lines(replace(table, units="imperial"), read_shots(table, read(visit)))

    assert lines[0].startswith("Glides from A 16.4 ft in 5 s (0.041)")
    assert "from A middle 2.0 in right (fitted" in lines[2]


def test_lines_name_a_disagreement_of_levels_and_shots(table, visit):
    lines = shot_lines(table, read_shots(table, read(visit, cards=-3)))

    assert lines[-1] == (
        "Cross slope by levels 1.20 ± 0.34 mm/m right high, by shots 1.06 ± 0.40 mm/m left high: "
        "they differ more than chance makes (less than 1 in 1000). Before turning, look "
        "for a level "
        "that lost its zero, uneven wax, a bare spot."
    )


def test_lines_name_a_disagreement_of_glides_and_level(table, visit):
    steep = replace(read(visit), glides=(Glide("A", 4.0, 3.0), Glide("B", 5.0, 7.0)))
    found = replace(read_shots(table, steep), tilt_mm_per_m=Value(0.0, 0.1))

    assert shot_lines(table, found)[1] == (
        "Lengthwise, half of what the glides differ by: 34.9 ± 9.3 mm/m, end B high; "
        "by the level "
        "0.00 ± 0.20 mm/m: they differ more than chance makes (less than 1 in 1000): "
        "look for uneven "
        "wax, or supporting legs."
    )


def test_lines_of_shots_at_odds_with_each_other(table, visit):
    fired = (*BOTH, Shot("left", "A", 5), Shot("right", "A", 5), Shot("left", "B", -5))
    lines = shot_lines(table, read_shots(table, replace(read(visit), shots=fired)))

    assert lines[3] == (
        "The shots disagree among themselves more than chance makes (less than 1 in "
        "1000); the ± is "
        "widened by it. Look for bare or waxed patches, and shoot again."
    )


def test_line_names_the_side_of_the_player_s_curve(table, visit):
    fired = (Shot("middle", "A", -3), Shot("middle", "B", -1))
    lines = shot_lines(table, read_shots(table, replace(read(visit), shots=fired)))

    assert lines[3].startswith("Player's own curve: 4")
    assert "mm to the player's right at rest" in lines[3]


def test_lines_of_bounds_only(table, visit):
    fired = (Shot("middle", "A", 6, True), Shot("middle", "B", -6, True))
    lines = shot_lines(table, read_shots(table, replace(visit, shots=fired)))

    assert lines == (
        "No usable glide: friction 0.040 ± 0.032, assumed; time one to rest each way.",
        "Shots from A middle 152 mm left or farther, from B middle 152 mm right or "
        "farther: bounds, "
        "no values. Level by the counts, then shoot again.",
    )


def test_lines_of_one_direction_with_a_bound_and_nothing_else(table, visit):
    fired = (Shot("middle", "A", -1), Shot("middle", "B", -6, True))
    lines = shot_lines(table, read_shots(table, replace(visit, shots=fired)))

    assert lines[1:] == (
        "Shots from A middle 25 mm right (fitted 25 mm right). With the hollow's pull (0.50 ± 0.38 "
        "mm hollow, its target: none was measured) and the day's friction: cross slope 0.5 ± 2.2 "
        "mm/m left high at the middle. Bounds, not used: from B middle 152 mm right or farther.",
        "Shots from one end only: the player's own curve can't be told from a slope, so the ± is "
        "wide. Shoot from both ends.",
        "Cross slope along the board, by shots alone: L1 0.5 ± 2.5 mm/m left high; L3 0.5 ± "
        "2.2 mm/m left high; L5 0.5 ± 2.8 mm/m left high.",
    )


def test_line_names_a_glide_that_was_not_used(table, visit):
    lines = shot_lines(table, read_shots(table, replace(visit, glides=(Glide("A", 5.0, 50.0),))))

    assert lines == (
        "No usable glide: friction 0.040 ± 0.032, assumed; time one to rest each way. Not used: "
        "glide from A, 5 m in 50 s, can't be.",
    )


def test_line_of_a_slope_too_steep_for_the_formula(table, visit):
    fast = (Glide("A", 5.0, 14.0), Glide("B", 5.0, 14.0))  # friction 0.005
    fired = tuple(Shot("middle", end, -5) for end in "AB")
    lines = shot_lines(table, read_shots(table, replace(visit, shots=fired, glides=fast)))

    assert lines[3] == (
        "So steep for this friction that the figure is rough: level first, then shoot again."
    )
