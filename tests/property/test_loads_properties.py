"""What holds for every bar on every set of feet."""

from math import isfinite

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from passport.leveling.loads.answers import NoLoads
from passport.leveling.loads.carried import loads
from passport.leveling.loads.contact import come_to_rest
from passport.leveling.loads.feet import hold_feet
from passport.leveling.loads.moments import Bar, hold
from passport.leveling.loads.travel import way_down, way_up
from passport.table import Board, FootType, Kit, Leg, Role, Table, Target, Targets

heights_mm = st.floats(-30, 30, allow_subnormal=False)


@st.composite
def stands(draw):
    """Draw a bar, two to seven legs that span its middle, and their heights in metres."""
    length = draw(st.floats(2.5, 8.0))
    inner = draw(st.lists(st.floats(0.12, 0.88), max_size=5))
    shares = [draw(st.floats(0.0, 0.1)), *_apart(inner), draw(st.floats(0.9, 1.0))]
    x = length * np.array(shares)
    bar = Bar(length, draw(st.floats(100, 500)), draw(st.floats(5e4, 2e6)), 1e5)
    heights = np.array([draw(heights_mm) for _ in x]) / 1000
    return bar, x, heights


def _apart(shares):
    kept = []
    for share in sorted(shares):
        if not kept or share - kept[-1] > 0.03:
            kept.append(share)
    return kept


@given(stands())
def test_forces_carry_the_whole_weight_at_any_heights(stand):
    bar, x, heights = stand
    rest = come_to_rest(hold(bar, x), heights)

    assert rest.forces.sum() == pytest.approx(bar.weight_n_per_m * bar.length_m, rel=1e-7)


@given(stands())
def test_forces_balance_about_end_a_at_any_heights(stand):
    bar, x, heights = stand
    rest = come_to_rest(hold(bar, x), heights)

    assert rest.forces @ x == pytest.approx(bar.weight_n_per_m * bar.length_m**2 / 2, rel=1e-7)


@given(stands())
def test_feet_push_and_never_pull_and_a_gap_carries_nothing(stand):
    bar, x, heights = stand
    rest = come_to_rest(hold(bar, x), heights)

    assert rest.forces.min() >= 0
    assert rest.gaps.min() >= 0
    assert not np.any(rest.forces * rest.gaps)


@given(stands())
def test_answer_meets_the_bar_s_own_equation(stand):
    bar, x, heights = stand
    held = hold(bar, x)
    rest = come_to_rest(held, heights)

    expected = held.level + held.stiffness @ (heights - heights.mean() + rest.gaps)
    assert rest.forces == pytest.approx(expected, abs=1e-5 * bar.weight_n_per_m)


@given(stands())
def test_turned_end_for_end_the_forces_turn_too(stand):
    bar, x, heights = stand
    there = come_to_rest(hold(bar, x), heights).forces
    back = come_to_rest(hold(bar, (bar.length_m - x)[::-1]), heights[::-1]).forces

    assert back[::-1] == pytest.approx(there, abs=1e-5 * bar.weight_n_per_m)


@given(stands(), st.data())
def test_raised_foot_never_carries_less(stand, data):
    bar, x, heights = stand
    foot = data.draw(st.integers(0, len(x) - 1))
    higher = heights.copy()
    higher[foot] += data.draw(st.floats(0.0001, 0.02))
    held = hold(bar, x)

    before, after = (come_to_rest(held, each).forces[foot] for each in (heights, higher))
    assert after >= before - 1e-6 * bar.weight_n_per_m


@given(stands(), st.floats(0.2, 5.0))
def test_twice_the_weight_on_twice_the_heights_is_twice_the_force(stand, times):
    bar, x, heights = stand
    heavier = Bar(bar.length_m, bar.weight_n_per_m * times, bar.bending_n_m2)
    plain = come_to_rest(hold(bar, x), heights).forces
    scaled = come_to_rest(hold(heavier, x), heights * times).forces

    assert scaled == pytest.approx(plain * times, abs=1e-5 * heavier.weight_n_per_m)


