"""What the store asks of a database, whichever it is; ``sqlite`` and ``postgres`` answer."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa

from passport.records.errors import StoreError

Reason = Callable[[BaseException | None], StoreError | None]


@dataclass(frozen=True)
class Backend:
    """One open database.

    ``engine`` begins a transaction with ``writes=True`` among its options only when no other
    writer is at work, and gives every other one a whole state of the store. ``scrub`` has what was
    removed written over. ``copy`` writes the whole store into a new SQLite file.
    """

    engine: sa.Engine
    find_damage: Callable[[sa.Connection], str | None]
    scrub: Callable[[sa.Connection], None]
    copy: Callable[[Path], None]
    reason: Reason

    @contextmanager
    def explained(self) -> Iterator[None]:
        """Tell the user what an error of the database means."""
        try:
            yield
        except sa.exc.DBAPIError as error:
            reason = self.reason(error.orig)
            if reason is None:
                raise
            raise reason from error
