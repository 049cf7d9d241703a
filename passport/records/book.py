"""The open store as a book of events: added to, read, checked; their meaning is elsewhere."""

import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Any, NamedTuple, Self

import sqlalchemy as sa

from passport.records import files, ledger, postgres, projection, sqlite
from passport.records.backend import Backend
from passport.records.bare import Keeping, bare
from passport.records.chain import PRINTED_SYMBOLS
from passport.records.errors import StoreDamaged, StoreNewer, StoreNotEmpty
from passport.records.event import Event, EventKind, SchemaNewer
from passport.records.folder_shelf import FolderShelf
from passport.records.ledger import Draft, Head, Salts, Verified
from passport.records.migrations import migrate, revision_of
from passport.records.schema import HEAD_REVISION, files_to_remove
from passport.records.shelf import move_files
from passport.records.transfer import transfer

WAIT_S = 10.0  # how long a writer waits for another one
Append = Callable[[Draft], Event]


class Options(NamedTuple):
    """How a store is opened; see ``Book.open``."""

    salts: Salts
    personal: frozenset[str]
    keeping: Keeping = Keeping.BARE
    bare: Callable[[bytes], bytes] = bare


def fresh_salt() -> bytes:
    """Make a salt that nobody can guess: 128 random bits."""
    return secrets.token_bytes(16)


