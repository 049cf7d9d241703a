"""Drift of a sliding weight: closed forms against an ODE solver, and both against the path used.

Point body, Coulomb friction opposing the whole velocity, plane tilted sideways. The closed forms
were derived for this project (see passport.leveling.shots.path); the same ones are announced in
the abstract of "Particle sliding on a rough incline", Eur. J. Phys. 28 (2007). The figures below
were computed once with scipy's solve_ivp (DOP853, rtol 1e-11), g = 9.80665 m/s²; the tests solve
the full equations of motion again with their own code.
"""

import math

import pytest
from scipy.integrate import solve_ivp
from scipy.special import j0, j1

from passport.leveling.shots.friction import drag_of, friction
from passport.leveling.shots.path import Run, effects, stop_on_slope
from passport.visit import Glide

G = 9.80665
TABLE = [  # v0 m/s, µ, tilt rad, then seconds, ahead m, aside m, and the small-slope k L / 2 m
    (2.0, 0.04, 0.001, 5.101772, 5.099380, 0.06377217, 0.06373232),
    (2.0, 0.04, 0.010, 5.438782, 5.179775, 0.67987048, 0.63737575),
    (2.0, 0.04, 0.020, 6.800072, 5.439671, 1.70024484, 1.27507025),
    (1.8, 0.02, 0.002, 9.270166, 8.280419, 0.41715803, 0.41298644),
    (3.0, 0.05, 0.005, 6.180176, 9.200562, 0.46351710, 0.45888186),
]


def slide(speed, mu, slope_at, *, start=0.0, aim=0.0, lengthwise=0.0):
    """Solve the full equations: forward x, left y, slope_at(x, y) positive where left is high."""

    def rates(_, state):
        x, y, vx, vy = state
        drag = mu * G / math.hypot(vx, vy)
        return vx, vy, -drag * vx - G * lengthwise, -drag * vy - G * slope_at(x, y)

    def slow(_, state):
        return math.hypot(state[2], state[3]) - 1e-5 * speed

    slow.terminal = True
    first = (0.0, start, speed * math.cos(aim), speed * math.sin(aim))
    found = solve_ivp(rates, (0, 100), first, method="DOP853", rtol=1e-11, atol=1e-13, events=slow)
    return found.t[-1], found.y[0, -1], found.y[1, -1]


@pytest.mark.parametrize("row", TABLE)
def test_rest_point_is_the_solver_s(row):
    speed, mu, tilt, *expected, _ = row
    found = stop_on_slope(speed, mu, tilt)

    assert [found.seconds, found.ahead_m, found.aside_m] == pytest.approx(expected, rel=2e-6)


def test_rest_point_of_an_uphill_aim_is_the_solver_s():
    """v0 2 m/s, µ 0.04, tilt 0.004 rad, aim −0.05 rad: 5.1243836 s, 5.0922553 m, 0.000751887 m."""
    found = stop_on_slope(2.0, 0.04, 0.004, -0.05)

    assert found.seconds == pytest.approx(5.1243836, abs=5e-7)
    assert found.ahead_m == pytest.approx(5.0922553, abs=5e-7)
    assert found.aside_m == pytest.approx(0.000751887, abs=5e-9)


def test_rest_point_is_solved_anew():
    """Tilt by 0.01 rad, as cross slope with the pull g sin θ and the friction µ g cos θ."""
    found = stop_on_slope(2.0, 0.04, 0.01)

    seconds, ahead, aside = slide(2.0, 0.04 * math.cos(0.01), lambda x, y: -math.sin(0.01), aim=0.0)

    assert found.seconds == pytest.approx(seconds, rel=1e-4)
    assert (found.ahead_m, found.aside_m) == pytest.approx((ahead, aside), rel=1e-6)


