from decimal import Decimal

import pytest

from passport.records.canonical import (
    Private,
    canonical,
    opened,
    private_hashes,
    reading_json,
    reading_of,
    seal,
    sealed,
    value_json,
    value_of,
)
from passport.records.errors import BodyNotExact
from scan.reading import Reading, Status, Why


def test_canonical_text_sorts_keys_and_leaves_no_blanks():
    body = {"b": [1, None, True], "a": {"ö": "é"}}

    assert canonical(body) == '{"a":{"ö":"é"},"b":[1,null,true]}'


@pytest.mark.parametrize(
    ("body", "where", "found"),
    [
        ({"a": {"b": [0, 1.5]}}, "the top / a / b / 1", "1.5 (float)"),
        ({"a": {1, 2}}, "the top / a", "{1, 2} (set)"),
        ({1: "a"}, "the top", "1 (int)"),
        ([2**53], "the top / 0", "9007199254740992 (int)"),
        ({"a": "\ud800"}, "the top / a", r"'\ud800' (str)"),
    ],
)
def test_a_body_that_is_not_exact_is_refused_with_its_place(body, where, found):
    with pytest.raises(BodyNotExact) as caught:
        canonical(body)

    assert str(caught.value) == (
        f"A record can't hold {found} at {where}: it would not read back exactly. "
        "Write it as a whole number or as text."
    )


@pytest.mark.parametrize(
    "value", [True, False, 0, 1, -3, "1", "", Decimal("1.50"), Decimal(7), None]
)
def test_a_value_comes_back_with_its_type_and_digits(value):
    back = value_of(value_json(value))

    assert (type(back), repr(back)) == (type(value), repr(value))


def test_a_decimal_that_is_no_number_is_refused():
    with pytest.raises(BodyNotExact):
        value_json(Decimal("NaN"))


def test_a_value_of_another_shape_is_refused():
    with pytest.raises(BodyNotExact):
        value_of({"decimal": 1})


def test_a_reading_comes_back_whole():
    reading = Reading(
        Status.DOUBTFUL, Decimal("44.0"), 0.1 + 0.2, Why.WITNESS, "ab/c.png", ink=True
    )

    assert reading_of(reading_json(reading)) == reading


def test_a_reading_says_its_confidence_as_text():
    assert reading_json(Reading(Status.SURE, 3, 0.9998)) == {
        "status": "sure", "value": 3, "confidence": "0.9998"
    }  # fmt: skip


def test_a_private_text_leaves_only_its_salted_hash_in_the_body():
    body, private = sealed({"who": Private("A. Clerk"), "list": [Private("B")]}, lambda: b"salt")

    assert body == {
        "who": {"private": seal("A. Clerk", b"salt").hash},
        "list": [{"private": seal("B", b"salt").hash}],
    }
    assert [one.text for one in private] == ["A. Clerk", "B"]
    assert list(private_hashes(body)) == [one.hash for one in private]


def test_a_body_can_not_pretend_to_hold_a_private_text():
    with pytest.raises(BodyNotExact):
        sealed({"who": {"private": "0" * 64}}, lambda: b"salt")


def test_a_private_text_is_put_back_and_a_removed_one_is_none():
    body = {"list": [{"private": "a"}, {"private": "b"}], "n": 1}

    assert opened(body, {"a": "A. Clerk"}) == {"list": ["A. Clerk", None], "n": 1}


def test_the_same_private_text_has_another_hash_with_another_salt():
    assert seal("A. Clerk", b"one").hash != seal("A. Clerk", b"two").hash
