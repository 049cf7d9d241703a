"""Tables, layouts and filled forms for the visits' tests; all invented."""

from collections.abc import Callable, Mapping
from datetime import date

import pytest

from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from passport.table import Table
from passport.visit import Visit
from passport.visits import Context, service
from scan.reading import Reading, Value
from tests.filled import read_as
from tests.tables import LONG, SHORT

PRINTED = date(2026, 11, 2)
RECEIVED = date(2027, 2, 1)


@pytest.fixture(scope="session")
def long_table() -> Table:
    return LONG


@pytest.fixture(scope="session")
def short_table() -> Table:
    return SHORT


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
