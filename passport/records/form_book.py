"""The forms of the store: printed, brought in, closed, bound; what each has come to."""

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any, NamedTuple

import sqlalchemy as sa

from forms.layout import Layout, loads
from passport.records import ledger
from passport.records.build_book import BuildBook
from passport.records.canonical import Private
from passport.records.drafts import Decision, form_draft, layout_text
from passport.records.errors import FormExists, FormUnknown
from passport.records.event import FORM_KINDS, Event, EventKind
from passport.records.form_state import FormRecord, FormState, form_record
from passport.records.ledger import Draft
from passport.records.projection import OPEN
from passport.records.schema import forms, open_doubts, tellings

AT_ONCE = 100  # forms held in memory while all are read; each with its layout


class Telling(NamedTuple):
    """What a form came to, as the office put it into bytes; None when that is not known.

    ``changed`` is the form's last record.
    """

    form: str
    kind: str
    changed: int
    body: bytes | None


class FormRow(NamedTuple):
    """One form as a list shows it."""

    number: str
    kind: str
    printed_on: date | None
    state: FormState


class OpenForm(NamedTuple):
    """One form that is not settled yet, as a list shows it.

    ``pages`` counts those that must come in, ``missing`` names those that have not, ``doubts``
    counts what waits for a person. A spare form that is not bound yet has no ``table``.
    """

    number: str
    kind: str
    table: str
    printed_on: date | None
    state: FormState
    pages: int
    missing: tuple[int, ...]
    doubts: int


