"""Records: what comes in comes out, and the order in which photos come makes no difference."""

import hashlib
import tempfile
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from forms.field import Box, Tick
from forms.layout import Code, Layout, Page
from passport.records import Outcome, Store
from passport.records.canonical import (
    LARGEST_INTEGER,
    canonical,
    reading_json,
    reading_of,
    value_json,
    value_of,
)
from passport.records.chain import record_hash, text_hash
from passport.records.event import Event, EventKind
from passport.records.form_state import form_record
from passport.records.merge import asserts, claim, merged
from scan.reading import PageReading, PhotoReading, Reading, Status, Why

AT = datetime(2026, 11, 24, tzinfo=UTC)
FIELDS = ("a", "b", "c")

exact = st.recursive(
    st.none() | st.booleans() | st.integers(-LARGEST_INTEGER, LARGEST_INTEGER) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=8,
)
values = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.text(max_size=5)
    | st.decimals(allow_nan=False, allow_infinity=False)
)
readings = st.builds(
    Reading,
    st.sampled_from(Status),
    values,
    st.floats(0, 1),
    st.none() | st.sampled_from(Why),
    st.none() | st.text(max_size=5),
    st.none() | st.booleans(),
)
# Few values, so that photos often agree and often don't.
sure = st.builds(
    Reading, st.just(Status.SURE), st.sampled_from((0, 1)), st.sampled_from((0.9, 0.99))
)
empty = st.just(Reading(Status.EMPTY, None, 0.98))
doubtful = st.builds(Reading, st.just(Status.DOUBTFUL), st.sampled_from((None, 1)), st.just(0.6))
outside = st.just(Reading(Status.OUTSIDE, None, 0.0))
shots = st.fixed_dictionaries(dict.fromkeys(FIELDS, sure | empty | doubtful | outside))


@given(exact)
def test_the_text_of_a_body_is_that_of_an_independent_library(body):
    """RFC 8785; the library is rfc8785 by Trail of Bits."""
    assert canonical(body).encode() == rfc8785.dumps(body)


@given(exact)
def test_equal_bodies_have_one_text_whatever_the_order_of_their_keys(body):
    def turned(value):
        match value:
            case dict():
                return {key: turned(value[key]) for key in reversed(value)}
            case list():
                return [turned(inner) for inner in value]
            case _:
                return value

    assert canonical(turned(body)) == canonical(body)


@given(exact, exact)
def test_two_bodies_have_the_same_hash_only_when_they_have_the_same_text(one, other):
    same = canonical(one) == canonical(other)

    assert (record_hash("0", {"body": one}) == record_hash("0", {"body": other})) == same


@given(values)
def test_a_value_comes_back_exactly(value):
    back = value_of(value_json(value))

    assert (type(back), str(back)) == (type(value), str(value))


@given(readings)
def test_a_reading_comes_back_exactly(reading):
    assert reading_of(reading_json(reading)) == reading


@given(st.lists(shots, min_size=1, max_size=5), st.randoms(use_true_random=False))
def test_the_order_of_photos_makes_no_difference(photos, random):
    turned = random.sample(photos, len(photos))

    assert merged(turned) == merged(photos)


@given(st.lists(shots, min_size=1, max_size=4))
def test_a_photo_taken_in_again_changes_nothing_that_is_said(photos):
    once, twice = merged(photos), merged([*photos, photos[0]])

    assert twice == once


@given(st.lists(shots, min_size=1, max_size=4))
def test_a_merged_value_is_asserted_only_when_no_photo_asserts_another(photos):
    result = merged(photos)

    for name, reading in result.readings.items():
        if asserts(reading):
            said = {claim(photo[name]) for photo in photos if asserts(photo[name])}
            assert said == {claim(reading)}


@given(st.lists(shots, min_size=1, max_size=4), shots)
def test_a_conflict_does_not_go_away_by_itself(photos, more):
    assert set(merged(photos).conflicts) <= set(merged([*photos, more]).conflicts)


def page_event(seq, photo):
    content = canonical({name: reading_json(one) for name, one in photo.items()})
    body = {
        "page": 1,
        "photo": hashlib.sha256(content.encode()).hexdigest(),
        "kept": hashlib.sha256(content.encode()).hexdigest(),
        "position": 0,
        "left_out": 0,
        "readings": {name: reading_json(one) for name, one in photo.items()},
    }
    return Event(seq, "", EventKind.PAGE_READ, "F", body)


@given(st.lists(shots, min_size=1, max_size=4), st.randoms(use_true_random=False))
def test_a_form_is_the_same_whatever_order_its_pages_came_in(photos, random):
    body = {
        "form_kind": "service",
        "table": "T",
        "layout": "{}",
        "pages": [1],
        "optional_pages": [],
    }
    printed = Event(1, "", EventKind.FORM_PRINTED, "F", body)
    settled_body = {"field": "a", "value": 1, "who": "A. Clerk", "why": "seen"}
    settled = Event(99, "", EventKind.VALUE_SETTLED, "F", settled_body)

    def record(order):
        pages = [page_event(2 + place, photo) for place, photo in enumerate(order)]
        return replace(form_record([printed, *pages, settled]), photos=())

    one, other = record(photos), record(random.sample(photos, len(photos)))
    assert (one.readings, one.conflicts, one.doubts) == (
        other.readings, other.conflicts, other.doubts
    )  # fmt: skip


def layout():
    fields = tuple(Tick(name, name, Box(0, 0, 5, 5)) for name in FIELDS)
    return Layout(
        "F", "service", "T", (Page(1, 210, 297, Code("F/1", Box(0, 0, 9, 9)), (), fields),)
    )


@settings(max_examples=25, deadline=None)
@given(st.lists(shots, min_size=1, max_size=5))
def test_a_store_gives_what_the_merge_of_all_its_photos_gives(photos):
    with tempfile.TemporaryDirectory() as folder, Store.open(Path(folder)) as store:
        store.add_layout(layout(), AT)
        outcomes = []
        for photo in photos:
            content = canonical({name: reading_json(one) for name, one in photo.items()}).encode()
            read = PhotoReading(
                "a", hashlib.sha256(content).hexdigest(), (PageReading("F", 1, photo),)
            )
            outcomes.append(store.record_photo(read, content, AT)[0])
        before = (store.forms(), store.doubts())
        store.rebuild()

        assert store.readings("F") == merged(photos).readings
        assert outcomes.count(Outcome.RECORDED) == 1
        assert (Outcome.CONFLICT in outcomes) == bool(merged(photos).conflicts)
        assert (store.forms(), store.doubts()) == before
        assert store.verify().removed == 0


@given(st.decimals(allow_nan=False, allow_infinity=False, places=2))
def test_trailing_zeros_say_the_same(value):
    longer = Decimal(f"{value}0")

    assert claim(Reading(Status.SURE, value, 1)) == claim(Reading(Status.SURE, longer, 1))


@given(
    st.text(st.characters(exclude_categories=["Cs"])),
    st.dictionaries(
        st.text(st.characters(exclude_categories=["Cs"])), st.integers(-99, 99) | st.booleans()
    ),
    st.integers(1, 10**9),
)
def test_a_hash_put_together_from_parts_is_that_of_the_whole_record(subject, body, seq):
    record = {"at": "2026", "body": body, "kind": "form printed", "seq": seq, "subject": subject}

    from_parts = text_hash("0" * 64, {**record, "body": canonical(body)})

    assert from_parts == record_hash("0" * 64, record)
