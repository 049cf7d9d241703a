"""Tables, layouts and filled forms for the visits' tests; all invented."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date

import pytest

from forms.field import Note, Tick
from forms.layout import Layout
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from passport.table import (
    Board,
    Bracket,
    FootType,
    Kit,
    Leg,
    Role,
    Side,
    Table,
    Target,
    Targets,
    Thread,
)
from passport.visit import Visit
from passport.visits import Context, service
from scan.reading import Reading, Status, Value

PRINTED = date(2026, 11, 2)
RECEIVED = date(2027, 2, 1)
UNC = Thread("3/8-16 UNC", 1.5875)
ROLES = {
    2: (Role.END, Role.END),
    3: (Role.END, Role.CENTRE, Role.END),
    5: (Role.END, Role.SUPPORTING, Role.CENTRE, Role.SUPPORTING, Role.END),
}


def invented(legs: int, brackets: int, length_mm: float, **changes: object) -> Table:
    """Invent a table with evenly spread legs and brackets."""
    step = (length_mm - 900.0) / (legs - 1)
    table = Table(
        "100000181",
        "The blue room's table",
        "House by the mill",
        Board(length_mm, 508.0, 76.2, "hard maple"),
        tuple(
            Leg(f"L{n + 1}", 450.0 + n * step, role, 508.0, FootType.STUD_IN_LEG, UNC)
            for n, role in enumerate(ROLES[legs])
        ),
        tuple(
            Bracket(f"B{n + 1}", length_mm * (n + 0.5) / brackets, UNC, Side.LEFT)
            for n in range(brackets)
        ),
        Targets(Target(0.508, 0.1905), Target(0.0, 0.8), None if legs == 2 else Target(1.6, 0.4)),
        Kit("Level 24", 609.6, 584.2, 0.1, None, 0.19, 0.003),
    )
    return replace(table, **changes)


def read_as(layout: Layout, answers: Mapping[str, Value]) -> dict[str, Reading]:
    """Read every field as if a hand had written these answers and no others."""
    return {field.id: _reading(field, answers) for page in layout.pages for field in page.fields}


def _reading(field: object, answers: Mapping[str, Value]) -> Reading:
    value = answers.get(field.id)
    if isinstance(field, Note):
        return Reading(Status.SURE, None, 1.0, crop=value, ink=value is not None)
    if isinstance(field, Tick):
        return Reading(Status.SURE, value is True, 1.0)
    return Reading(Status.EMPTY if value is None else Status.SURE, value, 1.0)


@pytest.fixture(scope="session")
def long_table() -> Table:
    return invented(5, 8, 6705.6)


@pytest.fixture(scope="session")
def short_table() -> Table:
    return invented(2, 3, 2743.2)


@pytest.fixture(scope="session")
def context_of() -> Callable[..., Context]:
    def make(table: Table, paper: Paper = Paper.LETTER) -> Context:
        form = service.form(
            table, printed_on=PRINTED, last_visit=None, technicians=("A. Reed", "B. Moss")
        )
        return Context(table, PRINTED, place(form, paper, FormNumber.new()).layout)

    return make


@pytest.fixture(scope="session")
def long_context(long_table: Table, context_of: Callable[..., Context]) -> Context:
    return context_of(long_table)


@pytest.fixture(scope="session")
def visit_of() -> Callable[..., Visit]:
    """Interpret answers on all pages, or with some readings changed."""

    def make(
        context: Context, answers: Mapping[str, Value], changed: Mapping[str, Reading] = {},
        pages: tuple[int, ...] | None = None,
    ) -> Visit:  # fmt: skip
        readings = read_as(context.layout, answers) | dict(changed)
        pages_in = pages or tuple(page.page for page in context.layout.pages)
        return service.interpret(context, readings, pages_in=pages_in, received_on=RECEIVED)

    return make
