"""What the store asks of a database, whichever it is; ``sqlite`` and ``postgres`` answer."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa

from passport.records.errors import StoreError
from passport.records.shelf import Shelf

Reason = Callable[[BaseException | None], StoreError | None]


@dataclass(frozen=True)
class Backend:
    """One open database.

    ``engine`` begins a transaction with ``writes=True`` among its options only when no other
    writer is at work, and gives every other one a whole state of the store. ``shelf`` is where
    files of one kind stand. ``scrub`` has what was removed written over. ``copy`` writes all
    records into a new SQLite file.
    """

    engine: sa.Engine
    find_damage: Callable[[sa.Connection], str | None]
    shelf: Callable[[str], Shelf]
    scrub: Callable[[sa.Connection], None]
    copy: Callable[[Path], None]
    reason: Reason

    @contextmanager
    def explained(self) -> Iterator[None]:
        """Tell the user what an error of the database means."""
        with explained(self.reason):
            yield


@contextmanager
def explained(reason: Reason) -> Iterator[None]:
    """Tell the user what an error of a database means, where there is a reason to tell."""
    try:
        yield
    except sa.exc.DBAPIError as error:
        told = reason(error.orig)
        if told is None:
            raise
        raise told from error
