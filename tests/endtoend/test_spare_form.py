"""A spare form goes the whole way: printed for no table, filled, taken, bound, a visit like any."""

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from random import Random

import pytest

from passport.demo import paper
from passport.demo.tour import INVENTED, differences
from passport.office import Office, copies, open_store, printing
from passport.office.binding import bind
from passport.office.doubts import waiting, waiting_on
from passport.office.filed import visits_of
from passport.office.forms_out import rounds
from passport.office.intake import intake
from passport.office.registering import register
from passport.office.settling import accept
from passport.records.form_state import FormState
from passport.settings import Settings
from passport.visit import BracketPass, Count, LegPass, Pass, Visit
from passport.visits import spare
from scan.reading import PageReading, PhotoReading, Value
from tests.filled import read

DAY = date(2026, 3, 2)


class Room:
    """An office with two tables that prints, takes in and settles one spare form."""

    def __init__(self, folder: Path, units: str = "imperial"):
        self.folder = folder
        self.office = Office(
            open_store(folder / "home"),
            Settings(technicians=("AB", "CD")),
            now=lambda: datetime(2026, 3, 2, 18, tzinfo=UTC),
            bits=Random(7).getrandbits,
        )
        self.table = register(self.office, INVENTED / "short.toml").table
        self.other = register(self.office, INVENTED / "middle.toml").table
        spares = copies.print_spares(self.office, units)
        self.printed = printing.PrintedForm(spares.pdf, spares.layouts[0])
        self.form = self.printed.layout.form

    def visit(self) -> Visit:
        first = Pass(
            {"L1": LegPass(Count(2), 0, 2, Count(0), jam_nut_locked=True), "L2": LegPass(Count(0))},
            {f"B{n}": BracketPass(Count(1), 2, Count(2), True) for n in (1, 2, 3)},
        )
        return Visit(self.form, "spare", self.table.number, DAY, self.table.kit, "CD",
                     passes=(first,))  # fmt: skip

    def answer(self, number: str, **more: object) -> dict[str, Value]:
        """Say what the hand writes: the visit, a table's number, and more."""
        answers = spare.answers(self.visit(), printed_on=DAY) | {spare.TABLE: Decimal(number)}
        answers |= {name.replace("__", "."): value for name, value in more.items()}
        asked = {field.id for page in self.printed.layout.pages for field in page.fields}
        self.answers = {name: value for name, value in answers.items() if name in asked}
        return paper.meant(self.printed.layout, self.answers)

    def photograph(self, number: str) -> list[str]:
        """Write, scan and take in; returns what was misread."""
        meant = self.answer(number)
        sitting = paper.Sitting(21, None)
        files = paper.take(self.printed, self.answers, sitting, self.folder / "spare")
        list(intake(self.office, files))
        return list(differences(meant, self.office.store.readings(self.form)))

    def take(self, number: str, **more: object) -> None:
        """Take in as if a photo had been read without any doubt."""
        meant, pages = self.answer(number, **more), self.printed.layout.pages
        read_pages = tuple(
            PageReading(self.form, page.page,
                        {one.id: read(one, meant.get(one.id)) for one in page.fields})
            for page in pages
        )  # fmt: skip
        photo = PhotoReading("spare.pdf", sha256(b"spare").hexdigest(), read_pages)
        self.office.store.record_photo(photo, b"spare", self.office.now())
        bind(self.office, self.form)

    def settle(self, **instead: object) -> None:
        """Answer all doubts with what the hand wrote, but for some."""
        meant = paper.meant(self.printed.layout, self.answers)
        asked = [one.asked for one in waiting(self.office)]
        fields = [one.field.id for sheet in asked for one in sheet]
        accept(self.office, self.form, {one: meant[one] for one in fields} | instead, "clerk")


@pytest.fixture
def room(tmp_path):
    return Room(tmp_path)


@pytest.mark.parametrize("units", ["imperial", pytest.param("metric", marks=pytest.mark.long)])
def test_spare_form_becomes_the_visit_that_the_hand_wrote(tmp_path, units):
    room = Room(tmp_path, units)

    wrong = room.photograph(room.table.number)
    room.settle()

    visit = visits_of(room.office, room.table)[-1]
    assert (wrong, replace(visit, surface={}, notes={})) == ([], room.visit())


def test_spare_form_that_is_out_is_asked_after(room):
    assert [(one.name, one.days) for day in rounds(room.office) for one in day.forms] == [
        ("Spare form", 0)
    ]


def test_wrong_check_digit_waits_for_a_person_and_loses_nothing(room):
    number = room.table.number[:-1] + str((int(room.table.number[-1]) + 1) % 10)

    room.take(number)
    room.settle()
    waits = waiting_on(room.office, room.form).asked
    before = room.office.store.form(room.form)
    accept(room.office, room.form, {spare.TABLE: Decimal(room.table.number)}, "clerk")

    assert [(one.field.id, one.why) for one in waits] == [
        (spare.TABLE, "the check digits do not fit, so a digit is wrong or two are swapped")
    ]
    assert (before.table, before.state) == ("", FormState.IN)
    assert visits_of(room.office, room.table)[-1].passes == room.visit().passes


def test_number_left_blank_waits_for_a_person(room):
    room.take("0")
    room.settle(**{spare.TABLE: None})

    form = room.office.store.form(room.form)
    assert [doubt.field for doubt in form.doubts] == [spare.TABLE]


def test_correcting_the_number_moves_the_visit_to_the_other_table(room):
    room.take(room.table.number)
    room.settle()
    was = len(visits_of(room.office, room.table))
    accept(room.office, room.form, {spare.TABLE: Decimal(room.other.number)}, "clerk")

    found = [len(visits_of(room.office, one)) for one in (room.table, room.other)]
    assert (was, found) == (1, [0, 1])


def test_mark_at_a_station_that_the_table_does_not_have_is_a_doubt(room):
    room.take(room.table.number, B7__pass1__found=3)
    room.settle()

    visit = visits_of(room.office, room.table)[-1]
    assert {doubt.field: doubt.why for doubt in visit.doubts} == {
        "B7.pass1.found": "marked, but the table of this number has no such station"
    }


def test_rebuilding_the_projections_keeps_the_form_with_its_table(room):
    room.take(room.table.number)
    room.settle()
    before = room.office.store.forms_of(room.table.number)
    room.office.store.rebuild()

    assert room.office.store.forms_of(room.table.number) == before
    assert len(before) == 1
