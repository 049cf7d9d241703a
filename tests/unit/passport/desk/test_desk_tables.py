"""Tables, what is due, and the calendar."""

import gc
import re

import pypdfium2
import pytest
from icalendar import Calendar

from passport.desk import tables as tables_room
from passport.desk.ready import make_ready
from passport.office import Office
from passport.office.acting import ActionUnknown, acting
from passport.office.doubts import waiting_on
from passport.office.history import story
from passport.office.printing import print_form
from passport.office.rounds import RoundEmpty
from passport.records import ActionResult, Contact
from passport.records.drafts import Decision
from passport.records.form_state import FormState
from passport.records.store import Store
from tests.hall import Hall

from .conftest import Clock, Visitor

PAPERS = ["passport", "booklet", "hand-over", "label", "actions", "service", "card"]
ASIDE = Decision("ann", "not of this visit")


@pytest.fixture
def number(busy: Office, hall: Hall) -> str:
    return busy.store.form(hall.form).table


@pytest.mark.parametrize("words", ["nook", "thimble back", "399", "quill"])
def test_a_table_is_found_by_anything(busy: Office, clerk: Visitor, number: str, words: str):
    busy.store.give_contact(number, Contact(name="Quill"), busy.now())
    words = number[:3] if words == "399" else words
    page = clerk.get("/tables", query_string={"q": words}).text

    assert f"/tables/{number}" in page
    assert "Quarry Table" not in page


def test_a_tables_page_shows_where_it_stands_and_its_history(clerk: Visitor, number: str):
    page = clerk.get(f"/tables/{number}").text

    for said in (
        "Cross level at the legs",
        "over the visits",
        "The year to come, if nothing is turned",
        "Next actions",
        "History",
    ):
        assert said in page


def test_the_map_of_the_surface_has_a_page_of_its_own(clerk: Visitor, number: str):
    page = clerk.get(f"/tables/{number}/surface").text

    assert "Map of the board from above" in page


def test_a_value_leads_to_its_box_on_the_photo(clerk: Visitor, number: str, hall: Hall):
    page = clerk.get(f"/tables/{number}").text
    link = re.search(r'href="(/forms/[^"]*field=B1\.pass1\.found)"', page)

    assert link is not None
    assert f"/pictures/{hall.form}/" in clerk.get(link[1]).text


def test_what_its_build_taught_is_reckoned_once_a_tables_page_is_sent(
    busy: Office, clerk: Visitor, number: str, monkeypatch: pytest.MonkeyPatch
):
    reckoned = list[str]()
    monkeypatch.setattr(tables_room, "reckon_by_build", lambda _, one: reckoned.append(one))
    described = busy.store.table(number).description
    busy.store.describe(number, {**described, "build": "Nine foot, 2019"}, busy.now())
    answer = clerk.get(f"/tables/{number}")
    while_it_waits = list(reckoned)
    answer.close()

    assert (while_it_waits, reckoned) == ([], [number])


@pytest.mark.parametrize("result", list(ActionResult))
def test_an_action_is_closed_as_done_not_needed_or_not_possible(
    busy: Office, clerk: Visitor, number: str, result: ActionResult
):
    action = acting(busy, story(busy, number))[0].action.id
    sent = {"action": action, "result": result.value, "why": "said so"}
    clerk.post(f"/tables/{number}/action", sent)

    closed = acting(busy, story(busy, number))[0].closed
    assert closed is not None
    assert (closed.result, closed.why) == (result, "said so")


def test_an_action_of_an_older_list_is_refused(clerk: Visitor, number: str):
    answer = clerk.post(f"/tables/{number}/action", {"action": "old/x", "result": "done"})

    assert answer.status_code == 400
    assert str(ActionUnknown("old/x")) == (
        "There is no action 'old/x' on this table's list now: more is known of the table since. "
        "Load the page anew and look at the new list."
    )


def test_actions_wait_while_a_page_is_missing(busy: Office, clerk: Visitor, number: str):
    for field in busy.store.form(busy_form(busy)).photos:
        if field.page == 2:
            busy.store.set_aside(busy_form(busy), (field.sha256, field.position), ASIDE, busy.now())
    page = clerk.get(f"/tables/{number}").text

    assert "They wait: of form" in page
    assert "page 2 is missing" in page


def busy_form(office: Office) -> str:
    return next(one.number for one in office.store.forms() if one.kind == "service")


@pytest.mark.parametrize("what", PAPERS)
def test_every_paper_is_printed(clerk: Visitor, number: str, what: str):
    answer = clerk.post(f"/tables/{number}/print", {"what": what})

    assert (answer.mimetype, answer.data[:5]) == ("application/pdf", b"%PDF-")


def test_every_print_stands_on_the_tables_page(clerk: Visitor, number: str):
    for what in ("label", "passport", "card"):
        clerk.post(f"/tables/{number}/print", {"what": what})
    papers = clerk.get(f"/tables/{number}").text.partition('id="papers"')[2]

    for said in ("2 March 2026: passport", "2 March 2026: label", "card, 2 March 2026: out"):
        assert said in papers


