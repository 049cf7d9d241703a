from dataclasses import replace

import pytest

from passport.leveling.advice import Quantity
from passport.leveling.lines import (
    count_words,
    percent_words,
    range_words,
    sense_words,
    value_words,
)
from passport.visit import Count

CROSS, HOLLOW, RISE = Quantity.CROSS, Quantity.HOLLOW, Quantity.RISE


@pytest.mark.parametrize(
    ("quantity", "count", "words"),
    [
        (CROSS, Count(2), "2 cards, right end low"),
        (CROSS, Count(-1), "1 card, left end low"),
        (CROSS, Count(0), "0 cards"),
        (CROSS, Count(4, bound=True), "4 cards or more, right end low"),
        (HOLLOW, Count(3), "3 cards"),
        (HOLLOW, Count(-1), "crown 1"),
        (HOLLOW, Count(-2, bound=True), "crown 2 or more"),
        (HOLLOW, Count(8, bound=True), "8 cards or more"),
        (RISE, Count(2), "2 cards, outer end high"),
        (RISE, Count(-2, bound=True), "2 cards or more, outer end low"),
    ],
)
def test_count_is_said_as_it_was_taken(quantity, count, words):
    assert count_words(quantity, count) == words


@pytest.mark.parametrize(
    ("quantity", "low", "high", "words"),
    [
        (CROSS, 2, 3, "2 to 3 cards, right end low"),
        (CROSS, -3, -2, "2 to 3 cards, left end low"),
        (CROSS, -1, 1, "1 card, left end low, to 1 card, right end low"),
        (CROSS, 0, 2, "0 to 2 cards, right end low"),
        (HOLLOW, 1, 1, "1 card"),
        (HOLLOW, -2, -1, "crown 1 to 2"),
        (HOLLOW, -1, 1, "crown 1 to 1 card"),
        (HOLLOW, 0, 2, "0 to 2 cards"),
    ],
)
def test_range_is_said_from_few_to_many(quantity, low, high, words):
    assert range_words(quantity, low, high) == words


def test_slope_is_said_in_inches_per_foot_on_an_imperial_table(table):
    words = value_words(replace(table, units="imperial"), CROSS, 0.8, 0.1)

    assert words == "0.010 ± 0.001 in/ft"


def test_length_is_said_in_inches_on_an_imperial_table(table):
    assert value_words(replace(table, units="imperial"), HOLLOW, 0.508) == "0.020 in"


def test_crown_is_said_without_a_sign(table):
    assert sense_words(table, HOLLOW, -0.1, 0.06) == "0.10 ± 0.06 mm crown"


def test_nought_has_no_direction(table):
    assert sense_words(table, CROSS, -0.001, 0.1) == "0.00 ± 0.10 mm/m"


@pytest.mark.parametrize(("p", "words"), [(1.0, "99 %"), (0.0, "1 %"), (0.503, "50 %")])
def test_nothing_is_certain(p, words):
    assert percent_words(p) == words
