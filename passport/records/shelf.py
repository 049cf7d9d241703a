"""Files kept by their hash, wherever they stand: in the home folder, or in a shared database.

Each has a name, ``ab/cdef….jpg``: its hash begins with abcdef. ``files`` keeps them in a folder,
``DatabaseShelf`` in a table, where every office and every machine that reads for them finds them.
"""

import re
from abc import ABC, abstractmethod
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date

import sqlalchemy as sa
from sqlalchemy.dialects import postgresql

from passport.records.errors import PhotoUnknown
from passport.records.files import ending_of, sha256
from passport.records.schema import kept_files

WAITING_DAYS = 7  # how long a photo waits to be read before it counts as left behind
_NAME = re.compile(r"[0-9a-z]{2}/[0-9a-z]+\.[0-9a-z]+")


class Shelf(ABC):
    """A place for files of one kind; a file that is there already is never written over."""

    name: str

    @abstractmethod
    def keep(self, content: bytes) -> str:
        """Keep a file whole or not at all, and return its hash."""

    @abstractmethod
    def names(self) -> tuple[str, ...]:
        """Name all kept files, in the order of their hashes."""

    @abstractmethod
    def altered(self) -> tuple[str, ...]:
        """Name the kept files whose bytes no longer give their hash."""

    @abstractmethod
    def find(self, digest: str) -> str | None:
        """Name the file with a hash; None when there is none."""

    @abstractmethod
    def read(self, name: str) -> bytes:
        """Fetch a file by its name.

        Raises
        ------
        PhotoUnknown
            There is no file of this name.
        """

    @abstractmethod
    def remove(self, name: str) -> None:
        """Remove a file for good; one that is gone already is no error."""

    def content(self, digest: str) -> bytes:
        """Fetch a file by its hash; see ``read``."""
        return self.read(self.find(digest) or name_of(digest, ""))

    def whole(self) -> frozenset[str]:
        """Find the hashes of all kept files whose bytes still give their hash."""
        return frozenset(map(hash_of, self.names())) - frozenset(map(hash_of, self.altered()))


def name_of(digest: str, ending: str) -> str:
    """Write the name of the file with a hash."""
    return f"{digest[:2]}/{digest[2:]}{ending}"


def hash_of(name: str) -> str:
    """Read a file's hash from its name."""
    return name.partition(".")[0].replace("/", "")


def is_name(text: str) -> bool:
    """Say whether a text could be the name of a kept file, and of nothing outside its shelf."""
    return _NAME.fullmatch(text) is not None


def move_files(source: Shelf, target: Shelf) -> None:
    """Bring all files of one shelf onto another; each is there before it goes here."""
    for name in source.names():
        target.keep(source.read(name))
        source.remove(name)


class DatabaseShelf(Shelf):
    """Files in a table of a shared database; each comes and goes in a transaction of its own."""

    def __init__(
        self, engine: sa.Engine, name: str, explained: Callable[[], AbstractContextManager[None]]
    ):
        self.name, self._explained = name, explained
        self._engine = engine.execution_options(isolation_level="AUTOCOMMIT")
        self._mine = kept_files.c.shelf == name

    def keep(self, content: bytes) -> str:
        """Keep a file, whole or not at all, and return its hash."""
        digest = sha256(content)
        insert = postgresql.insert(kept_files).values(
            shelf=self.name,
            hash=digest,
            ending=ending_of(content),
            kept_on=date.today().toordinal(),
            content=content,
        )
        self._do(insert.on_conflict_do_nothing())
        return digest

    def names(self) -> tuple[str, ...]:
        """Name all kept files, in the order of their hashes."""
        return self._names(sa.true())

    def altered(self) -> tuple[str, ...]:
        """Name the files whose bytes no longer give their hash; the server reckons it."""
        found = sa.func.encode(sa.func.sha256(kept_files.c.content), "hex")
        return self._names(found != kept_files.c.hash)

    def find(self, digest: str) -> str | None:
        """Name the file with a hash; None when there is none."""
        return next(iter(self._names(kept_files.c.hash == digest)), None)

    def read(self, name: str) -> bytes:
        """Fetch a file by its name."""
        mine = self._mine & (kept_files.c.hash == hash_of(name))
        with self._explained(), self._engine.connect() as connection:
            found = connection.execute(sa.select(kept_files.c.content).where(mine)).scalar()
        if found is None:
            raise PhotoUnknown(hash_of(name), f"the database, among {self.name}")
        return bytes(found)

    def remove(self, name: str) -> None:
        """Remove a file for good."""
        self._do(sa.delete(kept_files).where(self._mine, kept_files.c.hash == hash_of(name)))

    def remove_old(self) -> None:
        """Remove what has stood here for ``WAITING_DAYS``."""
        old = kept_files.c.kept_on < date.today().toordinal() - WAITING_DAYS
        self._do(sa.delete(kept_files).where(self._mine, old))

    def _names(self, which: sa.ColumnElement[bool]) -> tuple[str, ...]:
        query = sa.select(kept_files.c.hash, kept_files.c.ending).where(self._mine, which)
        with self._explained(), self._engine.connect() as connection:
            rows = connection.execute(query.order_by(kept_files.c.hash)).all()
        return tuple(name_of(row.hash, row.ending) for row in rows)

    def _do(self, statement: sa.Executable) -> None:
        with self._explained(), self._engine.connect() as connection:
            connection.execute(statement)
