"""The store of one office: tables, forms, photos, decisions; each change is one event."""

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

import sqlalchemy as sa

from passport.records import archive, intake
from passport.records.bare import Keeping
from passport.records.canonical import personal_json, reading_of, value_json
from passport.records.drafts import Decision
from passport.records.errors import (
    FieldUnknown,
    FormUnknown,
    NothingToForget,
    PhotoForgotten,
    PhotoUnknown,
)
from passport.records.event import EventKind
from passport.records.forgetting import (
    Forgotten,
    Photos,
    Shelves,
    Wish,
    forget_form,
    forget_table,
    subjects_naming,
)
from passport.records.form_book import FormBook, FormRow, OpenForm, Telling
from passport.records.form_state import FormRecord, OpenDoubt
from passport.records.schema import open_doubts, page_photos
from scan.reading import PageReading, PhotoReading, Reading, Value

__all__ = ["Decision", "FormRow", "OpenForm", "Store", "Telling"]


class Store(FormBook):
    """Everything that an office knows. The clock is always the caller's."""

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

    def doubtful(self) -> tuple[str, ...]:
        """Name the forms on which something waits for a person."""
        query = sa.select(open_doubts.c.form).distinct().order_by(open_doubts.c.form)
        with self._reading() as connection:
            return tuple(connection.execute(query).scalars().all())

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


class _File(NamedTuple):
    """One file on its way in."""

    photo: PhotoReading
    kept: str
    left_out: int
    crops: Path | None