def test_printing_a_form_puts_it_out(busy: Office, clerk: Visitor, number: str):
    clerk.post(f"/tables/{number}/print", {"what": "service"})

    assert len([one for one in busy.store.forms(FormState.PRINTED) if one.kind == "service"]) == 1


def test_whom_to_call_is_kept(busy: Office, clerk: Visitor, number: str):
    clerk.post(f"/tables/{number}/contact", {"name": "Quill", "phone": "555-0199"})

    assert busy.store.table(number).contact == Contact(name="Quill", phone="555-0199")


def test_the_due_list_goes_by_urgency_or_by_place(clerk: Visitor):
    urgent, placed = clerk.get("/due").text, clerk.get("/due?by=place").text

    assert urgent.index("Quarry Table") < urgent.index("Nook Table")
    assert "<h2>Pebble Hall (invented), lounge</h2>" in placed


def test_the_days_round_is_one_pdf_with_a_form_for_each_table(
    busy: Office, clerk: Visitor, number: str
):
    answer = clerk.post("/due/round", {"table": [number]})
    pages = len(pypdfium2.PdfDocument(answer.data))
    form = len(print_form(busy, "service", number).layout.pages)

    assert pages > form
    assert answer.headers["Content-Disposition"].startswith('inline; filename="round-')


def test_a_round_without_a_table_is_refused(clerk: Visitor):
    assert str(RoundEmpty()) == (
        "No table was chosen for the round. Choose at least one, then print."
    )
    assert clerk.post("/due/round").status_code == 400


def test_forecasts_that_aged_are_reckoned_once_the_due_list_was_sent(
    busy: Office, clerk: Visitor, clock: Clock
):
    clerk.get("/due").close()
    clock.wait(days=31)
    clerk.sign_in("some-clerk")

    answer = clerk.get("/due")

    assert len(busy.store.ageing(busy.today)) > 0
    answer.close()
    assert busy.store.ageing(busy.today) == {}


@pytest.mark.parametrize("page", ["/", "/forms", "/doubts", "/notes", "/due", "/tables?q=nook"])
def test_no_page_reads_all_tables_or_all_settled_forms(
    clerk: Visitor, monkeypatch: pytest.MonkeyPatch, page: str
):
    def refused(_store: Store, *states: FormState) -> tuple[()]:
        assert states
        assert not {FormState.SETTLED, FormState.CLOSED} & set(states)
        return ()

    monkeypatch.setattr(Store, "tables", lambda _: pytest.fail("all tables"))
    monkeypatch.setattr(Store, "forms", refused)

    assert clerk.get(page).status_code == 200


def test_a_ready_desk_reads_no_template_again(clerk: Visitor, monkeypatch: pytest.MonkeyPatch):
    app = clerk.client.application
    make_ready(app)
    monkeypatch.setattr(app.jinja_loader, "get_source", lambda *_: pytest.fail("read again"))

    assert clerk.get("/due").status_code == 200
    gc.unfreeze()


def feed(clerk: Visitor) -> str:
    found = re.search(r"http://localhost(/calendar/[^<]+\.ics)", clerk.get("/due").text)
    assert found is not None
    return found[1]


def test_the_calendar_has_each_visit_on_its_day(busy: Office, clerk: Visitor, number: str):
    answer = clerk.get(feed(clerk))
    events = Calendar.from_ical(answer.data).walk("VEVENT")
    mine = next(one for one in events if one["uid"].startswith(number))

    assert answer.mimetype == "text/calendar"
    assert mine["dtstart"].dt == story(busy, number).advice.next_visit
    assert mine["summary"] == "Visit: Nook Table"


def test_the_calendar_keeps_rfc_5545s_lines(clerk: Visitor):
    """RFC 5545, 3.1: CRLF ends a line, no line is longer than 75 octets."""
    lines = clerk.get(feed(clerk)).data.split(b"\r\n")

    assert lines[0] == b"BEGIN:VCALENDAR"
    assert max(map(len, lines)) <= 75
    assert not any(b"\n" in line for line in lines)


def test_the_calendar_needs_no_sign_in_but_its_secret(clerk: Visitor):
    path = feed(clerk)
    clerk.post("/sign-out")

    assert clerk.get(path).status_code == 200
    assert clerk.get("/calendar/guess.ics").status_code == 404


def test_a_new_address_closes_the_old_one(clerk: Visitor):
    old = feed(clerk)
    clerk.post("/due/calendar")

    assert (clerk.get(old).status_code, clerk.get(feed(clerk)).status_code) == (404, 200)


def test_the_first_page_says_what_waits(clerk: Visitor, hall: Hall, busy: Office):
    page, values = clerk.get("/").text, len(waiting_on(busy, hall.form).asked)

    assert re.search(r"<b>1</b> .*table has notes to read", page)
    assert re.search(rf"<b>{values}</b> .*values wait", page)
    assert re.search(r"<b>1</b> .*page is still out", page)
