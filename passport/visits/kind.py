"""What a kind of visit is: the form it prints, and the meaning of its answers."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Protocol

from forms.form import Form
from forms.layout import Layout
from passport.table import Table
from passport.visit import Visit
from scan.reading import Reading, Value


@dataclass(frozen=True)
class Context:
    """The printed form that readings belong to.

    ``table`` is the table as it was when the form was printed; ``layout`` tells the form's number,
    its pages and what stood on each.
    """

    table: Table
    printed_on: date
    layout: Layout


class MakesForm(Protocol):
    """Draw up the form of one visit to one table."""

    def __call__(
        self,
        table: Table,
        *,
        printed_on: date,
        last_visit: Visit | None,
        technicians: Sequence[str],
    ) -> Form:
        """Return the form, not yet placed on paper."""


class Interprets(Protocol):
    """Say what the readings of a form mean."""

    def __call__(
        self,
        context: Context,
        readings: Mapping[str, Reading],
        *,
        pages_in: Collection[int],
        received_on: date,
    ) -> Visit:
        """Return the visit: only what is sure, all else in its doubts."""


class Answers(Protocol):
    """Say which answers give a visit: the inverse of interpreting."""

    def __call__(self, visit: Visit, *, printed_on: date | None = None) -> dict[str, Value]:
        """Return a value per field id."""


class MissingPages(Protocol):
    """Say which pages of a form are missing."""

    def __call__(self, layout: Layout, pages_in: Collection[int]) -> tuple[int, ...]:
        """Return the pages that must come in and have not."""


@dataclass(frozen=True)
class VisitKind:
    """One kind of visit. ``name`` is the layout's ``kind`` and the command line's KIND."""

    name: str
    form: MakesForm
    interpret: Interprets
    answers: Answers
    missing_pages: MissingPages
