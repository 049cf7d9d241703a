"""Rise of the ends by steps, a taut line with its sag, a laser: closed forms, what is shared."""

import math
from dataclasses import replace

import numpy as np
import pytest

from passport.leveling.advice import Quantity
from passport.leveling.advise import advise
from passport.leveling.explain import why_lines
from passport.leveling.loads.heights import foot_heights
from passport.leveling.lookup import rise_turns
from passport.leveling.posterior.filter import known_at
from passport.leveling.readings import ROOT_3
from passport.leveling.rises import (
    line_rise_mm,
    rise_readings,
    rises_read,
    sag_mm,
    sag_u_mm,
    step_reading,
    steps_of,
)
from passport.leveling.surface import Moment, estimates, lengthwise_tilt
from passport.table import LineLaser, Own, RiseBy, TautLine
from passport.visit import Count, LegPass, Pass

SPANS = (3000.0, 3000.0)  # of the round table
LINE_READ = (Own(20.0, 0.05), 0.1, 0.05)  # blocks, step and reading of the gap
LINE = TautLine(Own(0.5, 0.02), Own(30.0, 0.6), *LINE_READ)
LASER = LineLaser(Own(0.0, 0.3 / math.sqrt(3)), 0.5, 0.25)


def by_line(table, line=LINE):
    return replace(table, kit=replace(table.kit, rise_by=RiseBy.LINE, line=line))


def by_laser(table):
    return replace(table, kit=replace(table.kit, rise_by=RiseBy.LASER, laser=LASER))


def by_steps(table):
    return replace(table, kit=replace(table.kit, rise_by=RiseBy.STEPS))


def read(table, visit, turns=None, after=None, **rise):
    counts = {name: Count(value) for name, value in rise.items()}
    left = {name: Count(value) for name, value in (after or {}).items()}
    walk = Pass(rise=counts, rise_turns=turns or {}, rise_after=left)
    return replace(visit, kit=table.kit, passes=(walk,))


def ends(table, visit, moment=Moment.FOUND):
    return next(
        one for one in estimates(table, visit, moment) if one.station.quantity is Quantity.RISE
    )


# the rise of a table that bends as a beam does: (3 s² - s³) / 2 of it at the share s of the span
def bent(x_mm, rise_mm, span_mm=3000.0):
    s = np.asarray(x_mm) / span_mm
    return rise_mm * (3 * s**2 - s**3) / 2


def test_line_sags_as_the_catenary_does():
    mass, pull, span = 0.5e-3, 30.0, 6.1  # kg/m, N, m
    a = pull / (mass * 9.80665)
    catenary = a * (math.cosh(span / (2 * a)) - 1) * 1000

    assert sag_mm(LINE, 6100.0) == pytest.approx(catenary, rel=1e-6)


@pytest.mark.parametrize(("feet", "printed_ft"), [(10, 0.0003), (100, 0.03)])
def test_steel_wire_sags_as_a_millwright_s_training_page_prints(feet, printed_ft):
    # a public training page for millwrights: wire of 0.016 in, 0.0007 lb/ft, 30 lbf; rounded there
    pound, foot = 0.45359237, 0.3048  # kg, m; international yard and pound agreement, 1959
    wire = TautLine(
        Own(0.0007 * pound * 1000 / foot, 0.01), Own(30 * pound * 9.80665, 1.0), *LINE_READ
    )

    assert sag_mm(wire, feet * foot * 1000) / 1000 / foot == pytest.approx(printed_ft, rel=0.04)


def test_line_off_its_middle_sags_as_the_parabola_does():
    # shape of a parabola: 4 d s (1 - s); three quarters of it at the quarter point
    assert sag_mm(LINE, 6100.0, 0.25) == pytest.approx(0.75 * sag_mm(LINE, 6100.0))


def test_uncertainty_of_a_sag_is_that_of_a_quotient():
    # JCGM 100:2008, 5.1.6: relative variances of mass per length and pull add
    relative = math.hypot(0.02 / 0.5, 0.6 / 30.0)

    assert sag_u_mm(LINE, 6000.0) == pytest.approx(relative * sag_mm(LINE, 6000.0))


def test_gap_of_a_line_over_straight_raised_ends_is_blocks_and_rise_less_sag():
    gap = 20.0 + 3.0 - sag_mm(LINE, 6000.0)

    assert line_rise_mm(LINE, SPANS, gap) == pytest.approx(3.0)


