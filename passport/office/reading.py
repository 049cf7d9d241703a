"""One photo to read, for whoever reads it: a thread here, a process, or a machine elsewhere.

A task carries the photo's hash, not its bytes, where bytes and layouts come from, and which reader
must read it. Whoever does it fetches them, reads, and writes nothing.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from forms.numbers import FormNumber
from passport.errors import PassportError
from passport.office.readers import Order, read_limited
from passport.office.sources import stamp_of
from passport.office.wire import Read
from passport.records import Store

DATABASE_VARIABLE = "TABLE_PASSPORT_DATABASE"


class ReaderDiffers(PassportError):
    """A machine that would read with another program than the office's."""

    exit_code = 5

    def __init__(self, asked: str, found: str):
        self.asked, self.found = asked, found
        super().__init__(
            f"The office reads with version {asked[:8]}, this machine with {found[:8]}. "
            "Install the same version of table-passport on both."
        )


@dataclass(frozen=True)
class Source:
    """Where bytes and layouts come from.

    ``home`` is the office's folder and ``file`` the photo, both None for a machine elsewhere; it
    asks ``database``, or the one that its own ``TABLE_PASSPORT_DATABASE`` names, with the rights
    that it has there.
    """

    database: str | None
    home: Path | None = None
    file: Path | None = None


@dataclass(frozen=True)
class Task:
    """One photo to read. ``layout`` is the form number that was typed in, if one was."""

    name: str
    photo: str  # SHA-256
    layout: str | None
    reader: str
    source: Source


def reader_version() -> str:
    """Stamp of all code that reads: the same stamp reads the same."""
    return stamp_of("scan", "forms")


def read_task(task: Task) -> Read:
    """Read one photo, within the limits of ``readers``.

    Raises
    ------
    ReaderDiffers
        This machine's program is another one.
    PhotoUnknown
        The photo is gone.
    """
    if task.reader != reader_version():
        raise ReaderDiffers(task.reader, reader_version())
    typed = FormNumber.parse(task.layout) if task.layout else None
    with _opened(task.source) as store:
        file = task.source.file
        content = store.photo(task.photo) if file is None else file.read_bytes()
        return read_limited(Order(task.name, content, typed), store.layout_of)


@contextmanager
def _opened(source: Source) -> Iterator[Store]:
    """Open a store for reading only."""
    if source.home is not None:
        with Store.reader(source.home, source.database) as store:
            yield store
        return
    database = os.environ.get(DATABASE_VARIABLE) or source.database
    with TemporaryDirectory() as folder, Store.reader(Path(folder), database) as store:
        yield store
