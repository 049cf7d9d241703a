"""What holds of wood and seasons whatever the numbers."""

import math
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from passport.climate.bending import curvature_of, sagitta, two_layer_curvature
from passport.climate.learning import Sighting
from passport.climate.local_level import filtered
from passport.climate.moisture import equilibrium_pct
from passport.climate.outlook import outlook
from passport.climate.seasons import Known, seasons
from passport.climate.slab import Slab, face_difference_after_step, gain, uptake, yearly_gain
from passport.table import Board, Room, Target

TODAY = date(2026, 3, 2)
ratios = st.floats(0.05, 20)
months = st.lists(st.integers(1, 12), max_size=12).map(tuple)


@given(st.floats(0, 70), st.floats(0, 99), st.floats(0.01, 1))
def test_damper_air_makes_wetter_wood(celsius, humidity, more):
    assert equilibrium_pct(celsius, humidity + more) > equilibrium_pct(celsius, humidity)


@given(st.floats(0, 70))
def test_air_without_water_makes_wood_without_water(celsius):
    assert equilibrium_pct(celsius, 0) == 0


@given(ratios, ratios)
def test_two_layers_seen_from_the_other_side_bend_the_other_way(m, n):
    one, two = two_layer_curvature(1e-3, m, n, 2), two_layer_curvature(-1e-3, 1 / m, 1 / n, 2)

    assert one == pytest.approx(-two, rel=1e-9)


@given(st.floats(-5, 5).filter(lambda depth: abs(depth) > 1e-3), st.floats(100, 1000))
def test_arc_has_the_depth_it_was_made_from(depth, width):
    assert sagitta(curvature_of(depth, width), width) == pytest.approx(depth, rel=1e-6)


@given(st.floats(1e-11, 1e-9), st.floats(20, 100), st.floats(0.1, 1000), st.floats(1.1, 3))
def test_slab_takes_up_more_as_time_passes(diffusivity, thickness, days, longer):
    slab = Slab(thickness, diffusivity)

    assert uptake(slab, days) <= uptake(slab, days * longer) + 1e-12 <= 1 + 1e-9


@given(st.floats(1e-11, 1e-9), st.floats(20, 100), st.floats(1, 4))
def test_slab_twice_as_thick_is_four_times_slower(diffusivity, thickness, factor):
    slab, thick = Slab(thickness, diffusivity), Slab(thickness * factor, diffusivity)

    thin_year, thick_year = yearly_gain(slab), yearly_gain(thick, 365.25 * factor**2)
    assert thin_year == pytest.approx(thick_year, rel=1e-9)


@given(st.floats(1e-11, 1e-9), st.floats(0, 3000))
def test_board_wetted_below_never_bends_the_other_way(diffusivity, days):
    assert face_difference_after_step(Slab(76.2, diffusivity), days) >= -1e-2  # modes cut at 400


@given(st.floats(1e-6, 1e4))
def test_gain_of_a_swing_is_that_of_its_reverse_mirrored(per_day):
    slab = Slab(76.2)
    forth, back = gain(slab, np.array([per_day, -per_day]))

    assert forth == pytest.approx(np.conj(back), rel=1e-9)


@given(st.lists(st.floats(-10, 10), min_size=2, max_size=30), st.floats(-5, 5))
def test_local_level_moves_with_its_readings(values, shift):
    plain = [level.mean for level in filtered(values, 1.0, 0.3)]
    moved = [level.mean for level in filtered([v + shift for v in values], 1.0, 0.3)]

    assert moved == pytest.approx([level + shift for level in plain], abs=1e-9)


@st.composite
def sightings(draw):
    names = draw(st.lists(st.sampled_from(["B1", "B2", "B3"]), min_size=1, max_size=3, unique=True))
    found, day = [], TODAY - timedelta(days=draw(st.integers(0, 400)))
    setting = 0
    for _ in range(draw(st.integers(1, 6))):
        for name in names:
            hollow = draw(st.floats(-3, 3))
            found.append(Sighting(name, day, hollow, 0.05, 0.03, setting, draw(st.floats(-1, 1))))
        setting += draw(st.integers(0, 1))
        day -= timedelta(days=draw(st.integers(0, 500)))
    return tuple(found)


@settings(max_examples=12, deadline=None)
@given(sightings(), st.sampled_from([True, False, None]), months, months)
def test_outlook_of_any_history_has_whole_numbers_with_uncertainties(seen, heated, dry, damp):
    known = Known(Board(6700, 508, 76.2, "maple"), Room(heated, dry, damp), seen)
    found = outlook(seasons(known, TODAY), Target(0.5, 0.19), TODAY, 0.06)

    us = [found.sensitivity.u, found.swing.u, found.setting.dry.u, found.setting.damp.u]
    assert all(math.isfinite(u) and u > 0 for u in us)


@settings(max_examples=8, deadline=None)
@given(sightings(), st.randoms())
def test_order_of_sightings_does_not_matter(seen, chance):
    mixed = list(seen)
    chance.shuffle(mixed)
    board = Board(6700, 508, 76.2, "maple")

    one, two = (
        seasons(Known(board, Room(True), tuple(each)), TODAY).learned.after.mean
        for each in (seen, mixed)
    )
    np.testing.assert_allclose(one, two, atol=1e-6)
