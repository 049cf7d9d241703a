"""Doubts at the desk: shown with why, typed blind where it matters, taken back until accepted."""

import re
from dataclasses import replace
from decimal import Decimal

import pytest

from forms.field import Box, Digits, Expectation, Scale, boxes_of
from passport.desk import doubts as doubts_room
from passport.desk.doubts import Question
from passport.desk.drafts import Draft
from passport.office import Office
from passport.office.doubts import Asked, Group, Way, count, listed, waiting, waiting_on
from passport.office.pictures import _frame
from passport.office.settling import ReasonMissing
from passport.records.drafts import Decision
from passport.records.files import sha256
from passport.visits.service.rows import NO_AFTER, NO_TURNS
from scan.reading import PageReading, PhotoReading, Reading, Status, Why
from tests.hall import UNCLEAR, Hall

from .conftest import Visitor, opened

TICK, CHOICE, TURNS, COUNT, HUMIDITY = UNCLEAR


def left(busy: Office, hall: Hall, answered: int) -> str:
    """Say how the page counts what is left."""
    of = len(waiting_on(busy, hall.form).asked)
    return f"<b>{of - answered}</b> of {of} left"


def articles(page: str) -> dict[str, str]:
    """Each doubt's part of the page, by its label."""
    found = re.findall(r'<article class="doubt".*?</article>', page, re.DOTALL)
    return {re.search(r"-name\">(.*?)</h3>", one)[1]: one for one in found}


def answer(clerk: Visitor, hall: Hall, field: str, value: str) -> str:
    sent = {"field": field, "value": value}
    return clerk.post(f"/doubts/{hall.form}/answer", sent, follow_redirects=True).text


def test_marks_may_be_accepted_and_the_rest_is_typed(busy: Office, hall: Hall):
    ways = {one.field.id: one.way for one in waiting_on(busy, hall.form).asked}

    assert {name for name, way in ways.items() if way is Way.ACCEPT} == {TICK, CHOICE}


def test_they_are_grouped_by_kind(busy: Office, hall: Hall):
    counts = waiting_on(busy, hall.form).counts
    digits = [
        one.field.id for one in waiting_on(busy, hall.form).asked if one.group is Group.DIGITS
    ]

    assert (counts[Group.MARKS], counts[Group.COUNTS]) == (2, 2)
    assert HUMIDITY in digits


def test_many_forms_with_doubts_come_some_at_a_time(
    clerk: Visitor, busy: Office, hall: Hall, monkeypatch
):
    whole = clerk.get("/doubts").text
    monkeypatch.setattr(doubts_room, "forms_waiting", lambda _: (hall.form, hall.form))
    monkeypatch.setattr(doubts_room, "MOST", 1)
    first, last = clerk.get("/doubts").text, clerk.get("/doubts?skip=1").text

    assert f"{count(busy)} values wait on 1 form." in whole
    assert ["Later forms" in page for page in (whole, first, last)] == [False, True, False]


def test_every_doubt_has_its_picture_and_says_why(clerk: Visitor, hall: Hall, busy: Office):
    shown = articles(clerk.get(f"/doubts/{hall.form}").text)

    assert len(shown) == len(waiting_on(busy, hall.form).asked)
    assert all("/near.jpg?field=" in one for one in shown.values())
    assert "far from what was expected" in shown["B2 found"]


def test_the_picture_of_a_doubt_has_its_neighbours_in_view(hall: Hall, busy: Office):
    found = waiting_on(busy, hall.form)
    for asked in found.asked:
        page = found.layout.page(asked.page)
        view = _frame(page, asked.field)
        others = (box for one in page.fields if one is not asked.field for box in boxes_of(one))
        beside = [box for box in others if shown_of(box, view) > 0.5]

        assert all(shown_of(box, view) == 1 for box in boxes_of(asked.field))
        assert beside, asked.field.id


def shown_of(box: Box, view: Box) -> float:
    across = min(box.x + box.width, view.x + view.width) - max(box.x, view.x)
    along = min(box.y + box.height, view.y + view.height) - max(box.y, view.y)
    return round(max(0, across) * max(0, along) / (box.width * box.height), 6)


def test_the_likely_box_of_a_mark_is_marked_and_has_the_focus(clerk: Visitor, hall: Hall):
    shown = articles(clerk.get(f"/doubts/{hall.form}").text)["L1 jam nuts loosened"]

    assert re.search(r'value="yes" class="box guess" autofocus', shown)


def test_what_turns_a_nut_does_not_show_the_guess(clerk: Visitor, hall: Hall):
    shown = articles(clerk.get(f"/doubts/{hall.form}").text)
    asked = re.sub(r'"/[^"]*"', "", shown["Relative humidity"])  # hashes have digits,
    asked = re.sub(r'value="[^"]{40,}"', "", asked)  # and so have signs of who asks

    assert "guess" not in shown["B1 quarter turns"]
    assert "41" not in asked


