from decimal import Decimal
from itertools import permutations

import pytest

from passport.records.merge import claim, merged
from scan.reading import Reading, Status, Why

SURE_3 = Reading(Status.SURE, 3, 0.99)
SURE_4 = Reading(Status.SURE, 4, 0.98)
EMPTY = Reading(Status.EMPTY, None, 0.97)
DOUBT_3 = Reading(Status.DOUBTFUL, 3, 0.7, Why.FAINT)
DOUBT_4 = Reading(Status.DOUBTFUL, 4, 0.6, Why.TWO_MARKS)
OUTSIDE = Reading(Status.OUTSIDE, None, 0.0)


@pytest.mark.parametrize(
    ("readings", "expected"),
    [
        ([SURE_3, DOUBT_4], SURE_3),
        ([SURE_3, OUTSIDE], SURE_3),
        ([EMPTY, DOUBT_4], EMPTY),
        ([DOUBT_3, OUTSIDE], DOUBT_3),
        ([DOUBT_3, DOUBT_4], DOUBT_3),
        ([OUTSIDE, OUTSIDE], OUTSIDE),
        ([SURE_3, Reading(Status.SURE, 3, 0.999)], Reading(Status.SURE, 3, 0.999)),
    ],
)
def test_the_reading_that_says_most_stays_in_any_order(readings, expected):
    results = [merged([{"f": one} for one in order]) for order in permutations(readings)]

    assert {(one.readings["f"], one.conflicts) for one in results} == {(expected, ())}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (SURE_3, SURE_4),
        (SURE_3, EMPTY),
        (Reading(Status.SURE, True, 0.9), Reading(Status.SURE, False, 0.9)),
        (Reading(Status.SURE, 1, 0.9), Reading(Status.SURE, True, 0.9)),
        (Reading(Status.SURE, None, 0.9, ink=True), Reading(Status.SURE, None, 0.9, ink=False)),
    ],
)
def test_two_photos_that_assert_different_things_are_a_conflict(one, other):
    assert merged([{"f": one}, {"f": other}]).conflicts == ("f",)


def test_a_conflict_is_a_doubt_whose_confidence_is_shared_between_the_sheets():
    result = merged([{"f": SURE_3}, {"f": SURE_4}]).readings["f"]

    # 0.99 of 0.99 + 0.98: each sheet may be the one that was meant
    assert result == Reading(Status.DOUBTFUL, 3, pytest.approx(0.5025, abs=1e-4), Why.FILLS_DIFFER)


def test_photos_of_two_sheets_do_not_help_each_other():
    one = {"differs": SURE_3, "same": EMPTY, "helped": SURE_3}
    other = {"differs": SURE_4, "same": EMPTY, "helped": DOUBT_4}

    result = merged([one, other])

    assert result.conflicts == ("differs",)
    assert result.readings["same"] == EMPTY
    assert result.readings["helped"].status is Status.DOUBTFUL
    assert result.readings["helped"].why is Why.FILLS_DIFFER


def test_a_doubt_beside_a_sure_value_is_no_conflict():
    assert merged([{"f": SURE_3}, {"f": DOUBT_4}, {"f": OUTSIDE}]).conflicts == ()


def test_trailing_zeros_say_the_same():
    readings = [Reading(Status.SURE, Decimal(digits), 0.9) for digits in ("2.50", "2.5")]

    assert claim(readings[0]) == claim(readings[1])


def test_a_page_without_photos_has_no_readings():
    assert merged([]).readings == {}
