from dataclasses import replace
from math import nan

import pytest

from passport.leveling.loads.answers import Bearing, NoLoads
from passport.leveling.loads.carried import TIPS, loads
from passport.leveling.loads.floor import CAUTION, Floor, pressures
from passport.leveling.loads.heights import foot_heights
from passport.leveling.loads.words import load_lines
from passport.leveling.supports import bare_board, floating_rise_mm
from passport.table import Target
from passport.visit import Count, LegPass, Pass


@pytest.fixture
def measured(visit):
    legs = {"L1": LegPass(found=Count(1)), "L3": LegPass(found=Count(0))}
    legs["L5"] = LegPass(found=Count(-1), bears_left=False, bears_right=True)
    rise = {"A": Count(3), "B": Count(2)}
    return replace(visit, passes=(Pass(legs=legs, rise=rise),))


@pytest.fixture
def short(table):
    return replace(
        table,
        legs=(table.legs[0], table.legs[4]),
        targets=replace(table.targets, rise_mm=None),
    )


def test_two_legs_carry_half_each_whatever_the_frame(short):
    found = loads(short)
    half = 177.43 * 9.80665 / 2

    assert [leg.load_n.low for leg in found.legs] == pytest.approx([half, half], rel=1e-3)
    assert found.follow is None


def test_two_legs_load_is_as_uncertain_as_the_wood(short):
    leg = loads(short).legs[0]

    assert leg.load_n.u == pytest.approx(0.05 * leg.load_n.high, rel=1e-6)


def test_long_table_s_legs_are_a_band_between_bare_board_and_frame(table):
    legs = {leg.leg: leg for leg in loads(table).legs}

    assert legs["L2"].load_n.low == 0.0  # supporting legs may just touch
    assert legs["L2"].left.bearing is Bearing.PERHAPS
    assert legs["L1"].load_n.high > legs["L1"].load_n.low > 0
    assert legs["L1"].left.bearing is Bearing.CARRIES


def test_symmetric_table_carries_the_same_at_both_ends_and_sides(table):
    first, *_, last = loads(table).legs

    assert first.load_n.high == pytest.approx(last.load_n.high)
    assert first.left.load_n.high == pytest.approx(first.right.load_n.high)


def test_marked_slack_foot_carries_nothing_and_has_no_way(table, measured):
    foot = loads(table, measured).legs[4].left

    assert (foot.load_n.high, foot.bearing) == (0.0, Bearing.NOTHING)
    assert foot.marked_slack
    assert foot.down_mm is None
    assert foot.up_mm is None


def test_measured_heights_are_read_as_left(table, measured):
    heights = foot_heights(table, measured)

    # 1 card of 0.2 mm over 500 mm is 0.4 mm/m: left foot 0.2 mm above the right one over 500 mm
    assert heights.lean_mm == pytest.approx([0.2, 0.1, 0.0, -0.1, -0.2])
    assert heights.middle_mm[2] == 0.0
    assert heights.middle_mm[1] == pytest.approx(heights.middle_mm[0] / 2)
    assert heights.assumed == ()


def test_rise_of_an_end_is_its_count_with_cards_and_shape(table, measured):
    heights = foot_heights(table, measured)

    # 3 cards: 1.2 mm/m under the level; between a straight V and a bent board over 3 m
    assert 1.2 * 3 * 0.8 < heights.middle_mm[0] < 1.2 * 3
    assert heights.middle_u_mm[0] > 0.3


def test_unmeasured_heights_are_the_targets_and_said(table):
    heights = foot_heights(table, None)

    assert heights.middle_mm[0] == 3.175
    assert heights.middle_u_mm[0] == 0.8
    assert heights.assumed == (
        "rise of end A not measured",
        "rise of end B not measured",
        "cross level at L1, L3, L5 not measured",
    )


def test_unmeasured_rise_without_a_target_is_none_and_wide(table):
    heights = foot_heights(replace(table, targets=replace(table.targets, rise_mm=None)), None)

    assert (heights.middle_mm[0], heights.middle_u_mm[0]) == (0.0, 0.5)