def test_the_guess_is_shown_once_something_was_typed(clerk: Visitor, hall: Hall):
    page = articles(answer(clerk, hall, HUMIDITY, "47"))["Relative humidity"]

    assert "The reader had guessed 41: look once more." in page


@pytest.mark.parametrize(
    ("field", "typed", "shown"),
    [
        (Scale("f", "F", "card", (), Expectation(2, 0.5)), 7, True),  # over 4 (0.5² + 1²)^½ away
        (Scale("f", "F", "card", (), Expectation(2, 0.5)), 6, False),
        (Digits("f", "F", "%", (), 0, 0, 99, expect=Expectation(50, 2)), Decimal(41), True),
        (Digits("f", "F", "%", (), 0, 0, 99, expect=Expectation(50, 2)), Decimal(42), False),
        (Scale("f", "F", "card", (), None), 7, False),
        (Scale("f", "F", "card", (), Expectation(2, 0.5)), None, False),
    ],
)
def test_an_answer_far_from_what_was_expected_is_shown_as_such(field, typed, shown):
    """Whatever the reader was unsure of: the same measure by which it would doubt a value."""
    reading = Reading(Status.DOUBTFUL, 3, 0.5, Why.FAINT)
    asked = Asked("F", 1, field, reading, "faint", Way.TYPE, Group.COUNTS, ())

    open_, answered = (
        Question(0, asked, draft) for draft in (None, Draft("F", "f", typed, "ann", 1))
    )

    assert (open_.expected, answered.expected is not None) == (None, shown)


def test_nothing_is_decided_before_the_sheet_is_accepted(clerk: Visitor, hall: Hall, busy: Office):
    answer(clerk, hall, HUMIDITY, "47")

    assert busy.store.form(hall.form).answers == ()


def test_an_answer_can_be_taken_back(clerk: Visitor, hall: Hall, busy: Office):
    answer(clerk, hall, HUMIDITY, "47")
    page = clerk.post(f"/doubts/{hall.form}/undo", {"field": HUMIDITY}, follow_redirects=True).text

    assert left(busy, hall, 0) in page


def test_what_is_left_is_counted(clerk: Visitor, hall: Hall, busy: Office):
    assert left(busy, hall, 1) in answer(clerk, hall, HUMIDITY, "47")


def test_answers_survive_a_restart(clerk: Visitor, hall: Hall, busy: Office):
    answer(clerk, hall, HUMIDITY, "47")
    other = Visitor(opened(busy).test_client())
    other.sign_in("some-clerk")

    assert left(busy, hall, 1) in other.get(f"/doubts/{hall.form}").text


def test_an_accepted_sheet_stands_in_the_history_with_who(clerk: Visitor, hall: Hall, busy: Office):
    answer(clerk, hall, HUMIDITY, "47")
    answer(clerk, hall, TURNS, "−3")
    answer(clerk, hall, TICK, "yes")
    clerk.post(f"/doubts/{hall.form}/accept")

    said = [(one.field, one.value, one.who) for one in busy.store.form(hall.form).answers]
    assert sorted(said) == [
        (TURNS, -3, "some-clerk"),
        (TICK, True, "some-clerk"),
        (HUMIDITY, Decimal(47), "some-clerk"),
    ]


def test_a_surprising_value_counts_like_any_other(clerk: Visitor, hall: Hall, busy: Office):
    answer(clerk, hall, COUNT, "8")
    clerk.post(f"/doubts/{hall.form}/accept")

    reading = busy.store.form(hall.form).readings[COUNT]
    assert (reading.status, reading.value) == (Status.SURE, 8)


def test_nothing_written_is_an_answer(clerk: Visitor, hall: Hall, busy: Office):
    answer(clerk, hall, HUMIDITY, "nothing")
    clerk.post(f"/doubts/{hall.form}/accept")

    assert busy.store.form(hall.form).readings[HUMIDITY].status is Status.EMPTY


@pytest.mark.parametrize("typed", ["", "abc", "999", "4.5", "nan", "1e99999"])
def test_a_value_that_the_field_cannot_have_is_refused(clerk: Visitor, hall: Hall, typed: str):
    sent = {"field": HUMIDITY, "typed": typed}
    answered = clerk.post(f"/doubts/{hall.form}/answer", sent)

    assert answered.status_code == 400
    assert "it takes" in answered.text


def test_an_answer_given_before_another_photo_came_is_asked_again(
    clerk: Visitor, hall: Hall, busy: Office
):
    answer(clerk, hall, HUMIDITY, "47")
    second_fill(busy, hall)

    assert articles(clerk.get(f"/doubts/{hall.form}").text)["Relative humidity"].count("Keep") == 1


