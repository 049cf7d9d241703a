"""The store of one office: tables, forms, photos, decisions; each change is one event."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from forms.layout import Layout, loads
from passport.records import archive, intake, ledger
from passport.records.book import Book
from passport.records.canonical import personal_json, reading_of, seal, value_json
from passport.records.drafts import Decision, form_draft, layout_text
from passport.records.errors import (
    CareTokenTaken,
    FieldUnknown,
    FormExists,
    FormUnknown,
    PhotoUnknown,
    TableExists,
    TableUnknown,
)
from passport.records.event import FORM_KINDS, TABLE_KINDS, Event, EventKind
from passport.records.form_state import FormRecord, FormState, OpenDoubt, form_record
from passport.records.ledger import Draft
from passport.records.schema import care_tokens, forms, open_doubts, page_photos, tables
from passport.records.table_state import ActionResult, TableRecord, table_record
from scan.reading import PageReading, PhotoReading, Reading, Value

__all__ = ["Decision", "Store"]


class Store(Book):
    """Everything that an office knows. The clock is always the caller's."""

    # ---- tables

    def register(self, number: str, description: Mapping[str, Any], at: datetime) -> TableRecord:
        """Add a table under a number that nobody has yet.

        Raises
        ------
        TableExists
            The number is taken.
        """
        with self._writing() as connection:
            if self._table(connection, number) is not None:
                raise TableExists(number)
            return self._describe(connection, number, description, at)

    def describe(self, number: str, description: Mapping[str, Any], at: datetime) -> TableRecord:
        """Give a registered table a new description; the old ones stay in its history."""
        with self._writing() as connection:
            if self._table(connection, number) is None:
                raise TableUnknown(number)
            return self._describe(connection, number, description, at)

    def tables(self) -> tuple[TableRecord, ...]:
        """All registered tables, by number."""
        with self._reading() as connection:
            found = ledger.histories_of(connection, sa.select(tables.c.number))
        records = [_table_of(found[number]) for number in sorted(found)]
        return tuple(record for record in records if record is not None)

    def table(self, number: str) -> TableRecord:
        """Find a table by its number.

        Raises
        ------
        TableUnknown
            There is none.
        """
        with self._reading() as connection:
            record = self._table(connection, number)
        if record is None:
            raise TableUnknown(number)
        return record

    def close_action(
        self, table: str, action: str, result: ActionResult, decision: Decision, at: datetime
    ) -> None:
        """Close one next action of a table; closing it again replaces the result."""
        self.table(table)
        body = {"action": action, "result": result.value, **decision.body()}
        self.append(EventKind.ACTION_CLOSED, table, body, at)

    def issue_care_token(self, table: str, token: str, at: datetime) -> None:
        """Give a table its care token, or another one in place of the old.

        The token stands beside the chain only; the chain holds its salted hash.

        Raises
        ------
        CareTokenTaken
            Another table has it.
        """
        self.table(table)
        one = seal(token, self._salts())
        row = {"table_number": table, "token": token, "salt": one.salt, "hash": one.hash}
        with self._writing() as connection:
            _free_token(connection, table, token)
            connection.execute(sa.delete(care_tokens).where(care_tokens.c.table_number == table))
            connection.execute(sa.insert(care_tokens), row)
            body = {"token": one}
            self._append(connection, Draft(EventKind.CARE_TOKEN_ISSUED, table, body, at))

    def care_token(self, table: str) -> str | None:
        """Find the care token of a table; None while it has none."""
        query = sa.select(care_tokens.c.token).where(care_tokens.c.table_number == table)
        with self._reading() as connection:
            found = connection.execute(query).scalar_one_or_none()
        return None if found is None else str(found)

    # ---- forms

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

    def forms_of(self, table: str) -> tuple[FormRecord, ...]:
        """All forms of a table, oldest first."""
        return self._forms(forms.c.table_number == table)

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

    # ---- photos and readings

    def record_photo(
        self, photo: PhotoReading, content: bytes, at: datetime, crops: Path | None = None
    ) -> tuple[intake.Outcome, ...]:
        """Keep a photo and record all its pages, in one piece.

        Parameters
        ----------
        photo : PhotoReading
            What the reader said of the file.
        content : bytes
            The file that was read.
        at : datetime
            Now.
        crops : Path, optional
            The folder that the reader put its cut-outs in; they are copied into the store.

        Returns
        -------
        tuple of Outcome
            What became of each page of ``photo.pages``.

        Raises
        ------
        PhotoChanged, CropMissing
        """
        intake.check_unchanged(photo, content)
        with self._reading() as connection:
            known = [
                intake.is_known(page, lambda number: self._form(connection, number))
                for page in photo.pages
            ]
        if any(known):
            self.photos.keep(content)
        named = [page.form is not None for page in photo.pages]
        left_out = sum(named) - sum(known)
        taken = [
            self._taken(photo, (position, left_out), crops) if is_known else None
            for position, is_known in enumerate(known)
        ]
        with self._writing() as connection:
            return tuple(self._record(connection, one, at) for one in taken)

    def record_page(
        self,
        photo: PhotoReading,
        page: PageReading,
        content: bytes,
        at: datetime,
        crops: Path | None = None,
    ) -> intake.Outcome:
        """Keep a photo and record one of its pages; see ``record_photo`` for all of them."""
        intake.check_unchanged(photo, content)
        with self._reading() as connection:
            if not intake.is_known(page, lambda number: self._form(connection, number)):
                return intake.Outcome.UNKNOWN_FORM
        self.photos.keep(content)
        place = (photo.pages.index(page), len(photo.pages) - 1)
        one = self._taken(photo, place, crops)
        with self._writing() as connection:
            return self._record(connection, one, at)

    def has_photo(self, sha256: str) -> bool:
        """Say whether this very file was recorded and nothing of it left out.

        A page of a form that the store does not know yet is left out; once its layout has been
        brought in, the file must be taken in again.
        """
        whole = (page_photos.c.sha256 == sha256) & (page_photos.c.left_out == 0)
        with self._reading() as connection:
            found = connection.execute(sa.select(page_photos.c.form).where(whole).limit(1))
            return found.first() is not None

    def lost_photos(self) -> tuple[str, ...]:
        """List the hashes of photos that records name and whose files are gone or altered."""
        with self._reading() as connection:
            named = connection.execute(sa.select(page_photos.c.sha256).distinct()).scalars().all()
        return tuple(sorted(set(named) - self.photos.whole()))

    def photo(self, sha256: str) -> bytes:
        """Fetch a kept photo by its hash.

        Raises
        ------
        PhotoUnknown
            It is not there.
        """
        return self.photos.path(sha256).read_bytes()

    def readings(self, form: str) -> Mapping[str, Reading]:
        """One reading per field from all photos of a form, people's answers in their places."""
        return self.form(form).readings

    def doubts(self) -> tuple[OpenDoubt, ...]:
        """Everything that waits for a person, by form, page and field."""
        order = (open_doubts.c.form, open_doubts.c.page, open_doubts.c.field)
        with self._reading() as connection:
            rows = connection.execute(sa.select(open_doubts).order_by(*order)).all()
        return tuple(
            OpenDoubt(
                row.form, row.table_number, row.page, row.field, reading_of(json.loads(row.reading))
            )
            for row in rows
        )

    def settle(
        self, form: str, field: str, value: Value, decision: Decision, at: datetime
    ) -> FormRecord:
        """Put a person's answer in a field's place; None says that nothing is written there.

        A correction is settling again: the old answer stays in the history.

        Raises
        ------
        FormUnknown, FieldUnknown
        """
        layout = self.layout_of(form)
        if layout is None:
            raise FormUnknown(form)
        if field not in {one.id for page in layout.pages for one in page.fields}:
            raise FieldUnknown(form, field)
        exact = personal_json(value) if field in self._personal else value_json(value)
        body = {"field": field, "value": exact, **decision.body()}
        return self._decide(form, EventKind.VALUE_SETTLED, body, at)

    def set_aside(
        self, form: str, photo: tuple[str, int], decision: Decision, at: datetime
    ) -> FormRecord:
        """Say that a photo does not belong to this visit: kept, but not counted any more.

        Parameters
        ----------
        form : str
            The form's number.
        photo : tuple
            Hash of the file and the page's place in it.
        decision : Decision
            Who says so, and why.
        at : datetime
            Now.

        Raises
        ------
        FormUnknown, PhotoUnknown
        """
        if self.form(form).photo(*photo) is None:
            raise PhotoUnknown(photo[0], f"form {form}")
        body = {"photo": photo[0], "position": photo[1], **decision.body()}
        return self._decide(form, EventKind.PHOTO_SET_ASIDE, body, at)

    def backup(self, path: Path) -> archive.Manifest:
        """Write a whole copy of the store, also while it is in use; see ``archive.restore``."""
        return archive.backup(self, path)

    # ---- inside one transaction

    def _describe(
        self, connection: sa.Connection, number: str, description: Mapping[str, Any], at: datetime
    ) -> TableRecord:
        body = {"description": description}
        self._append(connection, Draft(EventKind.TABLE_DESCRIBED, number, body, at))
        record = self._table(connection, number)
        assert record is not None
        return record

    def _table(self, connection: sa.Connection, number: str) -> TableRecord | None:
        return _table_of(ledger.history_of(connection, number))

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

    def _taken(
        self, photo: PhotoReading, place: tuple[int, int], crops: Path | None
    ) -> intake.Taken:
        """Keep one page's cut-outs; ``place`` is its position and how many are left out."""
        one = intake.taken(photo, place[0], self.crops, crops)
        return replace(one, left_out=place[1], personal=self._personal)

    def _record(
        self, connection: sa.Connection, one: intake.Taken | None, at: datetime
    ) -> intake.Outcome:
        if one is None:
            return intake.Outcome.UNKNOWN_FORM
        return intake.record(
            one,
            at,
            find=lambda number: self._form(connection, number),
            append=lambda draft: self._append(connection, draft),
        )

    def _decide(
        self, form: str, kind: EventKind, body: Mapping[str, Any], at: datetime
    ) -> FormRecord:
        with self._writing() as connection:
            self._known_form(connection, form)
            self._append(connection, Draft(kind, form, body, at))
            return self._known_form(connection, form)


def _table_of(history: Sequence[Event]) -> TableRecord | None:
    return table_record([event for event in history if event.kind in TABLE_KINDS])


def _form_of(history: Sequence[Event]) -> FormRecord | None:
    mine = [event for event in history if event.kind in FORM_KINDS]
    return form_record(mine) if mine else None


def _free_token(connection: sa.Connection, table: str, token: str) -> None:
    query = sa.select(care_tokens.c.table_number).where(care_tokens.c.token == token)
    owner = connection.execute(query).scalar_one_or_none()
    if owner not in (None, table):
        raise CareTokenTaken(table)
