"""Rise by a taut line or a laser on paper: its look-up, what is doubtful, what the answers mean."""

from dataclasses import replace
from decimal import Decimal

import pytest

from passport.leveling.rises import sag_mm
from passport.table import LineLaser, Own, RiseBy, TautLine
from passport.visit import Count
from passport.visits.service import both_ways, ids, rise_ladder, rows

LINE = TautLine(Own(0.5, 0.02), Own(30.0, 0.6), Own(12.7, 0.05), 0.1, 0.05)
LASER = LineLaser(Own(0.0, 0.17), 0.5, 0.25)
MIDDLE = ids.rise("middle")


@pytest.fixture
def line_table(long_table):
    return replace(long_table, kit=replace(long_table.kit, rise_by=RiseBy.LINE, line=LINE))


@pytest.fixture
def laser_table(long_table):
    return replace(long_table, kit=replace(long_table.kit, rise_by=RiseBy.LASER, laser=LASER))


def test_gap_that_is_ok_is_blocks_and_target_less_sag(line_table):
    steps = {word: float(first) for first, word in rise_ladder.ladder(line_table)}
    span = line_table.legs[-1].x_mm - line_table.legs[0].x_mm
    target = line_table.targets.rise_mm

    meant = 12.7 + target.value - sag_mm(LINE, span)
    assert meant - target.tolerance < steps["OK"] < meant < steps["↓1"]


def test_look_up_goes_from_low_ends_to_high_ones(line_table):
    words = [word for _, word in rise_ladder.ladder(line_table)]

    assert words.index("↑8") < words.index("↑1") < words.index("OK") < words.index("↓1")


@pytest.mark.parametrize(
    ("step_mm", "scale"),
    [(0.0254, ("in", Decimal("0.001"), 3)), (0.1, ("mm", Decimal("0.1"), 1)),
     (0.5, ("mm", Decimal("0.5"), 1)), (1.0, ("mm", Decimal(1), 0))],
)  # fmt: skip
def test_scale_is_in_the_unit_that_its_step_is_a_short_number_of(line_table, step_mm, scale):
    kit = replace(line_table.kit, line=replace(LINE, step_mm=step_mm))

    assert rise_ladder.gauge(kit) == scale


def test_gap_is_counted_in_steps_of_its_scale(line_table, context_of, visit_of):
    context = context_of(line_table)
    answers = {
        ids.found(1, MIDDLE): Decimal("14.3"),
        ids.turns(1, ids.rise("A")): 2,
        ids.turns(1, ids.rise("B")): 2,
        ids.after(1, MIDDLE): Decimal("15.1"),
    }

    (walk,) = visit_of(context, answers).passes

    assert (walk.rise, walk.rise_turns, walk.rise_after) == (
        {"middle": Count(143)},
        {"A": 2, "B": 2},
        {"middle": Count(151)},
    )


def test_turns_without_a_gap_after_them_are_doubtful(line_table, context_of, visit_of):
    context = context_of(line_table)
    answers = {ids.found(1, MIDDLE): Decimal("14.3"), ids.turns(1, ids.rise("A")): 2}

    doubts = visit_of(context, answers).doubts

    assert (ids.after(1, MIDDLE), rows.NO_AFTER) in {(d.field, d.why) for d in doubts}


def test_height_that_is_missing_beside_another_is_doubtful(laser_table, context_of, visit_of):
    context = context_of(laser_table)
    answers = {ids.found(1, MIDDLE): Decimal(200), ids.found(1, ids.rise("A")): Decimal(197)}

    doubts = visit_of(context, answers).doubts

    assert (ids.found(1, ids.rise("B")), both_ways.HALF) in {(d.field, d.why) for d in doubts}
