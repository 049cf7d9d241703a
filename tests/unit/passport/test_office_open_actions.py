"""The next form looks first at what is open; a form's own words are kept with its visit."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from random import Random

import pytest

from forms.pdf import page_count
from passport.demo.tour import INVENTED
from passport.documents.worklist import action_list
from passport.office import Office, open_store, printing
from passport.office.acting import WAITING, still_open
from passport.office.due import due_list
from passport.office.filed import visits_of
from passport.office.history import story
from passport.office.registering import register
from passport.office.told import forms_told
from passport.records import ActionResult
from passport.records.drafts import Decision
from passport.settings import Settings
from passport.visit import BracketPass, Count, LegPass, Pass, Visit
from passport.visits.service import ids
from tests.filled import take_in


@dataclass
class Clock:
    at: datetime

    def __call__(self) -> datetime:
        return self.at


@pytest.fixture
def clock():
    return Clock(datetime(2026, 3, 2, 9, tzinfo=UTC))


@pytest.fixture
def office(tmp_path, clock):
    made = Office(
        open_store(tmp_path / "home"), Settings(technicians=("AB",)), clock, Random(3).getrandbits
    )
    yield made
    made.store.close()


@pytest.fixture
def table(office):
    return register(office, INVENTED / "short.toml").table


def visit(table, printed, day, **more):
    legs = {"L1": LegPass(Count(3), 0, 2, Count(0)), "L2": LegPass(Count(0))}
    nuts = {"B1": BracketPass(Count(0)), "B2": BracketPass(Count(1), 4, Count(3), True)}
    asked = {"passes": (Pass(legs, nuts),), "technician": "AB", "surface": {"damaged": True}}
    return Visit(printed.layout.form, "service", table.number, day, table.kit, **(asked | more))


@pytest.fixture
def visited(office, table):
    printed = printing.print_form(office, "service", table.number)
    take_in(office, printed, visit(table, printed, date(2026, 3, 2)))
    return printed


def test_first_form_of_a_table_has_nothing_to_look_at_first(office, table):
    assert still_open(office, table.number).lines == ()


def test_next_form_names_what_was_turned_planned_unread_and_damaged(office, table, visited):
    first = still_open(office, table.number)

    assert [line.split(":")[0] for line in first.lines] == [
        *("turned last time, read as found", "turn planned", "no value yet", "surface"),
    ]
    assert first.lines[0] == "turned last time, read as found: L1 and B2"
    assert {"L1", "B1", "B2", "B3"} <= first.stations


def test_closed_action_is_not_looked_at_first(office, table, visited):
    told = story(office, table.number)
    for action in action_list(table, told.visits, told.advice):
        decision = Decision("AB", "closed in a test")
        office.store.close_action(
            table.number, action.id, ActionResult.NOT_NEEDED, decision, office.now()
        )

    assert still_open(office, table.number).lines == ()


def test_form_says_so_while_a_page_of_an_earlier_one_is_missing(office, table, visited):
    printed = printing.print_form(office, "service", table.number)
    take_in(office, printed, visit(table, printed, date(2026, 3, 2)), pages=(1,))

    assert still_open(office, table.number).lines == (WAITING,)


def test_form_older_than_the_newest_visit_is_read_and_says_what_it_did_not_know(
    office, table, clock
):
    old = printing.print_form(office, "service", table.number)
    clock.at = datetime(2026, 4, 6, 9, tzinfo=UTC)
    new = printing.print_form(office, "service", table.number)
    take_in(office, new, visit(table, new, date(2026, 4, 6)))
    clock.at = datetime(2026, 5, 4, 9, tzinfo=UTC)
    take_in(office, old, visit(table, old, date(2026, 5, 4)))

    visits = visits_of(office, table)
    assert [one.form for one in visits] == [new.layout.form, old.layout.form]
    assert forms_told(office, table, visits)[visits[1].form][0] == (
        "the form was printed on 2 March 2026, before the visit of 6 April 2026: "
        "its look-ups did not know of that"
    )
    assert forms_told(office, table, visits)[visits[0].form][0].startswith("the form asked for: ")


def test_what_a_form_asked_for_is_kept_as_printed(office, table, visited):
    (only,) = visits_of(office, table)
    printed = {
        field.id: {option.value: option.asks for option in field.options}
        for page in visited.layout.pages
        for field in page.fields
        if field.id.endswith(".found")
    }

    (line,) = forms_told(office, table, (only,))[only.form]
    assert line == (
        f"the form asked for: L1 {printed['L1.pass1.found'][3]}; L2 OK; "
        f"B1 {printed['B1.pass1.found'][0]}; B2 {printed['B2.pass1.found'][1]}"
    )


def test_installation_brings_a_service_form_with_two_pass_sheets(office, table):
    printed = printing.print_form(office, "installation", table.number)

    walks = {
        frozenset(ids.walk_of(field.id) for field in page.fields) for page in printed.along.pages
    }
    assert (printed.layout.kind, printed.along.kind) == ("installation", "service")
    assert {frozenset({2}), frozenset({3})} <= walks
    assert page_count(printed.pdf) == len(printed.layout.pages) + len(printed.along.pages)


def test_third_pass_is_read_as_one_more_walk(office, table):
    printed = printing.print_form(office, "installation", table.number)
    rows = printing.PrintedForm(printed.pdf, printed.along)
    walks = tuple(
        Pass(legs={"L1": LegPass(Count(n), 0, n, Count(n - 1), jam_nut_locked=True)})
        for n in (3, 2, 1)
    )
    take_in(office, rows, visit(table, rows, date(2026, 3, 2), passes=walks))

    (only,) = visits_of(office, table)
    assert [one.legs["L1"].turns_right for one in only.passes] == [3, 2, 1]


def test_sheet_of_a_pass_that_was_not_made_is_not_missing(office, table):
    printed = printing.print_form(office, "installation", table.number)
    rows = printing.PrintedForm(printed.pdf, printed.along)
    main = tuple(range(1, len(rows.layout.pages) - 1))
    take_in(office, rows, visit(table, rows, date(2026, 3, 2)), pages=main)

    assert office.store.form(rows.layout.form).missing == ()


def test_every_print_of_a_table_stands_in_the_records(office, table, clock):
    printing.print_passport(office, table.number)
    printing.print_label(office, table.number)
    clock.at = datetime(2026, 5, 4, 9, tzinfo=UTC)
    printing.print_passport(office, table.number, fold=printing.Fold.BOOKLET)
    printing.print_actions(office, table.number)
    printing.print_handover(office, table.number)

    assert [(str(one.paper), one.on) for one in office.store.table(table.number).prints] == [
        ("passport", date(2026, 3, 2)),
        ("label", date(2026, 3, 2)),
        ("passport as a booklet", date(2026, 5, 4)),
        ("next actions", date(2026, 5, 4)),
        ("hand-over sheet", date(2026, 5, 4)),
    ]


def test_a_print_has_nothing_reckoned_anew(office, table):
    due_list(office)
    waiting = office.store.to_reckon()
    printing.print_label(office, table.number)

    assert (waiting, office.store.to_reckon()) == ({}, {})
