"""RFC 8785 (June 2020), JSON Canonicalization Scheme."""

from passport.records.canonical import canonical


def test_keys_are_sorted_as_in_the_example_of_section_3_2_3():
    """RFC 8785, 3.2.3: the example object and the order in which its values come out."""
    example = {
        "\u20ac": "Euro Sign",
        "\r": "Carriage Return",
        "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One",
        "\U0001f600": "Emoji: Grinning Face",
        "\u0080": "Control",
        "\u00f6": "Latin Small Letter O With Diaeresis",
    }

    text = canonical(example)

    order = [
        "Carriage Return",
        "One",
        "Control",
        "Latin Small Letter O With Diaeresis",
        "Euro Sign",
        "Emoji: Grinning Face",
        "Hebrew Letter Dalet With Dagesh",
    ]
    assert sorted(order, key=text.index) == order


def test_strings_are_written_as_in_section_3_2_2_2():
    """RFC 8785, 3.2.2.2: short escapes where there are some, else lower-case hexadecimal."""
    assert canonical('\u20ac$\u000f\nA\'B"\\\\"/') == '"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"'