def test_bare_board_follows_the_rise_that_the_beam_formula_gives(table):
    # the formula has no overhang; 300 mm beyond each end leg take a little of it
    formula = floating_rise_mm(bare_board(table.board), 3000)

    assert loads(table).follow.bare_mm == pytest.approx(formula, rel=0.05)


def test_stiff_frame_follows_less(table):
    follow = loads(table).follow

    assert follow.framed_mm < follow.bare_mm / 2


def test_follow_is_as_uncertain_as_weight_and_stiffness(table):
    assert loads(table).follow.rel_u == pytest.approx((0.05**2 + 0.11**2) ** 0.5)


def test_pressure_is_load_over_area(short):
    foot = loads(short).legs[0].left
    (first, *_) = pressures(loads(short), Floor(40.0, 500.0))

    area_mm2 = 3.141592653589793 * 20**2
    assert first.kpa.high == pytest.approx(foot.load_n.high / area_mm2 * 1000)
    assert first.share == pytest.approx((first.kpa.high + 2 * first.kpa.u) / 500)


@pytest.mark.parametrize("diameter", [None, 0.0, -3.0, nan])
def test_pressure_needs_a_foot_s_diameter(short, diameter):
    assert pressures(loads(short), Floor(diameter, 500.0)) == ()


def test_pressure_beside_nothing_entered_has_no_share(short):
    assert pressures(loads(short), Floor(40.0))[0].share is None


def move(table, place, **changes):
    legs = list(table.legs)
    legs[place] = replace(legs[place], **changes)
    return replace(table, legs=tuple(legs))


def test_two_legs_in_one_place_are_named(table):
    assert loads(move(table, 1, x_mm=300)) == NoLoads(
        "Legs L1 and L2 both stand at 300 mm. Correct the place of one."
    )


def test_leg_beyond_the_board_is_named(table):
    assert loads(move(table, 4, x_mm=7000)) == NoLoads(
        "Leg L5 stands at 7000 mm, the board runs from 0 to 6600 mm. Correct its place."
    )


@pytest.mark.parametrize("spacing", [0.0, nan])
def test_feet_without_a_spacing_are_named(table, spacing):
    assert loads(move(table, 0, foot_spacing_mm=spacing)) == NoLoads(
        f"The feet of leg L1 are described as {spacing:g} mm apart. Measure from foot to foot and "
        "correct it."
    )


def test_leg_without_a_place_is_named(table):
    assert loads(move(table, 0, x_mm=nan)) == NoLoads(
        "Leg L1 stands at nan mm, the board runs from 0 to 6600 mm. Correct its place."
    )


def test_one_leg_is_too_few(table):
    assert loads(replace(table, legs=table.legs[:1])) == NoLoads(
        "Legs described: 1. A board stands on two or more; add them."
    )


def test_board_without_a_size_is_named(table):
    assert loads(replace(table, board=replace(table.board, thickness_mm=0))) == NoLoads(
        "The board is described as 6600 × 500 × 0 mm. Give length, width and thickness, each "
        "from 1 mm to 100 m."
    )


def test_board_that_would_tip_over_is_named(table):
    assert loads(replace(table, legs=table.legs[:2])) == NoLoads(TIPS)


@pytest.mark.parametrize("slack", [("L1", "L5"), ("L1",)])
def test_board_that_can_t_stand_on_the_feet_that_bear_is_named(short, visit, slack):
    legs = {name: LegPass(bears_left=False, bears_right=False) for name in slack}

    assert loads(short, replace(visit, passes=(Pass(legs),))) == NoLoads(TIPS)


def test_tipping_text():
    assert TIPS == (
        "The board's weight lies outside the feet that carry it: it would tip over. Check the "
        "places of the legs in the description, and which feet bear."
    )


