"""The service form keeps its page budget on both papers, for the shortest and longest table."""

from dataclasses import replace
from datetime import date

import pytest

from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Placed, place
from passport.table import Kit, Reads, Table, Ways
from passport.visits import KINDS, service
from tests.tables import LONG, OPEN, SHORT, checked, taught

TECHNICIANS = ("A. Reed", "B. Moss", "C. Fern")


def placed(table: Table, paper: Paper) -> Placed:
    """Place the form of a table whose kit was checked and of which much is still open."""
    form = KINDS["service"].form(
        checked(table),
        printed_on=date(2026, 11, 2),
        last_visit=None,
        technicians=TECHNICIANS,
        look_first=OPEN,
    )
    return place(form, paper, FormNumber.new())


def pages(done: Placed) -> list[bool]:
    """Whether each page is a pass sheet."""
    return [
        all(".pass2." in field.id for field in page.fields if not field.id.startswith("pass"))
        for page in done.layout.pages
    ]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_five_legs_and_eight_brackets_take_three_pages_and_a_pass_sheet(units, paper):
    assert pages(placed(replace(LONG, units=units), paper)) == [False, False, False, True]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_look_ups_that_differ_at_every_bracket_and_leg_take_no_page_more(units, paper):
    done = placed(taught(replace(LONG, units=units)), paper)

    assert pages(done) == [False, False, False, True]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("ways", list(Ways))
def test_installation_brings_two_pass_sheets_whatever_is_read_and_learned(ways, paper):
    table = taught(replace(LONG, kit=replace(LONG.kit, cross_read=ways)))
    form = KINDS["service"].form(
        checked(table), printed_on=date(2026, 11, 2), last_visit=None, technicians=TECHNICIANS
    )

    done = place(service.with_third_pass(form, table), paper, FormNumber.new())
    assert {"B8.pass3.after", "L5.pass3.turns.left"} <= {
        field.id for page in done.layout.pages for field in page.fields
    }


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("by", list(Reads))
def test_legs_read_both_ways_round_take_no_page_more(by, paper):
    kit = replace(LONG.kit, cross_read=Ways.BOTH, cross_by=by, display_step_deg=0.01)
    main = [pages(placed(replace(table, kit=kit), paper)).count(False) for table in (LONG, SHORT)]

    assert main == [3, 2]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_two_legs_and_three_brackets_take_two_pages_and_a_pass_sheet(units, paper):
    assert pages(placed(replace(SHORT, units=units), paper)) == [False, False, True]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("count", [0, 1, 8, 9, 16])
def test_long_list_of_technicians_keeps_the_page_budget(paper, count):
    form = KINDS["service"].form(
        SHORT,
        printed_on=date(2026, 11, 2),
        last_visit=None,
        technicians=[f"Invented Longername the {n}th" for n in range(count)],
        look_first=OPEN,
    )

    assert pages(place(form, paper, FormNumber.new())) == [False, False, True]


@pytest.mark.parametrize("paper", list(Paper))
def test_level_shorter_than_the_board_keeps_the_page_budget(paper):
    kit = Kit("Level 16", 406.4, 393.7, 0.1, None, 0.19, 0.003)

    assert pages(placed(replace(SHORT, kit=kit), paper)) == [False, False, True]


@pytest.mark.parametrize("paper", list(Paper))
def test_page_of_the_longest_form_holds_its_part_of_the_work(paper):
    first, second, third, _ = placed(LONG, paper).layout.pages

    found = [
        next(page for page in (first, second, third) if any(f.id == i for f in page.fields)).page
        for i in ("air.humidity", "rise.B.pass1.after", "B1.pass1.found", "B8.pass1.after",
                  "shot.left.from_A", "signature")
    ]  # fmt: skip
    assert found == [1, 1, 2, 2, 3, 3]