@pytest.mark.parametrize("row", TABLE)
def test_path_drifts_half_of_the_naive_figure(row):
    """Small slopes: k L / 2 with L = v0² / (2 f); the naive ½ a T² is k L, twice too big."""
    speed, mu, tilt, *_, small = row
    reach = speed**2 / (2 * mu * G * math.cos(tilt))
    found = effects(Run(mu, reach, 0.0, 10.0)).slope * math.tan(tilt)

    assert -found == pytest.approx(small, rel=1e-6)


def test_one_mm_per_m_drifts_64_mm_in_5_m():
    found = effects(Run(0.04, 5.099, 0.0, 6.7))

    assert found.slope * 0.001 == pytest.approx(-0.0637, abs=5e-5)


@pytest.mark.parametrize(("slope", "hollow_mm"), [(0.001, 0.0), (0.0, 0.5), (0.002, 0.5)])
@pytest.mark.parametrize("lane_m", [-0.125, 0.0, 0.125])
@pytest.mark.parametrize("twist", [0.0, 0.0015])
def test_outer_lanes_over_a_hollow_rest_where_the_full_equations_say(
    slope, hollow_mm, lane_m, twist
):
    """Height z = h (2 y / w)², so the cross slope is s + 8 h y / w²; within 1 mm."""
    mu, width, length = 0.04, 0.5, 6.6
    curl = 8 * hollow_mm / 1000 / width**2

    def slope_at(x, y):
        return slope + twist * (2 * x / length - 1) + curl * y

    _, reach, rest = slide(2.0, mu, slope_at, start=lane_m)
    per = effects(Run(mu, reach, curl, length))

    assert per.slope * slope + per.twist * twist + per.start * lane_m == pytest.approx(
        rest, abs=1e-3
    )


@pytest.mark.parametrize("curl", [0.002, 0.016, 0.05])
def test_constant_hollow_and_slope_rest_where_bessel_functions_say(curl):
    """With c = X κ / (2 µ) and w the share of the way still to go: w y'' + c (y + s / κ) = 0.

    So y + s / κ = A √w J₁(2 √(c w)) + B √w Y₁(2 √(c w)), and with the Wronskian of Bessel functions
    (NIST DLMF 10.5.2, from memory) at rest J₀(2 √c) per start and X J₁(2 √c) / √c per aim; derived
    for this project.
    """
    mu, reach = 0.04, 5.1
    root = math.sqrt(reach * curl / (2 * mu))

    found = effects(Run(mu, reach, curl, 6.7))

    assert found.start == pytest.approx(j0(2 * root), abs=1e-6)
    assert found.aim == pytest.approx(reach * j1(2 * root) / root, abs=1e-5)
    assert found.slope == pytest.approx((j0(2 * root) - 1) / curl, rel=1e-5)


def test_aim_over_a_hollow_ends_where_the_full_equations_say():
    curl = 8 * 0.0005 / 0.5**2
    _, reach, rest = slide(2.0, 0.04, lambda x, y: curl * y, aim=0.01)

    assert effects(Run(0.04, reach, curl, 6.6)).aim * 0.01 == pytest.approx(rest, abs=2e-4)


def test_friction_of_five_metres_in_five_seconds():
    """µ = 2 d / (g t²) = 10 / (9.80665 × 25) = 0.040789."""
    assert drag_of(5.0, 5.0) == pytest.approx(0.040789, abs=5e-7)


def test_friction_and_lengthwise_slope_come_back_from_glides_both_ways():
    """A bed with µ 0.04 that rises by 2 mm/m toward B, glided on by the full equations."""
    runs = []
    for end, climb in (("A", 0.002), ("B", -0.002)):
        seconds, distance, _ = slide(2.0, 0.04, lambda x, y: 0.0, lengthwise=climb)
        runs.append(Glide(end, distance, seconds))

    found = friction(runs)

    assert found.value == pytest.approx(0.04, rel=1e-4)
    assert found.slope_mm_per_m == pytest.approx(2.0, rel=1e-3)