class FormBook(BuildBook):
    """The part of the store that is about forms."""

    def print_form(
        self, layout: Layout, printed_on: date, at: datetime, optional_pages: tuple[int, ...] = ()
    ) -> FormRecord:
        """Record that a form was printed; doing it again with the same layout changes nothing.

        Parameters
        ----------
        layout : Layout
            The form as it was placed; its number names this one copy.
        printed_on : date
            Date on the paper.
        at : datetime
            Now.
        optional_pages : tuple of int
            Pages that need not come back, such as pass sheets.

        Raises
        ------
        TableUnknown
            The form is for a table that is not in this store.
        FormExists
            The number names another form.
        """
        described = self.table(layout.table).described
        body = {"printed_on": printed_on.isoformat(), "described": described}
        return self._print(layout, optional_pages, body, at)

    def print_spare(
        self, layout: Layout, printed_on: date, at: datetime, names_table: str
    ) -> FormRecord:
        """Record that a form for no table was printed; a field says later which it is for.

        Raises
        ------
        FormExists
            The number names another form.
        """
        body = {"printed_on": printed_on.isoformat(), "names_table": names_table}
        return self._print(layout, (), body, at)

    def bind_form(self, form: str, table: str, at: datetime) -> FormRecord:
        """Bind a spare form to a table, as it is described now; binding it again corrects that.

        Raises
        ------
        FormUnknown, TableUnknown
        """
        described, was = self.table(table).described, self.form(form).table
        body = {"table": table, "described": described, "was": was}
        return self._decide(form, EventKind.FORM_BOUND, body, at)

    def _print(
        self, layout: Layout, optional_pages: tuple[int, ...], body: dict[str, Any], at: datetime
    ) -> FormRecord:
        draft = form_draft(EventKind.FORM_PRINTED, layout, optional_pages, at)
        return self._add_form(layout, Draft(draft.kind, draft.subject, {**draft.body, **body}, at))

    def add_layout(
        self, layout: Layout, at: datetime, optional_pages: tuple[int, ...] = ()
    ) -> FormRecord:
        """Bring in the layout of a form that was printed elsewhere.

        Raises
        ------
        FormExists
            The number names another form.
        """
        draft = form_draft(EventKind.LAYOUT_ADDED, layout, optional_pages, at)
        return self._add_form(layout, draft)

    def form(self, number: str) -> FormRecord:
        """Find a form by its number.

        Raises
        ------
        FormUnknown
            There is none.
        """
        with self._reading() as connection:
            return self._known_form(connection, number)

    def forms(self, *states: FormState) -> tuple[FormRecord, ...]:
        """All forms in any of these states (in any state when none is named), oldest first."""
        wanted = [state.value for state in states or FormState]
        return self._forms(forms.c.state.in_(wanted))

    def each_form(self) -> Iterator[FormRecord]:
        """Read every form, oldest first, a few at a time; all as of one moment."""
        query = sa.select(forms.c.number).order_by(forms.c.first_event)
        with self._reading() as connection:
            numbers = connection.execute(query.execution_options(yield_per=AT_ONCE)).scalars()
            for some in numbers.partitions():
                found = ledger.histories_of(connection, some).values()
                yield from (one for history in found if (one := _form_of(history)))

    def printed_on(self, days: Collection[date], *states: FormState) -> Mapping[date | None, int]:
        """Count the forms that were printed on some days and stand in any of these states."""
        mine = forms.c.printed_on.in_([day.isoformat() for day in days])
        stand = forms.c.state.in_([state.value for state in states])
        query = sa.select(forms.c.printed_on, sa.func.count()).where(mine & stand)
        with self._reading() as connection:
            rows = connection.execute(query.group_by(forms.c.printed_on)).all()
        return {date.fromisoformat(day): count for day, count in rows}

    def open_forms(self, printed_on: date | None = None) -> tuple[OpenForm, ...]:
        """List the forms that are not settled yet, of one day or of all, oldest first."""
        doubts = sa.select(sa.func.count()).where(open_doubts.c.form == forms.c.number)
        columns = (forms.c.number, forms.c.kind, forms.c.table_number, forms.c.printed_on,
                   forms.c.state, forms.c.pages, forms.c.missing)  # fmt: skip
        query = sa.select(*columns, doubts.scalar_subquery()).order_by(forms.c.first_event)
        query = query.where(forms.c.state.in_([state.value for state in OPEN]))
        if printed_on is not None:
            query = query.where(forms.c.printed_on == printed_on.isoformat())
        with self._reading() as connection:
            return tuple(_open_form(*row) for row in connection.execute(query))

    def in_printed_order(self, numbers: Collection[str]) -> tuple[str, ...]:
        """Put forms in the order of their printing; those from elsewhere come first."""
        wanted, found = sorted(numbers), list[tuple[str, str]]()
        with self._reading() as connection:
            for start in range(0, len(wanted), ledger.BATCH):
                some = forms.c.number.in_(wanted[start : start + ledger.BATCH])
                query = sa.select(forms.c.printed_on, forms.c.number).where(some)
                found += [(day or "", number) for day, number in connection.execute(query)]
        return tuple(number for _, number in sorted(found))

    def forms_of(self, table: str) -> tuple[FormRecord, ...]:
        """All forms of a table, oldest first."""
        return self._forms(forms.c.table_number == table)

    def form_rows(self, table: str) -> tuple[FormRow, ...]:
        """All forms of a table as a list shows them, oldest first."""
        columns = (forms.c.number, forms.c.kind, forms.c.printed_on, forms.c.state)
        query = sa.select(*columns).where(forms.c.table_number == table)
        with self._reading() as connection:
            rows = connection.execute(query.order_by(forms.c.first_event)).all()
        return tuple(_form_row(*row) for row in rows)

    def tellings(self, table: str, stamp: str) -> tuple[Telling, ...]:
        """List a table's forms, oldest first, each with what it came to if that is known.

        Parameters
        ----------
        table : str
            The table's number.
        stamp : str
            Of the program that reads; what another one made of a form counts for nothing.
        """
        known = (tellings.c.form == forms.c.number) & (tellings.c.stamp == stamp)
        query = (
            sa.select(forms.c.number, forms.c.kind, forms.c.changed, tellings.c.body)
            .outerjoin_from(forms, tellings, known)
            .where(forms.c.table_number == table)
            .order_by(forms.c.first_event)
        )
        with self._reading() as connection:
            return tuple(Telling(*row) for row in connection.execute(query))

    def tell(self, table: str, stamp: str, told: Telling) -> None:
        """Keep what a form came to, unless something was recorded of it since it was read."""
        same = (forms.c.number == told.form) & (forms.c.changed == told.changed)
        row = {"form": told.form, "table_number": table, "stamp": stamp, "body": told.body}
        with self._writing() as connection:
            if connection.execute(sa.select(forms.c.number).where(same)).first():
                connection.execute(sa.delete(tellings).where(tellings.c.form == told.form))
                connection.execute(sa.insert(tellings), row)

    def layout_of(self, form: str) -> Layout | None:
        """Find where everything stands on a form; None for a form that is not in this store."""
        with self._reading() as connection:
            record = self._form(connection, form)
        if record is None or record.layout is None:
            return None
        return loads(record.layout, f"The layout of form {form}")

    def description_of(self, form: str) -> dict[str, Any] | None:
        """Find the table's description that a form was printed for; None for one from elsewhere."""
        record = self.form(form)
        with self._reading() as connection:
            events = ledger.history_of(connection, record.table)
        found = [event for event in events if event.seq == record.described]
        return dict(found[0].body["description"]) if found else None

    def close_form(self, form: str, decision: Decision, at: datetime) -> FormRecord:
        """Say that nothing more will come of a form; what is in doubt or missing stays so."""
        return self._decide(form, EventKind.FORM_CLOSED, decision.body(), at)

    def read_notes(self, form: str, decision: Decision, at: datetime) -> FormRecord:
        """Say that somebody read what was written on a form."""
        return self._decide(form, EventKind.NOTES_READ, decision.body(), at)

    def tell_customer(
        self, form: str, told: tuple[str, str], decision: Decision, at: datetime
    ) -> FormRecord:
        """Say whom somebody told by telephone that a form says unsafe, and when."""
        whom, when = told
        body = {"told": Private(whom), "told_at": when, **decision.body()}
        return self._decide(form, EventKind.CUSTOMER_TOLD, body, at)

    # ---- inside one transaction

    def _form(self, connection: sa.Connection, number: str) -> FormRecord | None:
        return _form_of(ledger.history_of(connection, number))

    def _known_form(self, connection: sa.Connection, number: str) -> FormRecord:
        record = self._form(connection, number)
        if record is None:
            raise FormUnknown(number)
        return record

    def _forms(self, which: sa.ColumnElement[bool]) -> tuple[FormRecord, ...]:
        with self._reading() as connection:
            found = ledger.histories_of(connection, sa.select(forms.c.number).where(which))
        records = [_form_of(history) for history in found.values()]
        return tuple(record for record in records if record is not None)

    def _add_form(self, layout: Layout, draft: Draft) -> FormRecord:
        with self._writing() as connection:
            known = self._form(connection, layout.form)
            if known is None:
                self._append(connection, draft)
            elif known.layout != layout_text(layout):
                raise FormExists(layout.form)
            return self._known_form(connection, layout.form)

    def _decide(
        self, form: str, kind: EventKind, body: Mapping[str, Any], at: datetime
    ) -> FormRecord:
        with self._writing() as connection:
            self._known_form(connection, form)
            self._append(connection, Draft(kind, form, body, at))
            return self._known_form(connection, form)


def _open_form(number: str, kind: str, table: str, *rest: Any) -> OpenForm:
    printed_on, state, pages, missing, doubts = rest
    day = None if printed_on is None else date.fromisoformat(printed_on)
    lacks = tuple(json.loads(missing))
    return OpenForm(number, kind, table, day, FormState(state), pages, lacks, doubts)


def _form_row(number: str, kind: str, printed_on: str | None, state: str) -> FormRow:
    day = None if printed_on is None else date.fromisoformat(printed_on)
    return FormRow(number, kind, day, FormState(state))


def _form_of(history: Sequence[Event]) -> FormRecord | None:
    mine = [event for event in history if event.kind in FORM_KINDS]
    return form_record(mine) if mine else None
