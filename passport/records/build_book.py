"""Tables of one build, and what each teaches of it, as the office reckoned it."""

from typing import NamedTuple

import sqlalchemy as sa

from passport.records.schema import lessons, outlooks
from passport.records.table_book import TableBook


class Taught(NamedTuple):
    """What one table of a build teaches, as the office put it into bytes; None: not reckoned yet.

    ``changed`` is the last record of the table or a form of it.
    """

    table: str
    changed: int
    body: bytes | None


class BuildBook(TableBook):
    """The part of the store that is about tables that were built alike."""

    def of_build(self, build: str, stamp: str, limit: int) -> tuple[Taught, ...]:
        """List tables of a build, those with the newest records first, and what each teaches.

        Parameters
        ----------
        build : str
            As descriptions name it.
        stamp : str
            Of the program that asks; what another one reckoned counts for nothing.
        limit : int
            How many at most.
        """
        body = sa.case((lessons.c.stamp == stamp, lessons.c.body), else_=None)
        query = (
            sa.select(lessons.c.table_number, outlooks.c.changed, body)
            .join(outlooks, outlooks.c.table_number == lessons.c.table_number)
            .where(lessons.c.build == build)
            .order_by(outlooks.c.changed.desc())
        )
        with self._reading() as connection:
            return tuple(Taught(*row) for row in connection.execute(query.limit(limit)))

    def teach(self, taught: Taught, stamp: str) -> None:
        """Keep what a table teaches, unless something was recorded of it since it was reckoned."""
        same = sa.select(outlooks.c.table_number).where(
            outlooks.c.table_number == taught.table, outlooks.c.changed == taught.changed
        )
        mine = lessons.c.table_number.in_(same)
        with self._writing() as connection:
            values = {"stamp": stamp, "body": taught.body}
            connection.execute(sa.update(lessons).where(mine).values(values))
