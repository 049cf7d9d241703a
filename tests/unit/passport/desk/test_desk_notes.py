"""Notes to read: with their picture, unsafe first, and who told the customer when."""

import pytest

from passport.desk import notes as notes_room
from passport.office import Office
from passport.office.due import reckon, with_notes
from passport.office.notes import CallIncomplete, in_order, noted_of, unread_of
from passport.office.printing import care_pages
from passport.office.registering import table as find_table
from passport.records import Outlook
from passport.records.drafts import Decision
from passport.visits.service import ids
from tests.hall import Hall

from .conftest import Visitor


@pytest.fixture
def table(busy: Office, hall: Hall):
    return find_table(busy, busy.store.form(hall.form).table)


def make_unsafe(office: Office, hall: Hall) -> None:
    office.store.settle(hall.form, ids.UNSAFE, True, Decision("ann", "seen"), office.now())


def test_ink_in_a_note_lists_the_visit_with_its_picture(clerk: Visitor, hall: Hall):
    page = clerk.get("/notes").text

    assert "Nook Table" in page
    assert f"/pictures/{hall.form}/" in page
    assert "office must read" in page


def test_a_note_that_was_read_is_off_the_list_and_stays_with_its_visit(
    clerk: Visitor, hall: Hall, busy: Office, table
):
    clerk.post(f"/notes/{hall.form}/read")

    assert "Nothing waits to be read." in clerk.get("/notes").text
    assert [one.read for one in noted_of(busy, table)] == [True]
    assert [one.who for one in busy.store.form(hall.form).notes_read] == ["some-clerk"]


def test_a_signature_alone_is_nothing_to_read(busy: Office, table):
    assert [one.fields for one in noted_of(busy, table)] == [("notes.text",)]


def test_unsafe_waits_until_somebody_called_even_when_it_was_read(
    clerk: Visitor, hall: Hall, busy: Office, table
):
    make_unsafe(busy, hall)
    clerk.post(f"/notes/{hall.form}/read")
    waits = [one.form for one in unread_of(busy, table)]
    call = {"whom": "Mr Quill (invented)", "when": "2026-03-02T15:10"}
    clerk.post(f"/notes/{hall.form}/told", call)

    told = busy.store.form(hall.form).customer_told[0]
    assert waits == [hall.form]
    assert (told.told, told.told_at, told.who) == (call["whom"], "2026-03-02 15:10", "some-clerk")
    assert unread_of(busy, table) == ()


def test_unsafe_comes_first_and_asks_who_called(clerk: Visitor, hall: Hall, busy: Office):
    make_unsafe(busy, hall)
    page = clerk.get("/notes").text

    assert page.index("Out of use until checked") < page.index("Nook Table")
    assert "Who told the customer by telephone, and when?" in page


def test_unsafe_notes_stand_before_all_others(busy: Office, hall: Hall, table):
    (calm,) = noted_of(busy, table)
    make_unsafe(busy, hall)
    (unsafe,) = noted_of(busy, table)

    assert in_order((calm, unsafe)) == (unsafe, calm)


def test_a_call_without_whom_or_when_is_refused(clerk: Visitor, hall: Hall):
    answer = clerk.post(f"/notes/{hall.form}/told", {"whom": "", "when": ""})

    assert answer.status_code == 400
    assert str(CallIncomplete("", "")) in answer.text


def test_an_incomplete_call_says_what_is_missing():
    assert str(CallIncomplete("", "2026-03-02 15:10")) == (
        "The call says whom: nobody, when: 2026-03-02 15:10. "
        "Write both: who picked up, and the day and time."
    )


def test_an_unsafe_table_is_out_of_use_on_every_page_and_for_the_customer(
    clerk: Visitor, hall: Hall, busy: Office, table, tmp_path
):
    make_unsafe(busy, hall)
    care_pages(busy, tmp_path / "care")
    care = next(path for path in (tmp_path / "care" / "T").glob("*/index.html"))
    shown = [clerk.get(path).text for path in ("/", f"/tables/{table.number}", "/due")]
    texts = [path.read_text() for path in (tmp_path / "care" / "T").glob("*/index.html")]

    assert ["Out of use" in page for page in shown] == [True, True, True]
    assert sum("Out of use until checked" in text for text in texts) == 1
    assert care.exists()


def test_tables_with_notes_are_found_without_reading_all(busy: Office, table):
    assert with_notes(busy) == (table.number,)


def test_many_notes_come_some_tables_at_a_time_unsafe_ones_first(
    clerk: Visitor, busy: Office, hall: Hall, table, monkeypatch
):
    make_unsafe(busy, hall)
    second = next(one.number for one in busy.store.tables() if one.number != table.number)
    outlook = {"why": "", "visits": 0, "notes": [hall.form], "unsafe": [], "again": []}
    monkeypatch.setattr(notes_room, "MOST", 1)
    reckon(busy)
    seen = busy.store.stood(second).changed
    busy.store.reckoned(second, seen, Outlook(0, None, outlook, 1), busy.today)

    first = clerk.get("/notes").text

    assert with_notes(busy) == (table.number, second)
    assert ("2 tables have notes to read" in first, "More notes" in first) == (True, True)
    assert "More notes" not in clerk.get("/notes?skip=1").text


def test_whom_was_told_can_be_forgotten(clerk: Visitor, hall: Hall, busy: Office):
    make_unsafe(busy, hall)
    clerk.post(f"/notes/{hall.form}/told", {"whom": "Mr Quill", "when": "2026-03-02T15:10"})
    busy.store.forget_person("Mr Quill", Decision("ann", "asked for"), busy.now())

    assert busy.store.form(hall.form).customer_told[0].told is None
    assert busy.store.verify().removed >= 1
