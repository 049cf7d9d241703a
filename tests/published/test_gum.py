"""JCGM 100:2008 (GUM), evaluation of measurement data: what our numbers rest on.

Our readings share unknowns (level zero, cards); the thermometer of annex H.3 is their pattern: a
line whose intercept carries the common error and whose slope does not.
"""

import math

import numpy as np
import pytest

from passport.leveling.advice import Quantity
from passport.leveling.common import CommonErrors
from passport.leveling.line import fit_line
from passport.leveling.readings import ROOT_3, Reading, bubble_u_mm_per_m, hollow_reading
from passport.leveling.surface import Estimate, Station, covariance
from passport.table import Kit, Target
from passport.visit import Count

# Annex H.3, Table H.6: thermometer readings t_k and corrections b_k = t_R,k − t_k, both in °C.
T = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
B = (-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)
T0 = 20.0


def thou_kit(card_in, step_deg=None):
    return Kit("kit", 508, 508, None if step_deg else 0.1, step_deg, card_in * 25.4, 0.0)


@pytest.fixture
def thermometer():
    return fit_line(T, B, T0)


def test_thermometer_line_has_the_printed_intercept_and_slope(thermometer):
    """H.3.3: y1 = −0.1712 °C, y2 = 0.00218, as printed."""
    found = (round(thermometer.intercept, 4), round(thermometer.slope, 5))

    assert found == (-0.1712, 0.00218)


def test_thermometer_line_has_the_printed_uncertainties(thermometer):
    """H.3.3: s(y1) = 0.0029 °C, s(y2) = 0.00067, as printed."""
    found = (round(thermometer.u_intercept, 4), round(thermometer.u_slope, 5))

    assert found == (0.0029, 0.00067)


def test_thermometer_line_has_the_printed_correlation_and_scatter(thermometer):
    """H.3.3: r(y1, y2) = −0.930 and s = 0.0035 °C; the last digits from memory."""
    found = (thermometer.correlation, thermometer.scatter)

    assert found == (pytest.approx(-0.930, abs=5e-4), pytest.approx(0.0035, abs=5e-6))


def test_thermometer_correction_at_thirty_degrees_is_the_printed_one(thermometer):
    """H.3.4: b(30 °C) = −0.1494 °C, u = 0.0041 °C, as printed."""
    assert thermometer.at(30.0) == pytest.approx((-0.1494, 0.0041), abs=6e-5)


def test_error_common_to_all_readings_moves_no_difference():
    """H.3.6 in our terms: the level's zero cancels in the difference of two cross levels."""
    station = Station("L1", 0, Quantity.CROSS, Target(0, 0.8))
    pair = [Estimate(station, factors=(-0.1, *row)) for row in 0.02 * np.eye(2)]
    row = np.array([1.0, -1.0])

    assert row @ covariance(pair) @ row == pytest.approx(2 * 0.02**2)


def test_error_common_to_all_readings_stays_in_their_mean():
    """H.3.6 in our terms: the mean of many cross levels is no better than the level's zero."""
    station = Station("L1", 0, Quantity.CROSS, Target(0, 0.8))
    many = [Estimate(station, factors=(-0.1, *row)) for row in 0.02 * np.eye(400)]

    assert math.sqrt(covariance(many).mean()) == pytest.approx(0.1, rel=1e-4)


@pytest.mark.parametrize(("card_thou", "u_thou"), [(5.0, 1.443), (7.5, 2.165), (9.1, 2.627)])
def test_cards_that_pass_and_do_not_pass_are_rectangular(card_thou, u_thou):
    """4.3.7: half width a gives u = a / √3, so a card t between pass and no pass gives t / √12."""
    reading = hollow_reading(thou_kit(card_thou / 1000), 508, Count(2))

    assert reading.own_u / 0.0254 == pytest.approx(u_thou, abs=5e-4)


def test_card_interval_has_its_middle_half_a_card_above_the_count():
    """4.3.7: the expectation of a rectangular distribution is the middle of its limits."""
    assert hollow_reading(thou_kit(0.005), 508, Count(3)).value == pytest.approx(3.5 * 0.127)


def test_digital_display_is_uncertain_by_its_step_over_two_root_three():
    """F.2.2.1: indications in steps d, u = d / (2 √3) = 0.29 d; clause number from memory.

    A display of 0.05° over a board of 20 in: 17.453 thou a step, u = 5.04 thou.
    """
    u_thou = bubble_u_mm_per_m(thou_kit(0.005, 0.05)) * 20  # thou over 20 in

    assert u_thou == pytest.approx(5.04, abs=0.005)


def test_reversed_readings_give_tilt_and_zero():
    """Reversal, I_a = tilt + zero and I_b = tilt − zero: half the difference is the zero."""
    shared = CommonErrors(zero_mm_per_m=0.2, zero_u=0.0, card_u_mm=0.0, bow_u_mm=0.0)
    shown = Reading(0.9, 1.1, 0.1 / ROOT_3, per_zero=-1.0)

    assert (shown.value or 0.0) + shared.correct(shown) == pytest.approx(0.8)