def test_line_that_hangs_unevenly_reads_the_ends_by_their_distance(table):
    (one,) = rise_readings(by_line(table).kit, (2000.0, 4000.0), {"middle": Count(220)})

    # where the line crosses the middle it is two thirds of A's and one of B's rise up
    assert one.shares == pytest.approx((2 / 3, 1 / 3))


def test_steps_add_up_to_the_rise_of_a_bent_board(table):
    kit, rise = by_steps(table).kit, 3.0
    steps, bearing = steps_of(kit, SPANS[0]), kit.bearing_length_mm
    starts = np.arange(steps) * SPANS[0] / steps
    climbed = bent(starts + bearing, rise) - bent(starts, rise)  # over each foot of the level
    total = Count(round(climbed.sum() / kit.card_mm))

    assert step_reading(kit, SPANS[0], 0, total).value == pytest.approx(rise, abs=kit.card_mm / 2)


def test_scatter_of_a_sum_of_steps_is_that_of_many_roundings(table):
    # N rectangular roundings of one card: variance N / 12; a free end grows as the root of N
    kit = replace(by_steps(table).kit, sensitivity_mm_per_m=0.0, bearing_length_mm=500.0)
    one = step_reading(kit, 3000.0, 0, Count(15))
    bubble = 0.05 * 3.0 / math.sqrt(6)

    assert one.own_u == pytest.approx(math.hypot(0.2 * math.sqrt(6 / 12), bubble))


def test_zero_of_a_level_that_is_stepped_cancels_in_the_mean_of_both_ends(table):
    kit = by_steps(table).kit
    read = rises_read(kit, SPANS, {"A": Count(18), "B": Count(12)}, (0.4, 0.3))

    # 0.4 mm/m over 3 m: 1.2 mm up at A, down at B
    assert read.mean[0] == pytest.approx(3.0)
    assert read.apart[0] == pytest.approx(1.2 - 2 * 1.2)
    assert read.apart[1] > 2 * 3.0 * 0.3 > read.mean[1]


def test_slope_of_a_laser_cancels_in_the_middle_less_both_ends(table):
    kit = by_laser(table).kit
    slope, rise = 0.3, (3.0, 4.0)  # mm/m, up toward B
    heights = {"A": 100 - 3 * slope - rise[0], "middle": 100.0, "B": 100 + 3 * slope - rise[1]}
    counts = {name: Count(round(height / 0.5)) for name, height in heights.items()}

    found = rises_read(kit, SPANS, counts, (0.0, 0.1))

    assert found.mean[0] == pytest.approx(3.5, abs=0.5)
    assert found.apart[0] == pytest.approx(rise[0] - rise[1] + 6 * slope, abs=0.5)
    assert found.apart[1] > 6 * 0.3 / ROOT_3


def test_uncertainty_of_three_heights_is_as_a_random_draw_says(table):
    kit, rng = by_laser(table).kit, np.random.default_rng(5)
    read_off = rng.normal(0, 0.25, (200_000, 3)) + rng.uniform(-0.25, 0.25, (200_000, 3))
    mean, apart = rise_readings(kit, SPANS, {n: Count(0) for n in ("A", "middle", "B")})

    assert mean.own_u == pytest.approx(np.std(read_off @ [-0.5, 1, -0.5]), rel=0.01)
    assert apart.own_u == pytest.approx(np.std(read_off @ [-1, 0, 1]), rel=0.01)
    drawn = read_off @ np.array([[-0.5, 1, -0.5], [-1, 0, 1]]).T
    assert abs(np.corrcoef(drawn.T)[0, 1]) < 0.01  # so the two share no error of reading


@pytest.mark.parametrize("change", [by_line, by_laser, by_steps])
def test_every_way_finds_the_rise_that_was_there(table, visit, change):
    table = change(table)
    rise = 3.0
    gap = 20.0 + rise - sag_mm(LINE, 6000.0)
    counts = {
        RiseBy.LINE: {"middle": round(gap / 0.1)},
        RiseBy.LASER: {"A": 194, "middle": 200, "B": 194},
        RiseBy.STEPS: {"A": 15, "B": 15},
    }[table.kit.rise_by]

    found = ends(table, read(table, visit, **counts))

    assert abs(found.value - rise) < 2 * found.spread.u
    assert 0.05 < found.spread.u < 0.6


