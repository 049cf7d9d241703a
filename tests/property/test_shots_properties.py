"""What holds for every set of test shots."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from passport.leveling.shots.drift import Ground, Value, drift
from passport.leveling.shots.friction import friction
from passport.table import Board
from passport.visit import Glide, Shot

BOARD = Board(6600, 500, 76.2, "maple")
GROUND = Ground(BOARD, friction((Glide("A", 5.0, 5.0), Glide("B", 5.0, 5.0))), Value(5e-4, 5e-5))
OTHER = {"left": "right", "middle": "middle", "right": "left"}
lanes = st.sampled_from(["left", "middle", "right"])
shots = st.lists(
    st.builds(Shot, lanes, st.sampled_from("AB"), st.integers(-5, 5), st.booleans()), max_size=8
)
few = settings(max_examples=25, deadline=None)


@given(shots)
@few
def test_mirrored_shots_give_the_mirrored_slope(fired):
    mirrored = [Shot(OTHER[s.lane], s.from_end, -s.off_line_in, s.bound) for s in fired]
    plain, turned = drift(GROUND, fired), drift(GROUND, mirrored)

    assert (plain is None) == (turned is None)
    if plain and turned:
        assert turned.cross_mm_per_m.value == pytest.approx(-plain.cross_mm_per_m.value, abs=1e-3)
        assert turned.cross_mm_per_m.u == pytest.approx(plain.cross_mm_per_m.u, rel=1e-3)


@given(shots)
@few
def test_board_seen_from_its_other_end_has_the_opposite_slope_and_the_same_player(fired):
    other = [Shot(OTHER[s.lane], "AB"[s.from_end == "A"], -s.off_line_in, s.bound) for s in fired]
    plain, turned = drift(GROUND, fired), drift(GROUND, other)

    assert (plain is None) == (turned is None)
    if plain and turned:
        assert turned.cross_mm_per_m.value == pytest.approx(-plain.cross_mm_per_m.value, abs=1e-3)
        assert turned.curve_mm.value == pytest.approx(plain.curve_mm.value, abs=0.1)


@given(shots)
@few
def test_order_of_shots_does_not_matter(fired):
    plain, turned = drift(GROUND, fired), drift(GROUND, fired[::-1])

    assert (plain is None) == (turned is None)
    if plain and turned:
        assert turned.cross_mm_per_m.value == pytest.approx(plain.cross_mm_per_m.value, abs=1e-3)


@given(
    st.lists(
        st.builds(
            Shot,
            st.sampled_from(["left", "middle", "right", "edge", ""]),
            st.sampled_from(["A", "B", "C"]),
            st.integers(-19, 19) | st.just(10**4),
            st.booleans(),
        ),
        max_size=6,
    ),
    st.sampled_from([None, 0.0, 0.2, 3.0, 5.0, 1e9]),
    st.floats(-0.003, 0.003),
)
@few
def test_odd_shots_give_a_wide_answer_or_none(fired, distance, hollow):
    day = friction((Glide("A", distance, 4.0),), 6.6)
    found = drift(Ground(BOARD, day, Value(hollow, 5e-5)), fired)

    if found:
        assert math.isfinite(found.cross_mm_per_m.value)
        assert found.cross_mm_per_m.u > 0.02


@given(st.integers(-3, 3), st.integers(-2, 2))
@few
def test_player_s_own_curve_leaves_the_slope_alone(slope_in, curve_in):
    plain = [Shot("middle", end, slope_in) for end in "AB"]
    curved = [
        Shot("middle", end, slope_in + turn * curve_in) for end, turn in (("A", 1), ("B", -1))
    ]

    without, with_curve = drift(GROUND, plain), drift(GROUND, curved)
    assert with_curve.cross_mm_per_m.value == pytest.approx(without.cross_mm_per_m.value, abs=0.01)


@given(st.floats(-1e6, 1e6) | st.none() | st.just(float("nan")), st.floats() | st.none())
def test_any_glide_gives_a_friction_with_an_uncertainty(distance, seconds):
    found = friction((Glide("A", distance, seconds),))

    assert 0 < found.u < found.value
