"""Crank, The Mathematics of Diffusion, 2nd ed. 1975, p. 47-48: uptake and profile of a slab."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from passport.climate.slab import (
    DAY_S,
    Slab,
    face_difference_after_step,
    gain,
    profile,
    uptake,
    yearly_gain,
)

HALF = Slab(0.2, 1e-10)  # half of a slab of 0.4 mm with both faces open
AFTER = 100 / DAY_S
UPTAKES = [(0.5, 0.049183), (0.6321, 0.080056), (0.9, 0.212021), (0.95, 0.282252)]  # D t / H²
HALF_TIMES = [(2e-11, 661), (5e-11, 264), (1e-10, 132), (2e-10, 66)]  # days, one face of 76.2 mm


def test_uptake_agrees_with_the_documented_example():
    """Crank p. 47-48 as computed in the documentation of polykin: a 0.2 mm, 1e-10 m²/s, 100 s."""
    assert uptake(HALF, AFTER) == pytest.approx(0.562233541762138, abs=1e-12)


def test_middle_of_the_open_slab_is_our_sealed_face():
    """Crank p. 47-48 as computed in the documentation of polykin: 0.3145542331096479."""
    assert profile(HALF, np.array([1.0]), AFTER)[0] == pytest.approx(0.3145542331096479, abs=1e-12)


@pytest.mark.parametrize(("share", "both_faces"), UPTAKES)
def test_uptake_has_its_share_four_times_slower_through_one_face(share, both_faces):
    """Crank p. 47-48: D t / H² with both faces open (0.0492 for half is Crank's; others worked)."""
    slab = Slab(76.2, 1e-10)
    days = 4 * both_faces / slab.rate_per_day

    assert uptake(slab, days) == pytest.approx(share, abs=1e-5)


@pytest.mark.parametrize(("diffusivity", "days"), HALF_TIMES)
def test_board_of_three_inches_takes_months_to_half(diffusivity, days):
    """Crank p. 47-48, half times of one open face, worked apart and rounded to days."""
    assert uptake(Slab(76.2, diffusivity), days) == pytest.approx(0.5, abs=3e-3)


@pytest.fixture(scope="module")
def finite_volumes():
    """Face difference under a unit swing of the air, integrated over ten years in 200 cells."""
    slab, cells = Slab(76.2, 1.5e-10), 200
    depth, rate = (np.arange(cells) + 0.5) / cells, slab.rate_per_day * cells**2
    weight = 12 * (0.5 - depth) / cells

    def change(day, moisture):
        face = 2 * (np.cos(2 * np.pi * day / 365.25) - moisture[0])
        inner = np.diff(moisture)
        return rate * (np.append(inner, 0.0) - np.append(-face, inner))

    def jacobian(*_):
        band = np.diag(np.full(cells, -2.0)) + np.eye(cells, k=1) + np.eye(cells, k=-1)
        band[0, 0], band[-1, -1] = -3.0, -1.0
        return rate * band

    days = np.linspace(9 * 365.25, 10 * 365.25, 13)
    found = solve_ivp(
        change,
        (0, days[-1]),
        np.zeros(cells),
        method="BDF",
        t_eval=days,
        jac=jacobian(),
        rtol=1e-6,
        atol=1e-8,
    )
    return slab, days, weight @ found.y


def test_swing_that_returns_agrees_with_finite_volumes(finite_volumes):
    """An integration of the same diffusion by scipy, not a published value."""
    slab, days, integrated = finite_volumes
    analytic = np.real(yearly_gain(slab) * np.exp(2j * np.pi * days / 365.25))

    np.testing.assert_allclose(analytic, integrated, atol=2e-3)


def test_step_and_swing_are_one_slab():
    """The step's answer, transformed to a frequency, is the gain there."""
    slab, frequency = Slab(76.2, 1e-10), 2 * np.pi / 60
    days = np.concatenate([[0], np.geomspace(1e-3, 3000, 40000)])
    step = np.array([face_difference_after_step(slab, day) for day in days[::8]])
    wave = step * np.exp(-1j * frequency * days[::8])

    whole = 1j * frequency * np.trapezoid(wave, days[::8])
    assert whole == pytest.approx(gain(slab, np.array([frequency]))[0], abs=2e-3)
