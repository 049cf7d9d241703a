"""The inch, as agreed in 1959 and as two independent sources have it."""

from fractions import Fraction

import pint
import pytest

from passport.quantity import parse_angle, parse_length, parse_slope, parse_temperature

NM_PER_MM = 10**6


@pytest.fixture(scope="module")
def exact_units() -> pint.UnitRegistry:
    return pint.UnitRegistry(non_int_type=Fraction)


def test_inch_is_254_tenths_of_a_millimetre():
    """International yard and pound agreement, 1 July 1959: 1 yd = 0.9144 m exactly."""
    assert 36 * parse_length("1 in").value == Fraction("914.4")


INCHES_NM = [  # 25.4 mm over 1, 16, 64 and 1000, by hand
    ("1 in", 25_400_000),
    ("1/16 in", 1_587_500),
    ("1/64 in", 396_875),
    ("0.001 in", 25_400),
    ("1 thou", 25_400),
    ("1 ft", 304_800_000),
]


@pytest.mark.parametrize(("text", "nanometres"), INCHES_NM)
def test_fractions_of_an_inch_are_whole_nanometres(text: str, nanometres: int):
    """Arithmetic from the 1959 agreement."""
    assert parse_length(text).value * NM_PER_MM == nanometres


UCUM = [  # The Unified Code for Units of Measure, international customary units
    ("1 in", "1 cm", Fraction("2.54")),  # [in_i] = 2.54 cm
    ("1 ft", "1 in", Fraction(12)),  # [ft_i] = 12 [in_i]
    ("1 thou", "1 in", Fraction("0.001")),  # [mil_i] = 1 × 10⁻³ [in_i]
]


@pytest.mark.parametrize(("one", "other", "ratio"), UCUM)
def test_customary_units_are_those_of_ucum(one: str, other: str, ratio: Fraction):
    """UCUM, international customary units (from memory of the table)."""
    assert parse_length(one).value == ratio * parse_length(other).value


PINT = ["22 ft", "20 in", "0.005 in", "508 mm", "1.5 m", "30 um", "12 cm", "5 thou"]


@pytest.mark.parametrize("text", PINT)
def test_length_agrees_with_pint(text: str, exact_units: pint.UnitRegistry):
    """The pint library, computing in exact fractions."""
    number, unit = text.split()

    length = exact_units.Quantity(Fraction(number), unit).to("mm").magnitude
    assert parse_length(text).value == length


@pytest.mark.parametrize(("text", "unit"), [("1/8 in/ft", "in/ft"), ("4/5 mm/m", "mm/m")])
def test_slope_agrees_with_pint(text: str, unit: str, exact_units: pint.UnitRegistry):
    """The pint library, computing in exact fractions."""
    slope = exact_units.Quantity(Fraction(text.split(maxsplit=1)[0]), unit).to("mm/m").magnitude

    assert parse_slope(text).value == slope


@pytest.mark.parametrize(("text", "unit"), [("3 arcmin", "arcmin"), ("20 arcsec", "arcsec")])
def test_angle_agrees_with_pint(text: str, unit: str):
    """The pint library; its degree has π in it, so to the precision of a float."""
    degrees = (
        pint.UnitRegistry().Quantity(float(text.split(maxsplit=1)[0]), unit).to("degree").magnitude
    )

    assert float(parse_angle(text).value) == pytest.approx(degrees, rel=1e-12)


@pytest.mark.parametrize("fahrenheit", [-40, 32, 70, 98, 212])
def test_temperature_agrees_with_pint(fahrenheit: int):
    """The pint library, in floats."""
    celsius = pint.UnitRegistry().Quantity(fahrenheit, "degF").to("degC").magnitude

    assert float(parse_temperature(f"{fahrenheit} °F").value) == pytest.approx(celsius, abs=1e-9)


@pytest.mark.parametrize(("text", "celsius"), [("32 °F", 0), ("212 °F", 100), ("-40 °F", -40)])
def test_fixed_points_of_fahrenheit(text: str, celsius: int):
    """NIST SP 811 (2008), annex B.8: t/°C = (t/°F - 32)/1.8."""
    assert parse_temperature(text).value == celsius


def test_second_of_arc_is_nearly_five_micrometres_a_metre():
    """JIS B 7510:1993 gives 1″ as 4.85 µm/m for the sensitivity of levels."""
    assert float(parse_slope("1 arc second").value) * 1000 == pytest.approx(4.85, abs=0.005)