def test_caution_text():
    assert CAUTION == (
        "Board and frame only: people leaning, play and moving come on top. This compares two "
        "figures and approves nothing: a qualified person decides whether the floor carries the "
        "table, before delivery and by the local code."
    )


def test_lines_without_loads_say_why(table):
    lines = load_lines(table, NoLoads(TIPS))

    assert lines == (f"No loads: {TIPS}",)


def test_lines_of_a_short_table_read_as_a_person_would_check_them(short):
    assert load_lines(short, loads(short), Floor(40.0, 500.0)) == (
        "Board: 6600 × 500 × 76.2 mm of sugar maple, specific gravity listed at 12 % moisture, "
        "with its water (Wood Handbook 2010, Table 5-3): 177 kg ± 18 kg; plan its lift with 195 "
        "kg. Crew and aids come from the employer's lifting assessment; short of either: stop.",
        "L1 at 300 mm carries 89 to 118 kg (each ± 12 kg): either foot 44 to 59 kg (each ± 6 kg).",
        "L5 at 6300 mm carries 89 to 118 kg (each ± 12 kg): either foot 44 to 59 kg (each ± 6 kg).",
        "L1, all legs down: either foot carries nothing once 8.6 to 12.3 ± 3.0 mm lower, another "
        "foot is slack once it is 8.6 to 12.3 ± 3.0 mm higher.",
        "L5, all legs down: either foot carries nothing once 8.6 to 12.3 ± 3.0 mm lower, another "
        "foot is slack once it is 8.6 to 12.3 ± 3.0 mm higher.",
        "Floor: most under L1 left foot, up to 461 kPa ± 47 kPa, with its uncertainty more "
        f"than the 500 kPa entered: stop and ask. {CAUTION}",
        "Loads assume: cross level at L1, L5 not measured; from the bare board alone to a frame of "
        "two rails 235 × 38 mm, 9 GPa, 500 kg/m³ (common practice, no source).",
    )


def test_lines_of_a_long_table_name_feet_that_carry_nothing(table, measured):
    lines = load_lines(table, loads(table, measured), Floor(40.0, 900.0))

    assert lines[5].startswith("L5 at 6300 mm carries 2")
    assert "kg): left foot marked slack; right foot 2" in lines[5]
    assert "L3, all legs down: left foot carries nothing as it stands," in lines[8]
    assert lines[11] == (
        "Mean end rise, supporting legs clear, that the weight follows before the centre leg "
        "carries nothing: bare board 18.9 mm, with the stated frame 6.0 mm, each ± 24 %."
    )
    assert "kPa, beside 900 kPa entered (" in lines[12]
    assert " % of it, its uncertainty included)." in lines[12]


def test_lines_without_a_floor_say_what_was_not_entered(short):
    found = loads(short)

    assert load_lines(short, found)[-2] == (
        f"Floor: no foot's diameter entered, so no pressure. {CAUTION}"
    )
    assert (
        "and nothing was entered that the floor bears." in load_lines(short, found, Floor(40))[-2]
    )


def test_lines_in_pounds_and_inches(table):
    lines = load_lines(replace(table, units="imperial"), loads(table), Floor(40.0, 500.0))

    assert "391 lb ± 39 lb; plan its lift with 430 lb" in lines[0]
    assert lines[0].startswith("Board: 259.84 × 19.69 × 3 in of sugar maple")
    assert lines[1].startswith("L1 at 11.81 in carries")
    assert "lbf/in²" in lines[-2]
    assert lines[-1].endswith("supporting legs between just touching and in line.")


def test_wood_that_is_not_listed_is_said(short):
    other = replace(short, board=replace(short.board, wood="ipe"))

    assert "sugar maple in place of ipe" in load_lines(other, loads(other))[0]


def test_two_legs_at_targets_that_no_rise_reaches(table):
    high = replace(table, targets=replace(table.targets, rise_mm=Target(40.0, 1.0)))

    assert loads(high).legs[2].left.bearing is not Bearing.CARRIES
