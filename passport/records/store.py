"""The store of one office: tables, forms, photos, decisions; each change is one event."""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Any, NamedTuple

import sqlalchemy as sa

from forms.layout import Layout, loads
from passport.records import archive, intake, ledger
from passport.records.bare import Keeping
from passport.records.canonical import Private, personal_json, reading_of, value_json
from passport.records.drafts import Decision, form_draft, layout_text
from passport.records.errors import (
    FieldUnknown,
    FormExists,
    FormUnknown,
    NothingToForget,
    PhotoForgotten,
    PhotoUnknown,
)
from passport.records.event import FORM_KINDS, Event, EventKind
from passport.records.forgetting import (
    Forgotten,
    Photos,
    Shelves,
    Wish,
    forget_form,
    forget_table,
    subjects_naming,
)
from passport.records.form_state import FormRecord, FormState, OpenDoubt, form_record
from passport.records.ledger import Draft
from passport.records.schema import forms, open_doubts, page_photos, tellings
from passport.records.table_book import TableBook
from scan.reading import PageReading, PhotoReading, Reading, Value

__all__ = ["Decision", "FormRow", "Store", "Telling"]


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


class Store(TableBook):
    """Everything that an office knows. The clock is always the caller's."""

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
        kept = self._keep(photo.sha256, content) if any(known) else ""
        named = [page.form is not None for page in photo.pages]
        file = _File(photo, kept, sum(named) - sum(known), crops)
        taken = [
            self._taken(file, position) if is_known else None
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
        kept = self._keep(photo.sha256, content)
        file = _File(photo, kept, len(photo.pages) - 1, crops)
        one = self._taken(file, photo.pages.index(page))
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
        """List the hashes of photos that records name and whose files are gone or altered.

        The hashes are those of the files as they came. What was forgotten is not lost.
        """
        gone = sa.select(page_photos.c.sha256).where(page_photos.c.forgotten == 1)
        columns = sa.select(page_photos.c.sha256, page_photos.c.kept).distinct()
        with self._reading() as connection:
            named = connection.execute(columns.where(page_photos.c.sha256.not_in(gone))).all()
        whole = self.photos.whole()
        return tuple(sorted({row.sha256 for row in named if row.kept not in whole}))

    def photo(self, sha256: str) -> bytes:
        """Fetch a photo, as it is kept, by the hash of the file as it came.

        Raises
        ------
        PhotoForgotten
            It was removed because someone asked for it.
        PhotoUnknown
            It is not there.
        """
        mine = page_photos.c.sha256 == sha256
        query = sa.select(page_photos.c.kept, page_photos.c.forgotten).where(mine)
        order = page_photos.c.forgotten.desc()
        with self._reading() as connection:
            row = connection.execute(query.order_by(order).limit(1)).first()
        if row is not None and row.forgotten:
            raise PhotoForgotten(sha256)
        if row is None and (waits := self.waiting.find(sha256)):
            return self.waiting.read(waits)
        return self.photos.content(sha256 if row is None else row.kept)

    def bring_in(self, content: bytes) -> str:
        """Let a photo wait where other machines find it by ``photo``; give its hash."""
        return self.waiting.keep(content)

    def let_go(self, sha256: str) -> None:
        """Take a photo away from where it waited; what was recorded of it stays."""
        waits = self.waiting.find(sha256)
        if waits is not None:
            self.waiting.remove(waits)

    def crop(self, name: str) -> bytes:
        """Fetch a cut-out by the name that a reading has for it.

        Raises
        ------
        PhotoUnknown
            It is not there, or was removed.
        """
        return self.crops.read(name)

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

    def count_doubts(self) -> int:
        """Count what waits for a person."""
        with self._reading() as connection:
            query = sa.select(sa.func.count()).select_from(open_doubts)
            return int(connection.execute(query).scalar_one())

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

    # ---- forgetting

    def forget_person(
        self, person: str, decision: Decision, at: datetime, photos: Photos = Photos.REMOVE
    ) -> Forgotten:
        """Forget a person by name: decisions, readings and layouts that name them.

        From forms that they filled go the cut-outs of notes and signatures too, and the photos.
        Reads the whole chain once; see ``forgetting`` for what stays.

        Raises
        ------
        NothingToForget
            No record names them.
        """
        wish = Wish(decision, at, photos, person)
        return self._forget(lambda connection: subjects_naming(connection, person), wish)

    def forget_form(
        self, form: str, decision: Decision, at: datetime, photos: Photos = Photos.REMOVE
    ) -> Forgotten:
        """Forget all that is personal of one form: names, notes, signature, its photos.

        Raises
        ------
        FormUnknown, NothingToForget
        """
        self.form(form)
        return self._forget(lambda _: (form,), Wish(decision, at, photos))

    def forget_customer(self, table: str, decision: Decision, at: datetime) -> Forgotten:
        """Forget whom to call about a table and where it stands.

        Raises
        ------
        TableUnknown, NothingToForget
        """
        self.table(table)
        return self._forget(lambda _: (table,), Wish(decision, at))

    def _forget(
        self, subjects: Callable[[sa.Connection], tuple[str, ...]], wish: Wish
    ) -> Forgotten:
        with self._writing() as connection:
            counts = [self._forget_one(connection, one, wish) for one in subjects(connection)]
            forgotten = sum(counts, start=Forgotten())
            if forgotten == Forgotten():
                raise NothingToForget(wish.person)
        self.remove_files()
        self._scrub()
        return forgotten

    def _forget_one(self, connection: sa.Connection, subject: str, wish: Wish) -> Forgotten:
        if self._form(connection, subject) is None:
            draft, forgotten = forget_table(connection, subject, wish)
        else:
            shelves = Shelves(self.photos, self.crops, self._personal)
            draft, forgotten = forget_form(connection, subject, wish, shelves)
        if forgotten != Forgotten():
            self._append(connection, draft)
        return forgotten

    # ---- backup

    def backup(self, path: Path) -> archive.Manifest:
        """Write a whole copy of the store, also while it is in use; see ``archive.restore``."""
        return archive.backup(self, path)

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

    def _taken(self, file: "_File", position: int) -> intake.Taken:
        """Keep one page's cut-outs, and name it as the store does."""
        one = intake.taken(file.photo, position, file.kept, self.crops, file.crops)
        return replace(one, left_out=file.left_out, personal=self._personal)

    def _keep(self, sha256: str, content: bytes) -> str:
        """Keep a photo as the owner wants it, and return the hash of what is kept.

        A file that is known already is kept as it was; one that was forgotten is not kept again,
        and has no hash.
        """
        known = sa.select(page_photos.c.kept, page_photos.c.forgotten)
        with self._reading() as connection:
            row = connection.execute(known.where(page_photos.c.sha256 == sha256).limit(1)).first()
        if row is not None and row.forgotten:
            return ""
        as_it_came = self._keeping is Keeping.ORIGINALS or (row and row.kept == sha256)
        return self.photos.keep(content if as_it_came else self._bare(content))

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


class _File(NamedTuple):
    """One file on its way in."""

    photo: PhotoReading
    kept: str
    left_out: int
    crops: Path | None


def _form_row(number: str, kind: str, printed_on: str | None, state: str) -> FormRow:
    day = None if printed_on is None else date.fromisoformat(printed_on)
    return FormRow(number, kind, day, FormState(state))


def _form_of(history: Sequence[Event]) -> FormRecord | None:
    mine = [event for event in history if event.kind in FORM_KINDS]
    return form_record(mine) if mine else None
