"""A kit that can't see a tolerance is told, with the kit that could: when registered and after."""

from dataclasses import replace
from datetime import date

import pytest

from passport.description.errors import ZeroTooUnsure
from passport.description.kit import Aims
from passport.description.reach import reach_problems
from passport.description.section import Section
from passport.leveling.advise import advise
from passport.leveling.feasibility import Cause, unreachable
from passport.leveling.lookup import rise_reach_mm
from passport.leveling.sight import unseen
from passport.table import LineLaser, Own, RiseBy, Target, Ways
from passport.visit import Count, LegPass, Pass
from passport.visits.service import own_numbers


@pytest.fixture
def unsure(table):
    """State ± 0.5 mm/m, never turned round: rectangular, so u = 0.29 mm/m (GUM 4.3.7)."""
    targets = replace(table.targets, cross_mm_per_m=Target(0.0, 0.4))
    kit = replace(table.kit, zero=Own(0.0, 0.5 / 3**0.5))
    return replace(table, kit=kit, targets=targets)


@pytest.fixture
def coarse(table):
    """Show 0.1 degree a step: 1.745 mm/m, computed as its tangent."""
    return replace(table, kit=replace(table.kit, sensitivity_mm_per_m=None, display_step_deg=0.1))


def test_usual_kit_sees_all(table):
    assert unseen(table) == ()


def test_unsure_zero_hides_a_narrow_tolerance_until_legs_are_read_both_ways(unsure):
    both = replace(unsure, kit=replace(unsure.kit, cross_read=Ways.BOTH))

    assert [one.cause for one in unreachable(unsure)] == [Cause.ZERO]
    assert unreachable(both) == []


def test_unsure_zero_is_told_with_the_same_kit_read_both_ways(unsure):
    assert unseen(unsure) == (
        "This kit can’t see the cross level to ± 0.40 mm/m: its level’s zero is known to "
        "± 0.58 mm/m only. The same kit, every leg read both ways round, could.",
    )


def test_coarse_display_is_told_with_one_that_could(coarse):
    assert unseen(coarse)[0] == (
        "This kit can’t see the cross level to ± 0.80 mm/m: one step of its level is 1.75 mm/m. "
        "A display of 0.02° read both ways round could."
    )


def test_thick_cards_are_told_with_those_that_could(table):
    table = replace(table, kit=replace(table.kit, card_mm=0.4, card_u_mm=0.008))

    assert unseen(table)[-2].startswith(
        "This kit can’t see the hollow to ± 0.19 mm: a card is 0.40 mm. Cards or feelers of 0."
    )


def test_advice_warns_of_a_kit_that_can_t_see(table, coarse, visit):
    visit = replace(visit, kit=coarse.kit, passes=(Pass({"L1": LegPass(Count(0))}),))

    said = advise(table, [visit], today=date(2026, 3, 2)).warnings

    assert said[0] == unseen(coarse)[0]


def test_form_tells_at_its_head_and_beside_the_kit(table, coarse):
    assert own_numbers.said(coarse).startswith(unseen(coarse)[0])
    assert [own_numbers.blind(one) for one in (coarse, table)] == [
        ("this kit can’t see every tolerance, see “Kit”",),
        (),
    ]


@pytest.fixture
def near(table):
    """Ask for a rise of ± 0.3 mm; half a card is 0.33 mm at an end, so 0.23 mm of both."""
    targets = replace(table.targets, rise_mm=Target(2.0, 0.3))
    return replace(table, targets=targets, kit=replace(table.kit, card_mm=0.19, card_u_mm=0.01))


def test_rise_that_no_look_can_prove_is_told_with_the_kit_that_could(near):
    assert rise_reach_mm(near) > 0.3
    assert unseen(near) == (
        "This kit can’t see the rise to ± 0.30 mm: one look leaves ± "
        f"{rise_reach_mm(near):.2f} mm. Feelers of two thousandths of an inch (0.05 mm) could.",
    )


def test_rise_narrower_than_any_card_asks_for_a_taut_line(near):
    laser = LineLaser(Own(0.0, 0.2), 0.5, 0.3)
    coarse = replace(near.kit, rise_by=RiseBy.LASER, laser=laser, card_mm=0.4, card_u_mm=0.03)

    assert unseen(replace(near, kit=coarse))[-1].endswith(
        "A taut line, its gap read to 0.1 mm, could."
    )


def test_laser_that_can_t_prove_a_rise_names_the_steps_of_the_level(near):
    laser = LineLaser(Own(0.0, 0.2), 0.5, 0.3)
    wide = replace(near, targets=replace(near.targets, rise_mm=Target(2.0, 0.5)))
    kit = replace(near.kit, rise_by=RiseBy.LASER, laser=laser)

    assert unseen(replace(wide, kit=kit))[-1].endswith("The level stepped along the board could.")


def test_rise_narrower_than_a_line_by_eye_asks_for_feelers_under_it(near):
    narrow = replace(near, targets=replace(near.targets, rise_mm=Target(2.0, 0.1)))

    assert unseen(narrow)[0].endswith(
        "A taut line that was weighed, its gap read by feelers to 0.02 mm, could."
    )


def test_rise_that_nothing_sees_says_so(near):
    none = replace(near, targets=replace(near.targets, rise_mm=Target(2.0, 0.02)))

    assert unseen(none)[0].endswith("No usual kit could.")


def test_rise_that_can_t_be_seen_stands_on_the_form_and_on_the_advice(near, visit):
    visit = replace(visit, kit=near.kit, passes=(Pass({"L1": LegPass(Count(0))}),))

    assert own_numbers.said(near).startswith(unseen(near)[0])
    assert own_numbers.blind(near)
    assert unseen(near)[0] in advise(near, [visit], today=date(2026, 3, 2)).warnings


def test_rise_that_can_t_be_seen_is_no_reason_to_refuse_a_table(near):
    assert unreachable(near) == []


def test_registering_names_the_zero_and_the_cure(unsure):
    section = Section("targets", {}, (), [])
    section.written["cross_tolerance"] = "0.4 mm/m"
    aims = Aims(section, None, None, None, None)

    (problem,) = reach_problems(unsure, aims)

    assert isinstance(problem, ZeroTooUnsure)
    assert str(problem) == (
        "targets.cross_tolerance is '0.4 mm/m', but the zero of this kit's level is known to "
        "± 0.58 mm/m only: read one way round it can't prove that L1, L3 and L5 are within it. "
        'Write kit.cross_read = "both ways", or have the level checked and write kit.level_zero.'
    )
