"""The kit's arithmetic against the worked examples of JCGM 100:2008 (GUM)."""

import pytest

from passport.visits.kit.numbers import Gap, Measured, Part, combined, mean

# GUM 4.4.3, Table 1: twenty temperatures [°C] in order of size; from memory, and the mean and
# deviations that the clause prints follow from them.
TEMPERATURES = (
    96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
    100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
)  # fmt: skip


def test_mean_and_its_uncertainty_are_those_of_twenty_temperatures():
    """GUM 4.4.3: mean 100.145 °C rounded to 100.14, s(mean) 0.333 °C, 19 degrees of freedom."""
    found = mean(TEMPERATURES)

    assert (found.value, found.u, found.freedom) == (
        pytest.approx(100.145, abs=0.0006),
        pytest.approx(0.333, abs=0.0005),
        19,
    )


def test_parts_combine_to_the_end_gauge():
    """GUM H.1.6, H.1.7: u_c 32 nm, 16 effective degrees of freedom, U99 93 nm."""
    parts = (Part(25.0, 18), Part(9.7, 25.6), Part(2.9, 50), Part(16.6, 2))

    found = combined(838.0, parts)
    assert (round(found.u), int(found.freedom)) == (32, 16)
    assert found.half_width(0.99) == pytest.approx(93, abs=1)


def test_reading_anywhere_between_two_limits_is_a_rectangle():
    """GUM 4.3.7: half-width a, standard uncertainty a/√3; Example: a = 0.5, u = 0.29."""
    assert Gap(0.0, 1.0).measured.u == pytest.approx(0.2887, abs=1e-4)


@pytest.mark.parametrize(("freedom", "factor"), [(16, 2.12), (2, 4.30), (10, 2.23)])
def test_interval_of_95_percent_follows_the_degrees_of_freedom(freedom, factor):
    """GUM Table G.2, t for 95 %: ν = 16, 2 and 10."""
    assert Measured(0.0, 1.0, freedom).half_width() == pytest.approx(factor, abs=0.005)
