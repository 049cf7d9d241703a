"""The hand-over sheet: one page, all that a customer is told, both signatures."""

from dataclasses import replace
from datetime import date, datetime
from io import BytesIO

import pypdfium2
import pytest

from forms.paper import Paper
from passport.documents import texts
from passport.documents.handover import SHOWN, handover_pdf, sets

CLOCK = datetime(2026, 11, 24, 9, 30)
LONGEST = "The Table With The Longest Name That Anybody Ever Wrote In A Description"


def pages(pdf: bytes) -> list[str]:
    return [
        " ".join(page.get_textpage().get_text_range().replace("\ufffe", "-").split())
        for page in pypdfium2.PdfDocument(BytesIO(pdf))
    ]


@pytest.fixture(scope="module")
def said(story) -> str:
    return pages(handover_pdf(story, Paper.A4, CLOCK))[0]


@pytest.mark.parametrize("paper", list(Paper))
def test_sheet_of_a_stopped_table_with_the_longest_name_is_one_page(story, paper):
    visits = (story.visits[0], replace(story.visits[-1], unsafe=True))
    table = replace(story.table, name=LONGEST, site=LONGEST)
    found = pages(handover_pdf(replace(story, table=table, visits=visits), paper, CLOCK))

    assert (len(found), texts.OUT_OF_USE_CUSTOMER in found[0]) == (1, True)


@pytest.mark.parametrize("caution", texts.CUSTOMER_CAUTIONS)
def test_sheet_carries_each_caution_to_the_customer(said, caution):
    assert caution in said


@pytest.mark.parametrize("advised", [*texts.EACH_TIME, *texts.WEEKLY, *texts.MONTHLY])
def test_sheet_says_what_to_do_daily_weekly_and_monthly(said, advised):
    assert advised.what in said


def test_sheet_says_when_the_next_visit_is_and_how_to_reach_the_office(said):
    assert ("January 2027" in said, said.count("+1 555 010 0199")) == (True, 2)


def test_sheet_asks_for_two_signatures_and_what_was_shown(said):
    signed = "handed over by (technician) received by (for the people at the table) date"

    assert (signed in said, [item for item in SHOWN if item not in said]) == (True, [])


def test_what_was_set_runs_from_the_least_to_the_greatest_value(story):
    cross, hollow, rise = sets(story.table, story.advice.state)

    assert cross.left == "0.019 ± 0.003 right high to 0.011 ± 0.003 left high"
    assert (hollow.asked, hollow.left) == ("0.020 ± 0.0075 in", "0.012 ± 0.004 to 0.031 ± 0.004")
    assert rise.stands == "1 undecided"


def test_station_without_a_value_is_not_made_up(story):
    unknown = replace(story.advice.state[0], value=None, low=None, high=None)

    assert sets(story.table, (unknown,))[0].left == "not measured"


def test_sheet_names_the_feet_and_nuts_that_were_turned(said):
    assert "Turned on that day: feet at L1 and L3; feet at end A and B; nuts at B2." in said


def test_new_table_has_a_sheet_without_a_date(story):
    advice = replace(story.advice, as_of=None)
    new = replace(story, visits=(), former=None, advice=advice, today=date(2026, 11, 24))

    assert "What was set What Asked for" in pages(handover_pdf(new, Paper.A4, CLOCK))[0]
