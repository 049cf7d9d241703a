import math

import numpy as np
import pytest

from passport.climate.air import wetting
from passport.climate.movement import expected_sensitivity, movement, slabs
from passport.climate.room import expected_course
from passport.climate.slab import yearly_gain
from passport.climate.wood import HARDWOOD, MAPLE, RED_MAPLE, SUGAR_MAPLE, band_of, hollow_per_pct
from passport.table import Board, Room

BOARD = Board(6700, 508, 76.2, "hard maple")
DAYS = np.arange(739000, 739371, 7)


def faces(room):
    return {slab: wetting(expected_course(room), [], slab, DAYS) for slab, _ in slabs(BOARD)}


@pytest.mark.parametrize(
    ("wood", "band"),
    [
        ("Hard maple", SUGAR_MAPLE),
        ("soft MAPLE", RED_MAPLE),
        ("maple", MAPLE),
        ("beech", HARDWOOD),
        ("", HARDWOOD),
    ],
)
def test_wood_has_the_band_of_its_name(wood, band):
    assert band_of(wood) == band


def test_sensitivity_lies_below_that_of_a_free_board():
    assert expected_sensitivity(BOARD).mean < hollow_per_pct(BOARD)[0]


def test_thin_board_is_more_sensitive():
    thin = Board(6700, 508, 50, "hard maple")

    assert expected_sensitivity(thin).mean > expected_sensitivity(BOARD).mean


def test_diffusivities_span_a_factor_of_three_either_way():
    rates = [slab.diffusivity_m2_per_s for slab, _ in slabs(BOARD)]

    assert math.sqrt(max(rates) / min(rates)) > 3


def test_diffusivities_have_weights_that_make_one():
    assert sum(weight for _, weight in slabs(BOARD)) == pytest.approx(1)


def test_movement_is_a_mean_over_products_of_independent_unknowns():
    """Compared with draws of sensitivity, diffusivity and the room's swing."""
    draw, size = np.random.default_rng(3), 200_000
    room, sensitivity = expected_course(Room(heated=True)), expected_sensitivity(BOARD)
    found = movement(BOARD, faces(Room(heated=True)), DAYS, sensitivity)
    swing = draw.multivariate_normal(room.swing, room.swing_cov, size)
    gains = np.array([yearly_gain(slab) for slab, _ in slabs(BOARD)])
    picks = draw.choice(len(gains), size, p=[weight for _, weight in slabs(BOARD)])
    wave = (swing[:, 0] - 1j * swing[:, 1]) * gains[picks]
    drawn = draw.normal(sensitivity.mean, sensitivity.u, size) * wave

    wanted = np.cov(drawn.real, -drawn.imag)
    np.testing.assert_allclose(found.cov[1:3, 1:3], wanted, rtol=0.05, atol=5e-4)


def test_seasonal_phase_comes_from_the_slab():
    """A slow board lags the room, a quick one leads it, by two months and more in all."""
    leads = np.degrees([np.angle(yearly_gain(slab)) for slab, _ in slabs(BOARD)])

    assert leads == pytest.approx(np.sort(leads))
    assert (leads[0], leads[-1]) == pytest.approx((-34.6, 31.2), abs=0.1)
