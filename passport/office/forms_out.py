"""Do I have all? Forms that are out against the pages that came in, by the day of their round."""

from dataclasses import dataclass
from datetime import date
from itertools import groupby

from passport.office import Office
from passport.records import TableRow
from passport.records.form_state import FormState
from passport.records.store import OpenForm

TOO_LONG_DAYS = 21  # out for longer than this is asked after; common practice, no source
_DONE = (FormState.SETTLED, FormState.CLOSED)


@dataclass(frozen=True)
class FormOut:
    """One form that is not settled yet."""

    form: OpenForm
    name: str
    site: str
    days: int | None  # since it was printed

    @property
    def too_long(self) -> bool:
        """Whether it should be asked after: nothing came, or only a part, for too long."""
        late = self.days is not None and self.days > TOO_LONG_DAYS
        return late and self.form.state is not FormState.IN


@dataclass(frozen=True)
class Round:
    """The forms that were printed on one day."""

    on: date | None
    forms: tuple[FormOut, ...]  # not settled yet
    done: int = 0  # settled, or closed by a person

    @property
    def printed(self) -> int:
        """How many forms were printed on its day."""
        return len(self.forms) + self.done

    def count(self, state: FormState) -> int:
        """How many of its forms stand there."""
        return sum(one.form.state == state for one in self.forms)

    @property
    def too_long(self) -> int:
        """How many of its forms should be asked after."""
        return sum(one.too_long for one in self.forms)

    @property
    def pages(self) -> int:
        """How many pages must come in."""
        return sum(one.form.pages for one in self.forms)

    @property
    def pages_in(self) -> int:
        """How many of them have."""
        return self.pages - self.pages_missing

    @property
    def pages_missing(self) -> int:
        """How many of them have not."""
        return sum(len(one.form.missing) for one in self.forms)


def rounds(office: Office, on: date | None = None) -> tuple[Round, ...]:
    """List all forms that are not settled, by the day they were printed, the newest day first.

    With ``on``, those of that day only.
    """
    forms = office.store.open_forms(on)
    named = office.store.rows({form.table for form in forms})
    found = [
        FormOut(form, *_whose(named.get(form.table)), _days(office, form))
        for form in forms
        if form.table in named or not form.table
    ]
    found.sort(key=lambda one: (_day(one), one.name, one.form.number), reverse=True)
    by_day = groupby(found, key=lambda one: one.form.printed_on)
    listed = [(on, tuple(reversed(list(forms)))) for on, forms in by_day]
    done = office.store.printed_on({on for on, _ in listed if on}, *_DONE)
    return tuple(Round(on, forms, done.get(on, 0)) for on, forms in listed)


def _whose(table: TableRow | None) -> tuple[str, str]:
    return (table.name, table.site) if table else ("Spare form", "not bound to a table")


def _day(one: FormOut) -> date:
    return one.form.printed_on or date.min


def _days(office: Office, form: OpenForm) -> int | None:
    return None if form.printed_on is None else (office.today - form.printed_on).days
