"""The whole job through the booth: print, fill, photograph, read, level, remember, act."""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from random import Random

import pypdfium2
import pytest

from passport.demo import paper
from passport.demo.errors import ReadingDiffers
from passport.demo.technician import Round, visit
from passport.demo.tour import INVENTED, differences
from passport.demo.truth import Truth
from passport.office import Office, printing
from passport.office.filed import visits_of
from passport.office.history import advice_for
from passport.office.intake import State, intake
from passport.office.registering import register
from passport.records.store import Store
from passport.settings import Settings
from passport.visits import KINDS
from scan.reading import Reading, Status, Value

DAY = date(2026, 3, 2)


class Shop:
    """An office with one registered table, and a hand that fills its forms."""

    def __init__(self, home: Path, name: str = "short"):
        self.folder = home
        self.office = Office(
            Store.open(home / "home"),
            Settings(phone="555-0100", technicians=("AB", "CD")),
            now=lambda: datetime(2026, 3, 2, 18, tzinfo=UTC),
            bits=Random(7).getrandbits,
        )
        self.table = register(self.office, INVENTED / f"{name}.toml").table

    def truth(self) -> Truth:
        """Make a table that is a little out everywhere, the same in every test."""
        slopes = {leg.name: 1.5 for leg in self.table.legs}
        hollows = {one.name: 0.30 for one in self.table.brackets}
        return Truth(slopes, hollows, {}, {one.name: 0.05 for one in self.table.brackets})

    def answers(self, printed: printing.PrintedForm) -> dict[str, Value]:
        order = Round(printed.layout.form, DAY, "CD", 21.0, 41.0)
        made, _ = visit(self.table, self.truth(), order)
        asked = paper.meant(printed.layout, {})
        given = KINDS["service"].answers(made, printed_on=DAY)
        return {name: value for name, value in given.items() if name in asked}

    def go(self, answers: Mapping[str, Value], printed: printing.PrintedForm) -> list[Path]:
        """Fill the form and take it through a scanner."""
        sitting = paper.Sitting(21, None)
        return paper.take(printed, answers, sitting, self.folder / printed.layout.form)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path)


def test_recorded_visit_is_what_the_hand_wrote(shop):
    printed = printing.print_form(shop.office, "service", shop.table.number)
    answers = shop.answers(printed)

    states = [taken.state for taken in intake(shop.office, shop.go(answers, printed))]

    readings = shop.office.store.readings(printed.layout.form)
    meant = {
        name: value
        for name, value in paper.meant(printed.layout, answers).items()
        if name in readings
    }
    assert (len(states), list(differences(meant, readings))) == (1, [])


@pytest.mark.parametrize("cards", [5, 7])
def test_a_mark_in_the_picture_stands_on_the_next_actions(shop, cards):
    """The last count at B2 decides what is printed there: (n + ½) × 0.0052 in, within its ±."""
    printed = printing.print_form(shop.office, "service", shop.table.number)
    answers = shop.answers(printed)
    last = max(name for name in answers if name.startswith("B2.") and name.endswith("after"))
    list(intake(shop.office, shop.go({**answers, last: cards}, printed)))

    text = text_of(printing.print_actions(shop.office, shop.table.number))

    value, around = re.findall(r"B2 4 ft 6 in.*?As left ([\d.]+) ± ([\d.]+) in hollow", text)[0]
    assert abs(float(value) - (cards + 0.5) * 0.0052) <= float(around)


def text_of(pdf: bytes) -> str:
    with pypdfium2.PdfDocument(pdf) as document:
        pages = [page.get_textpage().get_text_bounded() for page in document]
    return " ".join(" ".join(pages).split())


def test_the_same_photo_twice_is_one_visit(shop):
    printed = printing.print_form(shop.office, "service", shop.table.number)
    photos = shop.go(shop.answers(printed), printed)

    list(intake(shop.office, photos))
    again = [taken.state for taken in intake(shop.office, photos)]

    assert (again, len(visits_of(shop.office, shop.table))) == ([State.SEEN_BEFORE], 1)


def test_two_workers_record_what_one_records(tmp_path):
    one, two = Shop(tmp_path / "one"), Shop(tmp_path / "two")
    found = []
    for shop, workers in ((one, 1), (two, 2)):
        printed = printing.print_form(shop.office, "service", shop.table.number)
        photos = shop.go(shop.answers(printed), printed)
        list(intake(shop.office, photos, workers=workers))
        readings = shop.office.store.readings(printed.layout.form)
        found.append({name: replace(one, crop=None) for name, one in readings.items()})

    assert found[0] == found[1]


def test_sheet_of_a_form_that_was_never_printed_here_says_how_to_bring_it_in(tmp_path):
    here, elsewhere = Shop(tmp_path / "here"), Shop(tmp_path / "elsewhere")
    other = replace(elsewhere.office, bits=Random(99).getrandbits)
    printed = printing.print_form(other, "service", elsewhere.table.number)
    photos = elsewhere.go(elsewhere.answers(printed), printed)

    taken = next(iter(intake(here.office, photos)))

    assert (taken.state, "layouts add" in taken.messages[0]) == (State.CANNOT_BE_USED, True)


def test_table_without_visits_has_advice_and_no_turns(shop):
    advice = advice_for(shop.office, shop.table.number)

    assert (advice.moves, advice.verdict.value) == ((), "not measured")


def test_demo_stops_at_a_reading_that_nobody_wrote():
    readings = {"L1.found": Reading(Status.SURE, 3, 0.999)}

    assert list(differences({"L1.found": 2}, readings)) == ["L1.found: written 2, read 3 (sure)"]


def test_reading_that_differs_is_told_whole():
    error = ReadingDiffers(["L1.found: written 2, read 3 (sure)"])

    assert str(error) == (
        "1 readings are not what the hand wrote:\n"
        "  L1.found: written 2, read 3 (sure)\n"
        "Look at the photos in the demo's folder and report what you see."
    )
