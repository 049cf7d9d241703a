from fractions import Fraction

import pytest

from passport.quantity import (
    AmbiguousComma,
    Kind,
    QuantityOutOfRange,
    UnreadableQuantity,
    Written,
    parse_angle,
    parse_humidity,
    parse_length,
    parse_number,
    parse_slope,
    parse_temperature,
)

LENGTHS = [  # as written, mm
    ("22 ft", "6705.6"),
    ("508 mm", "508"),
    ("20 in", "508"),
    ("20 1/2 in", "520.7"),
    ("20-1/2 in", "520.7"),
    ("20½ in", "520.7"),
    ("½″", "12.7"),
    ("6' 3\"", "1905"),
    ("6′ 3″", "1905"),
    ("6 ft 3 1/2 in", "1917.7"),
    ("3/4 in", "19.05"),
    ("1.5 m", "1500"),
    ("12,5 mm", "12.5"),
    ("0,005 in", "0.127"),
    (".5 in", "12.7"),
    ("5 thou", "0.127"),
    ("12 CM", "120"),
    ("30 µm", "0.03"),
    ("− 3 mm", "-3"),
    ("+3 mm", "3"),
    ("0", "0"),
    ("22\u00a0ft", "6705.6"),
]


@pytest.mark.parametrize(("text", "mm"), LENGTHS)
def test_length_is_read_exactly(text: str, mm: str):
    assert parse_length(text) == Written(text, Fraction(mm))


NO_LENGTHS = [
    *("22", "22 fee", "ft", "", "3/0 in", "6 ft 14 in", "6.5 ft 3 in", "3 in 2 ft", "22 ft 3"),
    *("1.2.3 mm", "1e3 mm", "6 ft 3 in 2 in", "20 in, about", "two feet", "5 - 3 mm", "4 ft -2 in"),
    *("1234567890 mm", f"{'9' * 400} m", "٢٢ ft"),
]


@pytest.mark.parametrize("text", NO_LENGTHS)
def test_length_that_says_something_else_is_refused(text: str):
    with pytest.raises(UnreadableQuantity) as refused:
        parse_length(text)

    assert refused.value.found == text


def test_unreadable_length_names_key_value_and_examples():
    with pytest.raises(UnreadableQuantity) as refused:
        parse_length("22 fee", "board.length")

    assert str(refused.value) == (
        "board.length is '22 fee', which can't be read as a length. Write it like 22 ft, 6' 3\", "
        "20 1/2 in, 0.005 in, 508 mm, 12,5 mm or 1.5 m."
    )


EXAMPLES = [
    (Kind.SLOPE, "a slope. Write it like 0.8 mm/m, 1/8 in/ft, 0.05 deg or 2 arc minutes."),
    (Kind.ANGLE, "an angle. Write it like 0.05 deg, 3 arc minutes or 20 arc seconds."),
    (Kind.TEMPERATURE, "a temperature. Write it like 21 °C or 70 °F."),
    (Kind.HUMIDITY, "a relative humidity. Write it like 45 %."),
    (Kind.THREAD, "a thread. Write it like 3/8-16 UNC, 1/2-13 or M10x1.5."),
]


@pytest.mark.parametrize(("kind", "end"), EXAMPLES)
def test_unreadable_quantity_names_what_its_kind_is_written_like(kind: Kind, end: str):
    problem = UnreadableQuantity("kit.x", "?", kind)

    assert str(problem) == f"kit.x is '?', which can't be read as {end}"


def test_comma_with_two_meanings_is_refused():
    with pytest.raises(AmbiguousComma) as refused:
        parse_length("1,500 mm", "board.length")

    assert str(refused.value) == (
        "board.length is '1,500 mm': the comma can mean a decimal or a thousand. "
        "Write '1500 mm' or '1.500 mm'."
    )


SLOPES = [  # as written, mm/m
    ("0.8 mm/m", Fraction(8, 10)),
    ("1/8 in/ft", Fraction(125, 12)),
    ("0.02 in / ft", Fraction(5, 3)),
    ("-1 mm/m", Fraction(-1)),
    ("5 thou/in", Fraction(5)),
    ("0", Fraction(0)),
]


@pytest.mark.parametrize(("text", "mm_per_m"), SLOPES)
def test_slope_of_lengths_is_read_exactly(text: str, mm_per_m: Fraction):
    assert parse_slope(text) == Written(text, mm_per_m)


def test_slope_of_an_angle_is_its_tangent():
    assert float(parse_slope("0.05 deg").value) == pytest.approx(0.872664848, abs=1e-9)


def test_arc_minutes_are_sixtieths_of_a_degree():
    assert parse_slope("3 arc minutes").value == parse_slope("0.05 °").value


@pytest.mark.parametrize("text", ["0.8", "0.8 mm", "0.8 mm/kg", "0.8 mm/", "1:100", "mm/m"])
def test_slope_that_says_something_else_is_refused(text: str):
    with pytest.raises(UnreadableQuantity) as refused:
        parse_slope(text)

    assert refused.value.kind is Kind.SLOPE


ANGLES = [("0.05 deg", "1/20"), ("3'", "1/20"), ("180 arcsec", "1/20"), ("1° 30'", "3/2")]


@pytest.mark.parametrize(("text", "degrees"), ANGLES)
def test_angle_is_read_exactly(text: str, degrees: str):
    assert parse_angle(text).value == Fraction(degrees)


TEMPERATURES = [("21 °C", "21"), ("70 °F", "190/9"), ("32 f", "0"), ("-5,5 degC", "-11/2")]


@pytest.mark.parametrize(("text", "celsius"), TEMPERATURES)
def test_temperature_is_read_exactly(text: str, celsius: str):
    assert parse_temperature(text).value == Fraction(celsius)


@pytest.mark.parametrize("text", ["21", "21 K", "21 °C 5 °C", "0"])
def test_temperature_without_its_unit_is_refused(text: str):
    with pytest.raises(UnreadableQuantity) as refused:
        parse_temperature(text)

    assert refused.value.kind is Kind.TEMPERATURE


def test_temperature_below_absolute_zero_is_refused():
    with pytest.raises(QuantityOutOfRange) as refused:
        parse_temperature("-274 °C", "air")

    assert str(refused.value) == (
        "air is '-274 °C'; a temperature lies above -273.15 °C. Read the instrument again."
    )


@pytest.mark.parametrize("text", ["45 %", "45% RH", "45,0 %"])
def test_humidity_is_read_exactly(text: str):
    assert parse_humidity(text).value == 45


def test_humidity_above_a_hundred_is_refused():
    with pytest.raises(QuantityOutOfRange) as refused:
        parse_humidity("101 %", "air")

    assert str(refused.value) == (
        "air is '101 %'; a relative humidity lies between 0 and 100 %. Read the instrument again."
    )


def test_humidity_without_its_sign_is_refused():
    with pytest.raises(UnreadableQuantity) as refused:
        parse_humidity("45")

    assert refused.value.kind is Kind.HUMIDITY


@pytest.mark.parametrize(("text", "value"), [("20", "20"), ("3/4", "3/4"), ("20 1/2", "41/2")])
def test_number_is_read_exactly(text: str, value: str):
    assert parse_number(text) == Fraction(value)
