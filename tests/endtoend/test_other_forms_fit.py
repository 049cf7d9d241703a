"""Every kind of form but the service form keeps its page budget and says its words."""

from datetime import date

import pytest

from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Placed, place
from passport.visits import KINDS
from tests.tables import described

PAGES = {"kit": 1, "surface": 1, "card": 2, "survey": 2, "installation": 2, "spare": 3}
CASES = [
    pytest.param((kind, name, units, paper), id=f"{kind}-{name}-{units}-{paper.name}")
    for kind in PAGES
    for name in ("long", "short")
    for units in ("imperial", "metric")
    for paper in Paper
]


def placed(kind: str, name: str, units: str, paper: Paper, technicians: int = 3) -> Placed:
    form = KINDS[kind].form(
        described(name, units=units),
        printed_on=date(2026, 11, 2),
        last_visit=None,
        technicians=[f"Invented Longername the {n}th" for n in range(technicians)],
    )
    return place(form, paper, FormNumber.new())


@pytest.fixture(scope="module", params=CASES)
def done(request: pytest.FixtureRequest) -> Placed:
    return placed(*request.param)


def test_every_kind_but_the_service_form_is_laid_out_here():
    assert PAGES.keys() == KINDS.keys() - {"service"}


def test_form_keeps_its_page_budget(done):
    assert len(done.layout.pages) == PAGES[done.form.kind]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("count", [0, 9, 16])
@pytest.mark.parametrize("kind", PAGES)
def test_long_list_of_technicians_keeps_the_page_budget(kind, count, paper):
    assert len(placed(kind, "long", "imperial", paper, count).layout.pages) == PAGES[kind]


def test_form_says_when_it_was_printed(done):
    assert "Printed 2026-11-02" in done.form.footer


def test_form_never_says_safe(done):
    said = " ".join(text.text for block in done.form.blocks for text in block.texts).lower()

    assert "safe" not in said.replace("unsafe", "").replace("safety data sheet", "")