def test_error_of_a_line_s_sag_is_one_unknown_of_found_and_after(table, visit):
    line = replace(LINE, pull_n=Own(30.0, 12.0))  # a weight that nobody weighed
    table = by_line(table, line)
    visit = read(table, visit, {"A": 4, "B": 4}, {"middle": 228}, middle=212)
    known = known_at(table, (visit,))

    rows = [
        known.course.found[known.places.rise(0)] + known.course.found[known.places.rise(1)],
        known.course.left[known.places.rise(0)] + known.course.left[known.places.rise(1)],
    ]
    u = [math.sqrt(row @ known.whole.covariance @ row) / 2 for row in rows]
    moved = (rows[1] - rows[0]) / 2

    assert min(u) > 0.2  # each is as unsure as the sag
    assert math.sqrt(moved @ known.whole.covariance @ moved) < 0.08  # what was turned is not
    assert (rows[1] - rows[0]) @ known.whole.mean / 2 == pytest.approx(1.6, abs=0.08)


def test_tilt_is_read_by_a_laser_and_by_steps_and_not_by_a_line(table, visit):
    laser, steps, line = by_laser(table), by_steps(table), by_line(table)
    tilts = [
        lengthwise_tilt(laser, read(laser, visit, A=194, middle=200, B=190), Moment.FOUND),
        lengthwise_tilt(steps, read(steps, visit, A=10, B=20), Moment.FOUND),
        lengthwise_tilt(line, read(line, visit, middle=228), Moment.FOUND),
    ]

    assert tilts[0].value == pytest.approx(2.0 / 6.6)  # B is 4 half millimetres nearer the line
    assert tilts[1].value == pytest.approx(2.0 / 6.6)
    assert tilts[2] is None


def test_turned_and_not_read_again_is_not_as_left(table, visit):
    table = by_line(table)
    found = ends(table, read(table, visit, {"A": 4, "B": 4}, middle=212), Moment.LEFT)

    assert found.value is None


def test_look_up_of_a_gap_asks_for_quarters_of_both_ends(table):
    table = by_line(table)
    sag = sag_mm(LINE, 6000.0)
    target = table.targets.rise_mm.value
    low = Count(round((20 + target - 4 * 0.396875 - sag) / 0.1))
    right = Count(round((20 + target - sag) / 0.1))

    assert rise_turns(table, table.legs[0], low).quarters == 4
    assert rise_turns(table, table.legs[-1], right).ok


def test_feet_stand_as_a_line_says_and_ends_apart_are_unsure(table, visit):
    table = by_line(table)
    heights = foot_heights(table, read(table, visit, middle=228))

    assert heights.middle_mm[[0, -1]] == pytest.approx(2 * [line_rise_mm(LINE, SPANS, 22.8)])
    assert heights.middle_u_mm[0] > 0.5


@pytest.mark.parametrize("change", [by_line, by_laser, by_steps])
def test_advice_and_its_reasons_name_what_was_read(table, visit, change):
    table = change(table)
    counts = {"LINE": {"middle": 205}, "LASER": {"A": 200, "middle": 200, "B": 200},
              "STEPS": {"A": 2, "B": 1}}[table.kit.rise_by.name]  # fmt: skip
    level = {leg.name: LegPass(Count(0)) for leg in table.adjusted_legs()}
    visit = read(table, visit, **counts)
    visits = [replace(visit, passes=(replace(visit.passes[0], legs=level),))]

    advice = advise(table, visits, today=visit.date)
    lines = why_lines(table, visits, advice)

    said = {"LINE": "middle: 20.50 mm", "LASER": "A: 100.00 mm", "STEPS": "2 cards, outer end high"}
    state = next(one for one in advice.state if one.quantity is Quantity.RISE)
    assert said[table.kit.rise_by.name] in state.why
    assert any("rise of" in line for line in lines)
    moves = [move for move in advice.moves if move.quantity is Quantity.RISE]
    assert {move.condition.split(" of ")[0] for move in moves} == {
        "if you find a gap at the middle"
        if table.kit.rise_by is RiseBy.LINE
        else "if you find a mean rise"
    }
