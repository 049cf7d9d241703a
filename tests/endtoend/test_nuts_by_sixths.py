"""Nuts that are turned by sixths, the whole way: description, paper, photo, response, plan."""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from random import Random

import pypdfium2
import pytest

from forms.field import Field
from passport.demo import paper
from passport.demo.technician import Round, visit
from passport.demo.truth import Truth
from passport.documents.wording import turns as turns_words
from passport.leveling.lookup import hollow_turns
from passport.leveling.response import nut_responses
from passport.office import Office, printing
from passport.office.filed import visits_of
from passport.office.history import advice_for
from passport.office.intake import intake
from passport.office.registering import register
from passport.records.store import Store
from passport.settings import Settings
from passport.table import Steps, Table
from passport.visit import Count, Visit
from passport.visits import KINDS
from passport.visits.service.brackets import BOUNDS, VALUES
from passport.visits.service.words import hollow_words

SHORT = Path(__file__).parents[2] / "passport" / "invented" / "short.toml"
DAY = date(2026, 3, 2)
HOLLOW_MM, NUT_MM = 0.30, 0.05  # at the start; what a quarter turn of each nut does; invented


@dataclass(frozen=True)
class Trip:
    """A table from its description to the record of its first visit."""

    office: Office
    table: Table
    printed: printing.PrintedForm
    made: Visit  # as the hand made it
    left: Truth
    read: Visit  # as it was read

    @property
    def fields(self) -> dict[str, Field]:
        """Give the printed fields by id."""
        return {field.id: field for page in self.printed.layout.pages for field in page.fields}


@pytest.fixture(scope="module")
def trip(tmp_path_factory: pytest.TempPathFactory) -> Trip:
    """Describe, print, turn as the paper says, write, scan, read; B2 stays too hollow."""
    folder = tmp_path_factory.mktemp("sixths")
    office = Office(
        Store.open(folder / "home"),
        Settings(phone="555-0100", technicians=("AB", "CD")),
        now=lambda: datetime(2026, 3, 2, 18, tzinfo=UTC),
        bits=Random(7).getrandbits,
    )
    described = folder / "sixths.toml"
    described.write_text('nuts_by = "sixths"\n' + SHORT.read_text(encoding="utf-8"))
    table = register(office, described).table
    printed = printing.print_form(office, "service", table.number)
    names = [one.name for one in table.brackets]
    slopes = {leg.name: 0.0 for leg in table.legs}
    truth = Truth(slopes, dict.fromkeys(names, HOLLOW_MM), {}, dict.fromkeys(names, NUT_MM))
    made, left = visit(table, truth, Round(printed.layout.form, DAY, "CD", 21.0, 41.0))
    written = {field.id for page in printed.layout.pages for field in page.fields}
    given = KINDS["service"].answers(made, printed_on=DAY)
    given = {name: value for name, value in given.items() if name in written}
    given[max(name for name in given if name.startswith("B2.") and name.endswith("after"))] = 6
    list(intake(office, paper.take(printed, given, paper.Sitting(21, None), folder / "scan")))
    (read,) = visits_of(office, table)
    return Trip(office, table, printed, made, left, read)


def words(pdf: bytes) -> str:
    with pypdfium2.PdfDocument(pdf) as document:
        pages = [page.get_textpage().get_text_bounded() for page in document]
    return " ".join(" ".join(pages).split())


def test_paper_names_sixths_over_the_boxes_and_asks_for_them(trip):
    bracket, counts = trip.table.brackets[0], [Count(n, n in BOUNDS) for n in VALUES]
    said = [hollow_words(hollow_turns(trip.table, bracket, count)) for count in counts]
    text = words(trip.printed.pdf)

    assert [option.asks for option in trip.fields["B1.pass1.found"].options] == said
    assert trip.fields["B1.pass1.turns"].label == "B1 sixths of a turn"
    assert "sixths of a turn, inner nut" in text
    assert "quarter turns, inner nut" not in text


def test_turns_are_read_as_the_sixths_that_the_hand_made(trip):
    turns = [one.brackets["B1"].turns for one in trip.read.passes]

    assert trip.read.nuts_by is Steps.SIXTHS
    assert turns == [one.brackets["B1"].turns for one in trip.made.passes]
    # a sixth is two thirds of a quarter: what the invented nut truly did
    assert sum(turns) * 4 / 6 * NUT_MM == pytest.approx(trip.left.hollows["B1"] - HOLLOW_MM)


def test_response_is_learned_per_quarter_turn_whatever_the_steps(trip):
    response = nut_responses(trip.table, [trip.read])["B1"]
    taken_for_quarters = replace(trip.read, nuts_by=Steps.QUARTERS)

    assert abs(response.mean_mm - NUT_MM) <= 2 * response.u_mm
    assert nut_responses(trip.table, [taken_for_quarters])["B1"].mm < response.mm


def test_next_turn_is_told_in_sixths_by_advice_and_paper(trip):
    parts = [m for m in advice_for(trip.office, trip.table.number).moves if m.station == "B2"]
    text = words(printing.print_actions(trip.office, trip.table.number))

    assert {one.by for one in parts} == {Steps.SIXTHS}
    assert "A sixth of a turn moves" in parts[0].why
    assert f"Inner nut: {turns_words(parts[0].steps, Steps.SIXTHS)}" in text
