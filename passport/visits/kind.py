"""What a kind of visit is: the form it prints, and the meaning of its answers."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Generic, Protocol, TypeVar

from forms.form import Form
from forms.layout import Layout
from passport.table import Table
from passport.visit import Doubt, Visit
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


@dataclass(frozen=True)
class LookFirst:
    """What a visit looks at first: the next actions that are still open.

    ``lines`` say what and where, in the order of the work; ``stations`` are the legs and brackets
    among them.
    """

    lines: tuple[str, ...] = ()
    stations: frozenset[str] = frozenset()


NOTHING_OPEN = LookFirst()


class Record(Protocol):
    """What every kind's record says of itself; what else it holds is the kind's own affair."""

    @property
    def form(self) -> str:
        """Number of the form that it was read from."""

    @property
    def table(self) -> str:
        """Number of the table."""

    @property
    def date(self) -> date | None:
        """Day that is written on it; None while in doubt."""

    @property
    def unsafe(self) -> bool:
        """Whether it says that the table must not be used."""

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """List what a person must settle."""

    @property
    def missing_pages(self) -> tuple[int, ...]:
        """List the pages that have not come in."""


R = TypeVar("R")
Given_co = TypeVar("Given_co", covariant=True)
Asked_contra = TypeVar("Asked_contra", contravariant=True)


class MakesForm(Protocol):
    """Draw up the form of one visit to one table."""

    def __call__(
        self,
        table: Table,
        *,
        printed_on: date,
        last_visit: Visit | None,
        technicians: Sequence[str],
        look_first: LookFirst = NOTHING_OPEN,
    ) -> Form:
        """Return the form, not yet placed on paper."""


class Interprets(Protocol[Given_co]):
    """Say what the readings of a form mean."""

    def __call__(
        self,
        context: Context,
        readings: Mapping[str, Reading],
        *,
        pages_in: Collection[int],
        received_on: date,
    ) -> Given_co:
        """Return the record: only what is sure, all else in its doubts."""


class Answers(Protocol[Asked_contra]):
    """Say which answers give a record: the inverse of interpreting."""

    def __call__(
        self, record: Asked_contra, /, *, printed_on: date | None = None
    ) -> dict[str, Value]:
        """Return a value per field id."""


class MissingPages(Protocol):
    """Say which pages of a form are missing."""

    def __call__(self, layout: Layout, pages_in: Collection[int]) -> tuple[int, ...]:
        """Return the pages that must come in and have not."""


class Tells(Protocol[Asked_contra]):
    """Say a record in lines, for whoever reads the history."""

    def __call__(self, table: Table, record: Asked_contra, /) -> tuple[str, ...]:
        """Return the lines; none for what the history says by itself."""


@dataclass(frozen=True)
class VisitKind(Generic[R]):
    """One kind of visit. ``name`` is the layout's ``kind`` and the command line's KIND.

    ``gives`` is what its forms are read as. Only kinds that give a ``Visit`` hold leveling numbers:
    they make the history that advice rests on, all others stand beside it.
    """

    name: str
    gives: type[R]
    form: MakesForm
    interpret: Interprets[R]
    answers: Answers[R]
    missing_pages: MissingPages
    tell: Tells[R]


AnyKind = VisitKind[Any]


def all_pages(layout: Layout, pages_in: Collection[int]) -> tuple[int, ...]:
    """Name the pages that are not in, where every page that asks something must come back."""
    return tuple(page.page for page in layout.pages if page.fields and page.page not in pages_in)


def once(doubts: Iterable[Doubt]) -> tuple[Doubt, ...]:
    """Keep the first doubt about each field."""
    kept: dict[str, Doubt] = {}
    for doubt in doubts:
        kept.setdefault(doubt.field, doubt)
    return tuple(kept.values())
