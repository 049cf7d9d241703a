from decimal import Decimal

import pytest

from forms.field import Box, Digits, Tick
from scan.fields import _disagreeing, _is_astray, frame_of
from scan.reading import Reading, Status, Why

TOTAL = Digits("total", "", "", (), sum_of=("a", "b"))
LADDERED = Digits("n", "", "", (), witness="ladder")


def sure(value) -> Reading:
    return Reading(Status.SURE, value, 0.999)


def wrong(value) -> Reading:
    return Reading(Status.DOUBTFUL, value, 0.5, Why.WITNESS)


def test_frame_has_a_rim_around_all_boxes():
    boxes = (Box(10, 20, 6.5, 8.5), Box(17.2, 20, 6.5, 8.5))

    assert frame_of(Digits("n", "", "", boxes)) == pytest.approx((7.2, 17.2, 19.3, 14.1))
    assert frame_of(Tick("t", "", boxes[0])) == pytest.approx((8.4, 18.4, 9.7, 11.7))


def test_parts_of_a_sum_that_does_not_add_up_are_doubtful():
    readings = {"total": wrong(Decimal(9)), "a": sure(Decimal(3)), "b": sure(Decimal(4))}

    doubts = _disagreeing([TOTAL], readings)

    assert {name: one.why for name, one in doubts.items()} == {"a": Why.WITNESS, "b": Why.WITNESS}


def test_ladder_that_says_something_else_is_doubtful():
    readings = {"n": wrong(Decimal(14)), "ladder": sure("7")}

    assert _disagreeing([LADDERED], readings)["ladder"].status is Status.DOUBTFUL


def test_agreeing_fields_stay_sure():
    readings = {"total": sure(Decimal(7)), "a": sure(Decimal(3)), "b": sure(Decimal(4))}

    assert _disagreeing([TOTAL], readings) == {}


@pytest.mark.parametrize(
    ("two", "beside", "plain", "astray"), [(5, 2, 10, True), (4, 1, 5, False), (5, 2, 20, False)]
)
def test_boxes_lie_elsewhere_where_many_marks_stand_in_two_or_beside(two, beside, plain, astray):
    whys = [*[Why.TWO_MARKS] * two, *[Why.BESIDE] * beside]
    odd = [Reading(Status.DOUBTFUL, True, 0.1, why) for why in whys]
    marks = {str(at): one for at, one in enumerate([*odd, *[sure(True)] * plain])}

    assert _is_astray(marks, 0.33) is astray