@given(stands(), st.floats(-0.01, 0.01), st.floats(-0.002, 0.002))
def test_lifting_and_tilting_all_feet_together_changes_nothing(stand, lift, tilt):
    bar, x, heights = stand
    held = hold(bar, x)

    moved = come_to_rest(held, heights + lift + tilt * x).forces
    assert moved == pytest.approx(come_to_rest(held, heights).forces, abs=1e-5 * bar.weight_n_per_m)


@given(stands(), st.data())
def test_foot_just_short_of_its_way_down_still_carries_and_just_past_it_does_not(stand, data):
    bar, x, heights = stand
    held, foot = hold(bar, x), data.draw(st.integers(0, len(x) - 1))
    way = way_down(held, heights, foot)
    if way is None or way < 1e-6:
        return
    step = np.eye(len(x))[foot]

    short, past = (come_to_rest(held, heights - step * way * s) for s in (0.999, 1.001))
    assert short.forces[foot] > 0
    assert past.forces[foot] == pytest.approx(0, abs=1e-9 * bar.weight_n_per_m)


@given(stands(), st.data())
def test_another_foot_goes_slack_on_the_way_up_and_not_before(stand, data):
    bar, x, heights = stand
    held, foot = hold(bar, x), data.draw(st.integers(0, len(x) - 1))
    step = np.eye(len(x))[foot]
    way = way_up(held, heights, step)
    if way is None or way < 1e-6:
        return
    carried = come_to_rest(held, heights).forces > 1e-6 * bar.weight_n_per_m

    short, past = (come_to_rest(held, heights + step * way * s) for s in (0.999, 1.001))
    others = carried & ~step.astype(bool)
    assert np.all(short.forces[others] > 0)
    assert np.any(past.forces[others] <= 1e-9 * bar.weight_n_per_m)


@given(stands(), st.data())
def test_left_and_right_feet_together_carry_the_weight_evenly_about_the_middle(stand, data):
    bar, x, heights = stand
    spacing = np.array([data.draw(st.floats(0.3, 0.7)) for _ in x])
    lean = np.array([data.draw(st.floats(-0.003, 0.003)) for _ in x])
    tops = np.concatenate([heights + lean / 2, heights - lean / 2])

    forces = come_to_rest(hold_feet(bar, x, spacing), tops).forces
    left, right = np.split(forces, 2)
    assert forces.sum() == pytest.approx(bar.weight_n_per_m * bar.length_m, rel=1e-7)
    assert (left - right) @ spacing == pytest.approx(0, abs=1e-4 * bar.weight_n_per_m)


ODD = st.floats() | st.sampled_from([0.0, 100.0, 1500.0, 2700.0])


@st.composite
def odd_tables(draw):
    """Draw a table that may be impossible."""
    roles = st.sampled_from(list(Role))
    legs = tuple(
        Leg(f"L{i}", draw(ODD), draw(roles), draw(ODD), FootType.UNKNOWN, None)
        for i in range(draw(st.integers(0, 5)))
    )
    board = Board(draw(ODD | st.just(3000.0)), draw(ODD | st.just(500.0)), 76.2, "maple")
    kit = Kit("kit", 500, 500, 0.1, None, 0.2, 0.004)
    targets = Targets(Target(0.5, 0.2), Target(0, 0.8), Target(3.0, 0.8))
    return Table("1", "Invented", "Nowhere", board, legs, (), targets, kit)


@given(odd_tables())
def test_any_description_gives_finite_loads_or_says_why_there_are_none(table):
    found = loads(table)

    if isinstance(found, NoLoads):
        assert found.why.endswith(".")
    else:
        assert all(isfinite(leg.load_n.high + leg.load_n.u) for leg in found.legs)
