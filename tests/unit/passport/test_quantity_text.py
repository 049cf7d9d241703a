from fractions import Fraction

import pytest

from passport.quantity_text import (
    COARSE,
    FINE,
    Resolution,
    Units,
    decimal_text,
    humidity_text,
    length_both,
    length_text,
    measured_length,
    measured_slope,
    rounded,
    slope_text,
    temperature_text,
)

IMPERIAL = [  # mm, resolution, as printed
    (6705.6, COARSE, "22 ft"),
    (1905.0, COARSE, "6 ft 3 in"),
    (1917.7, COARSE, "6 ft 3 1/2 in"),
    (508.0, COARSE, "20 in"),
    (520.7, COARSE, "20 1/2 in"),
    (19.05, COARSE, "3/4 in"),
    (914.4, COARSE, "3 ft"),
    (914.3, COARSE, "36 in"),
    (0.0, COARSE, "0 in"),
    (-3.175, COARSE, "-1/8 in"),
    (1828.7, COARSE, "6 ft"),
    (0.508, FINE, "0.02 in"),
    (1.5875, FINE, "0.0625 in"),
    (0.396875, Resolution(Fraction(1, 64), Fraction(1)), "1/64 in"),
]


@pytest.mark.parametrize(("mm", "resolution", "text"), IMPERIAL)
def test_length_prints_in_inches_as_a_tape_shows_them(mm: float, resolution: Resolution, text: str):
    assert length_text(mm, Units.IMPERIAL, resolution) == text


@pytest.mark.parametrize(
    ("mm", "resolution", "text"),
    [(520.7, COARSE, "521 mm"), (1.5875, FINE, "1.588 mm"), (-0.0001, FINE, "0 mm")],
)
def test_length_prints_in_millimetres(mm: float, resolution: Resolution, text: str):
    assert length_text(mm, Units.METRIC, resolution) == text


def test_length_prints_in_both_systems_with_the_tables_first():
    printed = [length_both(6705.6, units) for units in Units]

    assert printed == ["22 ft (6706 mm)", "6706 mm (22 ft)"]


def test_slope_prints_in_both_systems():
    assert [slope_text(0.8, units) for units in Units] == ["0.0096 in/ft", "0.8 mm/m"]


def test_temperature_prints_in_both_systems():
    assert [temperature_text(21.1, units) for units in Units] == ["70 °F", "21 °C"]


def test_humidity_prints_in_percent():
    assert humidity_text(44.6) == "45 %"


@pytest.mark.parametrize(("value", "even"), [("0.5", 0), ("1.5", 2), ("2.5", 2), ("-0.5", 0)])
def test_a_tie_is_rounded_to_the_even_step(value: str, even: int):
    assert rounded(Fraction(value), Fraction(1)) == even


@pytest.mark.parametrize(
    ("value", "step", "text"),
    [("0.0200", "1/1000", "0.02"), ("-1/8", "1/100", "-0.12"), ("10", "1/10", "10")],
)
def test_decimal_prints_without_trailing_zeros(value: str, step: str, text: str):
    assert decimal_text(Fraction(value), Fraction(step)) == text


def test_value_and_spread_have_the_same_places():
    coarse = Resolution(Fraction(1, 10), Fraction(1))

    assert measured_length(0.13, 0.008, Units.METRIC) == "0.130 ± 0.008 mm"
    assert measured_length(0.13208, 0.0254, Units.IMPERIAL) == "0.0052 ± 0.0010 in"
    assert measured_length(0.254, 0.254, Units.IMPERIAL) == "0.010 ± 0.010 in"
    assert measured_length(5, 2, Units.METRIC, coarse) == "5 ± 2 mm"
    assert measured_slope(0.31, 0.12, Units.METRIC) == "0.31 ± 0.12 mm/m"
    assert measured_slope(12.5, 1.2, Units.METRIC) == "12.5 ± 1.2 mm/m"