class Book:
    """The events of one home folder. Open it with ``open``, close it or use it in ``with``."""

    def __init__(self, home: Path, backend: Backend, options: Options):
        self.home, self._backend, self._engine = home, backend, backend.engine
        self._salts, self._personal, self._keeping, self._bare = options
        self.photos, self.crops = backend.shelf("photos"), backend.shelf("crops")
        self.waiting = backend.shelf("waiting")  # photos on their way to a machine that reads them

    @classmethod
    def open(  # noqa: PLR0913 - each is one decision of the caller's, all have a default
        cls,
        home: Path,
        *,
        wait_s: float = WAIT_S,
        salts: Salts = fresh_salt,
        personal: frozenset[str] = frozenset(),
        keeping: Keeping = Keeping.BARE,
        bare: Callable[[bytes], bytes] = bare,
        database: str | None = None,
    ) -> Self:
        """Open the store of a home folder; make it when there is none.

        Parameters
        ----------
        home : Path
            The folder that everything lives under.
        wait_s : float
            How long to wait for another writer. [s]
        salts : callable
            Makes a salt for each private text; random but for stores that must come out alike.
        personal : frozenset of str
            Ids of fields whose text may name a person; their values are kept beside the chain.
        keeping : Keeping
            Whether photos are kept without the camera's notes, or as they came.
        bare : callable
            Takes the camera's notes out of a file; a caller may have it done within limits.
        database : str, optional
            Address of a PostgreSQL database that offices share; without one the records stand in
            a file of the home folder.

        Raises
        ------
        HomeUnusable, DiskFull, StoreLocked, StoreNewer, StoreDamaged
        DatabaseUnusable, DriverMissing, StoreFull
        """
        with files.explained(home):
            home.mkdir(mode=0o700, parents=True, exist_ok=True)
        backend = _backend(home, wait_s, database)
        book = cls(home, backend, Options(salts, personal, keeping, bare))
        book._bring_up()
        book.remove_files()
        return book

    @classmethod
    def reader(cls, home: Path, database: str | None = None) -> Self:
        """Open a store that is there, to read only: nothing is made, changed or removed.

        Raises
        ------
        HomeUnusable, StoreDamaged, DatabaseUnusable, DriverMissing
        """
        options = Options(fresh_salt, frozenset())
        return cls(home, _backend(home, WAIT_S, database), options)

    def close(self) -> None:
        """Let go of the store's file."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def append(self, kind: EventKind, subject: str, body: dict[str, Any], at: datetime) -> Event:
        """Add one event and bring the projections up to date; acknowledged when this returns.

        Parameters
        ----------
        kind : EventKind
            What happened.
        subject : str
            Number of the table or form that it happened to.
        body : dict
            Text, whole numbers, lists and dicts; ``Private`` texts are kept beside the chain.
        at : datetime
            When, with its time zone.

        Raises
        ------
        BodyNotExact
            The body would not read back exactly.
        """
        with self._writing() as connection:
            return self._append(connection, Draft(kind, subject, body, at))

    def events(self, subject: str | None = None) -> tuple[Event, ...]:
        """All events, or those of one table or form, oldest first, in the schema of today."""
        with self._reading() as connection:
            if subject is None:
                return tuple(ledger.all_events(connection))
            return ledger.events_of(connection, subject)

    def chain(self) -> Iterator[dict[str, Any]]:
        """Read every event as it stands in the chain, hashes included, one after the other."""
        with self._reading() as connection:
            yield from ledger.chain(connection)

    def head(self) -> Head:
        """Read the number and hash of the last event."""
        with self._reading() as connection:
            return ledger.head(connection)

    def printed_head(self) -> str:
        """First symbols of the head hash, as printed on the next actions."""
        return self.head().hash[:PRINTED_SYMBOLS]

    def private_text(self, digest: str) -> str | None:
        """Find a private text by the hash that stands in an event; None when it was removed."""
        with self._reading() as connection:
            return ledger.private_text(connection, digest)

    def verify(self, printed: str | None = None) -> Verified:
        """Check that no event was altered; with a printed mark, that none is missing at the end.

        Raises
        ------
        StoreDamaged, ChainBroken, ChainCut
        """
        with self._reading() as connection:
            damage = self._backend.find_damage(connection)
            if damage is not None:
                raise StoreDamaged(self.home, damage)
            return ledger.verify_chain(connection, printed)

    def rebuild(self) -> None:
        """Make all projections anew from the events."""
        with self._writing() as connection:
            projection.rebuild(connection)

    def remove_files(self) -> None:
        """Remove the files that were forgotten: after a forget, or when one was cut short."""
        with self._reading() as connection:
            paths = connection.execute(sa.select(files_to_remove.c.path)).scalars().all()
        if not paths:
            return
        with files.explained(self.home):
            for path in paths:
                shelf, _, name = path.partition("/")
                self._backend.shelf(shelf).remove(name)
        with self._writing() as connection:
            gone = files_to_remove.c.path.in_(paths)
            connection.execute(sa.delete(files_to_remove).where(gone))

    def copy_database(self, file: Path) -> None:
        """Write the records, as one whole state, into a new SQLite file; photos stay."""
        with self._explained():
            self._backend.copy(file)

    def copy_into(self, other: "Book") -> None:
        """Copy all records and files into another store that has no records yet.

        Raises
        ------
        StoreNotEmpty
            The other store has records.
        """
        with self._reading() as source, other._writing() as target:
            if ledger.head(target).seq:
                raise StoreNotEmpty(ledger.head(target).seq)
            for mine, theirs in ((self.photos, other.photos), (self.crops, other.crops)):
                for name in mine.names():
                    theirs.keep(mine.read(name))
            transfer(source, target)

    def _bring_up(self) -> None:
        """Bring the schema up to today's; a store of a later version is left alone."""
        with self._reading() as connection:
            found = revision_of(connection)
        if found is not None and found > HEAD_REVISION:
            raise StoreNewer(self.home, f"schema {found}, this one knows {HEAD_REVISION}")
        if found != HEAD_REVISION:
            with self._writing() as connection:
                migrate(connection)
                if found is not None:
                    projection.bring_up(connection, found)
            for shelf in (self.photos, self.crops):  # of a shared store they stood here before
                if not isinstance(shelf, FolderShelf):
                    move_files(FolderShelf(self.home, shelf.name), shelf)

    def _scrub(self) -> None:
        with self._explained(), self._engine.connect() as connection:
            self._backend.scrub(connection.execution_options(isolation_level="AUTOCOMMIT"))

    def _append(self, connection: sa.Connection, draft: Draft) -> Event:
        event = ledger.append(connection, draft, self._salts)
        projection.refresh(connection, event)
        return event

    @contextmanager
    def _reading(self) -> Iterator[sa.Connection]:
        with self._explained(), self._engine.begin() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[sa.Connection]:
        writer = self._engine.execution_options(writes=True)
        with self._explained(), writer.begin() as connection:
            yield connection

    @contextmanager
    def _explained(self) -> Iterator[None]:
        try:
            with self._backend.explained():
                yield
        except SchemaNewer as error:
            raise StoreNewer(self.home, str(error)) from error


def _backend(home: Path, wait_s: float, database: str | None) -> Backend:
    if database is None:
        return sqlite.backend_of(home / sqlite.STORE_FILE, home, wait_s)
    return postgres.backend_of(database, home, wait_s)
