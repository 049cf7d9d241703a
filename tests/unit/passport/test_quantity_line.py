"""A line's mass per length and the weight on it, as written."""

from fractions import Fraction

import pytest

from passport.quantity import UnreadableQuantity
from passport.quantity_line import parse_mass_per_length, parse_pull


def test_pounds_per_foot_are_exact_grams_per_metre():
    # 1 lb = 453.59237 g, 1 ft = 0.3048 m exactly: international yard and pound agreement, 1959
    read = parse_mass_per_length("0.0007 lb/ft").value

    assert read == Fraction("0.0007") * Fraction("453.59237") / Fraction("0.3048")


def test_hung_mass_pulls_with_standard_gravity():
    # 9.80665 m/s²: 3rd CGPM, 1901
    assert [parse_pull(text).value for text in ("3 kg", "30 N")] == [Fraction("29.41995"), 30]


@pytest.mark.parametrize(
    ("parse", "text", "told"),
    [
        (
            parse_mass_per_length,
            "0.5 g",
            "kit.line is '0.5 g', which can't be read as a mass per length. "
            "Write it like 0.5 g/m or 0.0007 lb/ft.",
        ),
        (
            parse_pull,
            "3 m",
            "kit.line is '3 m', which can't be read as a weight. Write it like 3 kg, 7 lb or 30 N.",
        ),
    ],
)
def test_anything_else_is_told_with_examples(parse, text, told):
    with pytest.raises(UnreadableQuantity) as found:
        parse(text, "kit.line")

    assert str(found.value) == told