def second_fill(office: Office, hall: Hall) -> str:
    """Another photo of page 1 with other ink in one row."""
    record = office.store.form(hall.form)
    first = next(photo for photo in record.photos if photo.page == 1)
    after = replace(first.readings["L1.pass1.after"], value=-2)
    fields = {**first.readings, "L1.pass1.after": after}
    content = hall.photos[0].read_bytes() + b"\0"
    page = PageReading(hall.form, 1, fields)
    office.store.record_photo(
        PhotoReading("second.jpg", sha256(content), (page,)), content, office.now()
    )
    return sha256(content)


def test_two_photos_that_disagree_are_both_shown(clerk: Visitor, hall: Hall, busy: Office):
    second_fill(busy, hall)
    page = clerk.get(f"/doubts/{hall.form}").text

    assert "Two photos of this form disagree" in page
    assert articles(page)["L1 after"].count("/near.jpg") == 2


def test_a_photo_is_set_aside_with_a_reason(clerk: Visitor, hall: Hall, busy: Office):
    photo = {"sha256": second_fill(busy, hall), "position": "0"}
    refused = clerk.post(f"/doubts/{hall.form}/aside", photo)
    clerk.post(f"/doubts/{hall.form}/aside", {**photo, "why": "a copied blank"})

    assert str(ReasonMissing("set a photo aside")) in refused.text
    assert busy.store.form(hall.form).conflicts == ()


def test_a_decision_without_a_reason_says_what_is_needed():
    assert str(ReasonMissing("close a form")) == (
        "To close a form, a reason is needed, and there is none. "
        "Write in a few words why, for whoever reads the history later."
    )


def test_a_correction_is_a_new_entry_and_the_old_value_stays_visible(
    clerk: Visitor, hall: Hall, busy: Office
):
    sent = {"field": "B1.pass1.found", "value": "4", "why": "misread"}
    clerk.post(f"/forms/{hall.form}/value", sent)
    clerk.post(f"/forms/{hall.form}/value", {**sent, "value": "5", "why": "was right"})
    page = clerk.get(f"/forms/{hall.form}/value?field=B1.pass1.found").text

    assert [one.value for one in busy.store.form(hall.form).answers] == [4, 5]
    assert "<b>4</b>, some-clerk: misread" in page
    assert "The reader: 5" in page


def accepted(clerk: Visitor, hall: Hall) -> str:
    return clerk.post(f"/doubts/{hall.form}/accept", follow_redirects=True).text


def test_an_answer_that_a_rule_of_the_form_refuses_is_asked_again_with_the_rules_words(
    clerk: Visitor, hall: Hall, busy: Office
):
    """A reading after turning stands at B1, so it can't be that nothing was turned there."""
    answer(clerk, hall, TURNS, "nothing")
    answer(clerk, hall, HUMIDITY, "47")
    page = accepted(clerk, hall)

    assert "2 answers are in the history" in page
    assert "1 answer can’t be so: look once more." in page
    assert NO_TURNS in articles(page)["B1 quarter turns"]
    assert 'class="guess' not in articles(page)["B1 quarter turns"]
    assert busy.store.form(hall.form).readings[HUMIDITY].value == Decimal(47)


def test_an_answer_asked_again_may_be_taken_back_until_accepted(
    clerk: Visitor, hall: Hall, busy: Office
):
    answer(clerk, hall, TURNS, "nothing")
    accepted(clerk, hall)
    kept = articles(answer(clerk, hall, TURNS, "-3"))["B1 quarter turns"]
    page = clerk.post(f"/doubts/{hall.form}/undo", {"field": TURNS}, follow_redirects=True).text

    assert "Before, it stood as nothing written." in kept
    assert left(busy, hall, 0) in page
    assert NO_TURNS in articles(page)["B1 quarter turns"]


@pytest.mark.parametrize(("again", "stands"), [("nothing", None), ("-3", -3)])
def test_a_refused_answer_is_asked_until_it_is_confirmed_or_another_one(
    clerk: Visitor, hall: Hall, busy: Office, again: str, stands: int | None
):
    for typed in ("nothing", again):
        answer(clerk, hall, TURNS, typed)
        accepted(clerk, hall)

    assert TURNS not in [one.field.id for one in waiting_on(busy, hall.form).asked]
    assert busy.store.form(hall.form).readings[TURNS].value == stands


def test_a_form_with_nothing_but_a_refused_value_is_on_every_list(
    clerk: Visitor, hall: Hall, busy: Office
):
    meant = hall.hand()
    for one in waiting_on(busy, hall.form).asked:
        busy.store.settle(
            *(hall.form, one.field.id, meant.get(one.field.id), Decision("ann", "saw it")),
            busy.now(),
        )
    before = (count(busy), waiting(busy), listed(busy))
    sent = {"field": "B1.pass1.after", "value": "nothing", "why": "nothing there"}
    clerk.post(f"/forms/{hall.form}/value", sent)

    assert before == (0, (), ())
    assert count(busy) == len(waiting(busy)) == 1
    assert [(one.field, why) for one, why in listed(busy)] == [("B1.pass1.after", NO_AFTER)]
    assert "<b>1</b>" in clerk.get("/").text
