"""What a form came to is remembered, and a table that moved begins anew: by the office's steps."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from importlib import resources
from pathlib import Path

import pytest

from forms.field import Choice, Field, Note, Scale, Tick
from forms.layout import Layout
from passport.leveling.advise import advise
from passport.leveling.posterior import filter as posterior
from passport.leveling.standing import Standing, standing
from passport.office import Office, due, filed, history, open_store, printing, registering, resumed
from passport.office.due import due_list
from passport.office.filed import all_visits_of, visits_of
from passport.office.history import out_of_use, story
from passport.office.resumed import History
from passport.records import Decision
from passport.records.files import sha256
from passport.settings import Settings
from passport.table import Table
from passport.visit import Visit
from passport.visits.service import ids
from scan.reading import PageReading, PhotoReading, Reading, Status, Value

NAME = "Xan-Invented"
CLERK = Decision("C", "sold")


@dataclass
class Clock:
    now: datetime = datetime(2026, 3, 2, 12, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


def sure(field: Field, ticked: str) -> Reading:
    match field:
        case Tick():
            return Reading(Status.SURE, field.id == ticked, 0.999)
        case Scale():
            return Reading(Status.SURE, min((o.value for o in field.options), key=abs), 0.999)
        case Choice(id="technician"):
            return Reading(Status.SURE, NAME, 0.999)
        case Note():
            return Reading(Status.SURE, None, 0.999, ink=False)
        case _:
            return Reading(Status.EMPTY, None, 0.999)


def take_in(
    office: Office, layout: Layout, ticked: str = "", said: Mapping[str, Value] | None = None
) -> None:
    readings = {f.id: sure(f, ticked) for page in layout.pages for f in page.fields}
    readings |= {name: Reading(Status.SURE, one, 0.999) for name, one in (said or {}).items()}
    pages = tuple(
        PageReading(layout.form, page.page, {f.id: readings[f.id] for f in page.fields})
        for page in layout.pages
    )
    content = b"%PDF-1.7 " + layout.form.encode()
    photo = PhotoReading("f.pdf", sha256(content), pages)
    office.store.record_photo(photo, content, office.now())


@pytest.fixture
def office(tmp_path: Path) -> Iterator[Office]:
    with open_store(tmp_path) as store:
        yield Office(store, Settings(technicians=(NAME,)), Clock())


@pytest.fixture
def table(office: Office) -> Table:
    path = resources.files("passport") / "invented" / "short.toml"
    return registering.register(office, Path(str(path))).table


@pytest.fixture
def layout(office: Office, table: Table) -> Layout:
    """Print one form and take it in."""
    layout = printing.print_form(office, "service", table.number).layout
    take_in(office, layout)
    return layout


@pytest.mark.usefixtures("layout")
def test_a_form_is_read_once_and_remembered_as_it_was(office, table, monkeypatch):
    first = visits_of(office, table)
    monkeypatch.setattr(type(office.store), "layout_of", lambda *_: pytest.fail("read again"))

    assert visits_of(office, table) == first
    assert [visit.technician for visit in first] == [NAME]


def test_what_a_person_settles_counts_at_once(office, table, layout):
    before = visits_of(office, table)[0]
    office.store.settle(layout.form, ids.UNSAFE, True, CLERK, office.now())

    after = visits_of(office, table)[0]

    assert (before.unsafe, after.unsafe) == (False, True)


@pytest.mark.usefixtures("layout")
def test_what_another_program_made_of_a_form_counts_for_nothing(office, table, monkeypatch):
    office_reads = visits_of(office, table)
    monkeypatch.setattr(filed, "stamp", lambda: "another")
    monkeypatch.setattr(filed, "record_of", lambda *_: replace(office_reads[0], unsafe=True))

    assert [visit.unsafe for visit in visits_of(office, table)] == [True]


def test_what_was_read_before_another_record_came_is_not_remembered(office, table, layout):
    stamp = filed.stamp()
    (old,) = office.store.tellings(table.number, stamp)
    office.store.settle(layout.form, ids.UNSAFE, True, CLERK, office.now())

    office.store.tell(table.number, stamp, old._replace(body=b"old"))

    assert [one.body for one in office.store.tellings(table.number, stamp)] == [None]


def test_a_forgotten_name_is_not_remembered_either(office, table, layout, tmp_path):
    def everywhere() -> bool:
        files = (path for path in tmp_path.rglob("*") if path.is_file())
        return any(NAME.encode() in path.read_bytes() for path in files)

    visits_of(office, table)
    before = everywhere()

    office.store.forget_form(layout.form, CLERK, office.now())

    assert (before, everywhere()) == (True, False)


@pytest.mark.usefixtures("layout")
def test_how_a_table_stands_is_reckoned_once_and_remembered_as_it_was(office, table, monkeypatch):
    first = story(office, table.number)
    monkeypatch.setattr(resumed, "standing", lambda *_: pytest.fail("reckoned again"))

    assert story(office, table.number) == first
    assert first.standing == standing(table, visits_of(office, table))
    assert first.advice == advise(table, first.visits, today=office.today)


def test_how_a_table_stands_is_reckoned_anew_after_each_record_of_it(office, table, layout):
    before = story(office, table.number).advice.state
    count = next(f.id for p in layout.pages for f in p.fields if f.id.endswith("L1.pass1.found"))
    office.store.settle(layout.form, count, 3, CLERK, office.now())

    assert story(office, table.number).advice.state != before


@pytest.mark.usefixtures("layout")
def test_how_another_program_held_a_table_to_stand_counts_for_nothing(office, table, monkeypatch):
    stands = story(office, table.number).standing
    monkeypatch.setattr(history, "standing_stamp", lambda *_: "another")
    monkeypatch.setattr(resumed, "standing", lambda *_: replace(stands, passed=()))

    assert story(office, table.number).passed == ()


def test_what_was_reckoned_before_another_record_came_is_not_remembered(office, table, layout):
    stood = office.store.stood(table.number)
    office.store.settle(layout.form, ids.UNSAFE, True, CLERK, office.now())

    office.store.stand(table.number, stood._replace(stamp="program", body=b"old"))

    assert office.store.stood(table.number).under("program") is None


@pytest.fixture
def visited(office: Office, table: Table, monkeypatch: pytest.MonkeyPatch) -> list[Visit]:
    """Make five visits, reckon, forget as another process does; then list what is gone through."""
    for _ in range(5):
        visit(office, table)
    story(office, table.number)
    went_through = list[Visit]()

    def during(*given):
        went_through.append(given[3])
        return plain(*given)

    plain = posterior.during
    monkeypatch.setattr(posterior, "during", during)
    as_another_process(monkeypatch)
    return went_through


def as_another_process(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(posterior, "_REMEMBERED", {})
    monkeypatch.setattr(posterior, "_BELIEVED", {})


def visit(office: Office, table: Table) -> Layout:
    office.now.now += timedelta(days=20)
    layout = printing.print_form(office, "service", table.number).layout
    now = office.now()
    take_in(office, layout, said={ids.MONTH: now.month, ids.DAY: Decimal(now.day)})
    return layout


def anew(office: Office, table: Table, monkeypatch: pytest.MonkeyPatch) -> Standing:
    as_another_process(monkeypatch)
    return standing(table, visits_of(office, table))


def gone_through(visited: list[Visit]) -> set[str]:
    return {one.form for one in visited}


def test_one_more_visit_goes_on_from_what_was_kept(office, table, visited, monkeypatch):
    """In a process of its own, and to the last bit what all visits together come to."""
    layout = visit(office, table)
    stands = story(office, table.number).standing
    through, last = gone_through(visited), visits_of(office, table)[-2].form

    assert through == {last, layout.form}
    assert stands == anew(office, table, monkeypatch)


def test_a_change_of_the_last_visit_goes_on_from_the_one_before(
    office, table, visited, monkeypatch
):
    last = visits_of(office, table)[-1].form
    office.store.settle(last, ids.UNSAFE, True, CLERK, office.now())
    stands = story(office, table.number).standing
    through = gone_through(visited)

    assert through == {last}
    assert stands == anew(office, table, monkeypatch)


def test_a_change_of_an_early_visit_goes_through_all_of_them(office, table, visited, monkeypatch):
    early = visits_of(office, table)[1]
    station = next(iter(early.passes[0].brackets))
    office.store.settle(early.form, f"{station}.pass1.found", 3, CLERK, office.now())
    stands = story(office, table.number).standing

    assert len(gone_through(visited)) == 5
    assert stands == anew(office, table, monkeypatch)


def test_a_print_changes_nothing_of_how_a_table_stands(office, table, visited, monkeypatch):
    before = story(office, table.number).standing
    printing.print_form(office, "service", table.number)
    monkeypatch.setattr(resumed, "standing", lambda *_: pytest.fail("reckoned again"))

    assert story(office, table.number).standing == before
    assert gone_through(visited) == {visits_of(office, table)[-1].form}  # for the form's look-ups


def test_what_is_kept_of_a_history_names_nobody(office, table, layout):
    visits = visits_of(office, table)
    others = tuple(replace(one, technician="Somebody", notes={"n": "c"}) for one in visits)
    elsewhere = replace(table, name="Other", site="Elsewhere", office_phone="555-0199")

    mine, theirs = History("s", table, visits), History("s", elsewhere, others)

    assert mine.names == theirs.names


@pytest.mark.usefixtures("layout")
def test_a_table_that_moved_has_no_visit_where_it_stands_until_one_is_made(office, table):
    office.store.move(table.number, "Mill Hall", date(2026, 3, 3), CLERK, office.now())

    assert (visits_of(office, table), len(all_visits_of(office, table))) == ((), 1)
    assert due_list(office)[0].why == "Nothing was measured yet: the first leveling is due."
    assert due_list(office)[0].site == "Mill Hall"


@pytest.mark.usefixtures("layout")
def test_the_first_visit_after_a_move_bears_its_mark(office, table):
    office.store.move(table.number, "Mill Hall", date(2026, 3, 3), CLERK, office.now())
    office.now.now += timedelta(days=7)
    take_in(office, printing.print_form(office, "service", table.number).layout)

    marks = [visit.changed & {filed.MOVED} for visit in visits_of(office, table)]

    assert marks == [frozenset(), {filed.MOVED}]


def test_a_move_makes_no_table_fit_for_use(office, table):
    layout = printing.print_form(office, "service", table.number).layout
    take_in(office, layout, ids.UNSAFE)
    office.store.move(table.number, "Mill Hall", date(2026, 3, 3), CLERK, office.now())

    assert out_of_use(office, table)
    assert history.story(office, table.number).stopped_by == "form of 2 March 2026, before the move"


@pytest.mark.usefixtures("layout")
def test_due_list_says_overdue_when_the_day_has_passed_without_reckoning_again(office, monkeypatch):
    first = due_list(office)[0]
    monkeypatch.setattr(due, "_outlook", lambda *_: pytest.fail("reckoned again"))
    office.now.now += timedelta(days=120)

    later = due_list(office)[0]

    assert later == replace(first, why=first.why + " Overdue.")


@pytest.mark.usefixtures("layout")
def test_outlooks_that_aged_are_reckoned_anew(office, table):
    due_list(office)
    office.now.now += timedelta(days=31)

    due.reckon_aged(office)

    assert office.store.ageing(office.today) == {}
    assert set(office.store.ageing(office.today + timedelta(days=1))) == {table.number}
