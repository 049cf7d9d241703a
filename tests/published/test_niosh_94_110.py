"""NIOSH Applications Manual 94-110 (revised 2021), and HSE L23 on team handling."""

import pytest

from passport.visits.survey.lifting import Lift, alone_kg, recommended_kg

LB = 0.45359237  # kg, exact
IN = 2.54  # cm, exact


def package(horizontal_cm: float, vertical_in: float) -> Lift:
    """Lift the package of Example 4: D 37 in, fair grip, frequency multiplier .88.

    Metric and US constants are not exact conversions: H 10 in is 25 cm where HM is one.
    """
    coupling = 0.95 if vertical_in < 30 else 1.0
    return Lift(horizontal_cm, vertical_in * IN, 37 * IN, 0.0, 0.88, coupling)


@pytest.mark.parametrize(
    ("lift", "pounds"), [(package(25, 22), 34.9), (package(50, 59), 15.2)], ids=["from", "to"]
)
def test_package_inspection_has_the_limits_of_the_manual(lift, pounds):
    """Example 4 (Figure 14): RWL 34.9 lb and 15.2 lb; 23 kg is 0.3 lb less than 51 lb."""
    assert recommended_kg(lift) / LB == pytest.approx(pounds, abs=0.3)


def test_best_conditions_give_the_load_constant():
    """Table 5: 23 kg where every multiplier is one."""
    assert recommended_kg(Lift(25, 75, 25)) == pytest.approx(23.0)


@pytest.mark.parametrize("lift", [Lift(64, 75, 25), Lift(25, 176, 25), Lift(25, 75, 25, 136)])
def test_beyond_the_bounds_the_limit_is_zero(lift):
    """Tables 1 to 4: H over 63 cm, V over 175 cm, A over 135°."""
    assert recommended_kg(lift) == 0.0


@pytest.mark.parametrize(("people", "mass", "each"), [(2, 80 / 3, 20), (3, 37.5, 25)])
def test_team_fractions_are_two_thirds_and_a_half_of_the_sum(people, mass, each):
    """HSE L23: two people about 2/3, three about 1/2 of the sum of what each can lift."""
    assert alone_kg(mass, people) == pytest.approx(each)


def test_four_people_have_no_published_fraction():
    assert alone_kg(100, 4) is None
