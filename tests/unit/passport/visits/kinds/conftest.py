"""One form of any kind, filled as a hand would have filled it."""

from collections.abc import Callable, Mapping
from datetime import date

import pytest

from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from passport.table import Table
from passport.visits import KINDS, Context
from scan.reading import Reading, Value
from tests.filled import read_as
from tests.tables import described

PRINTED, RECEIVED = date(2026, 11, 2), date(2027, 2, 1)


class Desk:
    """One printed form of a kind, and what its fields read as."""

    def __init__(self, kind: str, table: Table, last_visit: object = None):
        self.kind = KINDS[kind]
        self.form = self.kind.form(
            table, printed_on=PRINTED, last_visit=last_visit, technicians=("A. Reed", "B. Moss")
        )
        layout = place(self.form, Paper.LETTER, FormNumber.new()).layout
        self.context = Context(table, PRINTED, layout)

    def said(self, block: str | None = None) -> str:
        """All words of the form or of one block."""
        blocks = [one for one in self.form.blocks if block in (None, one.name)]
        return " ".join(text.text for one in blocks for text in one.texts)

    def read(
        self, answers: Mapping[str, Value], changed: Mapping[str, Reading] | None = None
    ) -> object:
        readings = read_as(self.context.layout, answers) | dict(changed or {})
        pages = tuple(page.page for page in self.context.layout.pages)
        return self.kind.interpret(self.context, readings, pages_in=pages, received_on=RECEIVED)

    def whys(self, answers: Mapping[str, Value]) -> dict[str, str]:
        return {doubt.field: doubt.why for doubt in self.read(answers).doubts}


@pytest.fixture(scope="session", params=["imperial", "metric"])
def long_table(request: pytest.FixtureRequest) -> Table:
    return described("long", units=request.param)


@pytest.fixture(scope="session")
def invented() -> Callable[..., Table]:
    return described


@pytest.fixture(scope="session")
def desk_of() -> Callable[..., Desk]:
    return Desk
