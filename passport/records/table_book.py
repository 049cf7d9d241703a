"""The tables of the store: their descriptions, contacts, care tokens, actions; finding them."""

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, NamedTuple

import sqlalchemy as sa

from forms.errors import FormsError
from forms.numbers import FormNumber
from passport.records import ledger
from passport.records.book import Book
from passport.records.canonical import Private, canonical, seal
from passport.records.drafts import Contact, Decision, described
from passport.records.errors import CareTokenTaken, TableExists, TableUnknown
from passport.records.event import TABLE_KINDS, Event, EventKind
from passport.records.ledger import Draft
from passport.records.projection import MEASURED, searchable
from passport.records.schema import care_tokens, forms, kits, outlooks, standings, tables
from passport.records.table_state import ActionResult, TablePaper, TableRecord, table_record

MOST_SEARCHED = 200  # symbols: a database takes neither words nor patterns without end


@dataclass(frozen=True)
class TableRow:
    """One table as a list shows it."""

    number: str
    name: str
    site: str


@dataclass(frozen=True)
class Outlook:
    """When a table needs a visit, as the office reckoned it. ``rank`` 0 is the most urgent.

    ``body`` is the office's own: whole numbers and text, kept as it is given. ``waits`` counts what
    in it waits for a person.
    """

    rank: int
    due_on: date | None
    body: Mapping[str, Any]
    waits: int = 0


class Stood(NamedTuple):
    """How a table stands, as the office put it into bytes, under its stamp; None where nothing is.

    ``changed`` is the last record of the table or a form of it. What was put there before that
    stands under no stamp.
    """

    changed: int
    stamp: str | None = None
    body: bytes | None = None

    def under(self, stamp: str) -> bytes | None:
        """Give the bytes if they stand under this stamp: another program's count for nothing."""
        return self.body if self.stamp == stamp else None


class TableBook(Book):
    """The part of the store that is about tables."""

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

    def move(
        self, table: str, site: str, on: date, decision: Decision, at: datetime
    ) -> TableRecord:
        """Say that a table stands somewhere else from a day on; where, is kept beside the chain."""
        self.table(table)
        body = {"site": Private(site), "on": on.isoformat(), **decision.body()}
        self.append(EventKind.TABLE_MOVED, table, body, at)
        return self.table(table)

    def paper_printed(self, table: str, paper: TablePaper, on: date, at: datetime) -> None:
        """Say that a paper was printed for a table."""
        self.table(table)
        body = {"paper": paper.value, "on": on.isoformat()}
        self.append(EventKind.PAPER_PRINTED, table, body, at)

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

    def care_tokens(self) -> dict[str, str]:
        """Give the care tokens of all tables that have one, by the table's number."""
        columns = (care_tokens.c.table_number, care_tokens.c.token)
        query = sa.select(*columns).order_by(care_tokens.c.table_number)
        with self._reading() as connection:
            return {row.table_number: row.token for row in connection.execute(query)}

    def give_contact(self, table: str, contact: Contact, at: datetime) -> TableRecord:
        """Say whom to call about a table; the one before stays in its history until forgotten."""
        self.table(table)
        self.append(EventKind.CONTACT_GIVEN, table, contact.body(), at)
        return self.table(table)

    # ---- finding

    def search(self, text: str, limit: int = 50) -> tuple[TableRow, ...]:
        """Find tables by all words of a text, anywhere in number, name, site or contact.

        A form's number finds the table that the form is for. Of a long text the beginning counts.
        """
        asked = searchable(text[:MOST_SEARCHED]).split()
        words = [tables.c.folded.contains(word, autoescape=True) for word in asked]
        found = sa.and_(sa.true(), *words) | tables.c.number.in_(_tables_of_form(text))
        query = sa.select(tables.c.number, tables.c.name, tables.c.site).where(found)
        with self._reading() as connection:
            rows = connection.execute(query.order_by(tables.c.number).limit(limit)).all()
        return tuple(TableRow(*row) for row in rows)

    def rows(self, numbers: Collection[str]) -> dict[str, TableRow]:
        """Find tables as a list shows them; numbers that are unknown are left out."""
        columns, wanted = (tables.c.number, tables.c.name, tables.c.site), sorted(numbers)
        found = {}
        with self._reading() as connection:
            for start in range(0, len(wanted), ledger.BATCH):
                some = tables.c.number.in_(wanted[start : start + ledger.BATCH])
                rows = connection.execute(sa.select(*columns).where(some))
                found.update({row.number: TableRow(*row) for row in rows})
        return found

    def due(
        self, limit: int = 100, skip: int = 0, saying: str = ""
    ) -> tuple[tuple[TableRow, Outlook], ...]:
        """List tables by rank, then by the day of their next visit; no day comes last.

        Those that ``to_reckon`` names show what was reckoned last; those never reckoned are not in
        the list. With ``saying``, only those on which something waits and whose outlook's body, as
        JSON without blanks, has it.
        """
        columns = (tables.c.number, tables.c.name, tables.c.site)
        waiting = sa.text("outlooks.waits > 0") & outlooks.c.body.contains(saying, autoescape=True)
        query = (
            sa.select(*columns, outlooks.c.rank, outlooks.c.due_on, outlooks.c.body)
            .join(tables, tables.c.number == outlooks.c.table_number)
            .where(outlooks.c.rank.is_not(None))
            .where(waiting if saying else sa.true())
            .order_by(outlooks.c.rank, outlooks.c.due_on, outlooks.c.table_number)
        )
        with self._reading() as connection:
            rows = connection.execute(query.limit(limit).offset(skip)).all()
        return tuple((TableRow(*row[:3]), _outlook(row)) for row in rows)

    def to_reckon(self, limit: int = 100) -> dict[str, int]:
        """Name tables whose outlook is older than their records, each with its last record."""
        mine = sa.select(outlooks.c.table_number, outlooks.c.changed).where(outlooks.c.stale == 1)
        registered = mine.join(tables, tables.c.number == outlooks.c.table_number)
        with self._reading() as connection:
            return {row[0]: row[1] for row in connection.execute(registered.limit(limit))}

    def ageing(self, before: date, limit: int = 100) -> dict[str, int]:
        """Name tables whose outlook was last reckoned before a day, each with its last record."""
        old = outlooks.c.reckoned_on < before.isoformat()
        mine = sa.select(outlooks.c.table_number, outlooks.c.changed).where(old)
        with self._reading() as connection:
            return {row[0]: row[1] for row in connection.execute(mine.limit(limit))}

    def reckoned(self, table: str, seen: int, outlook: Outlook, on: date) -> None:
        """Keep a table's outlook, reckoned on a day from its records up to number ``seen``.

        If something was recorded since, the table stays among those to be reckoned.
        """
        values = {
            "rank": outlook.rank,
            "waits": outlook.waits,
            "due_on": (outlook.due_on or date.max).isoformat(),
            "body": canonical(outlook.body),
            "reckoned_on": on.isoformat(),
            "stale": sa.case((outlooks.c.changed == seen, 0), else_=1),
        }
        mine = outlooks.c.table_number == table
        with self._writing() as connection:
            connection.execute(sa.update(outlooks).where(mine).values(values))

    def stood(self, table: str) -> Stood:
        """Find how a table stands, as it was last put there."""
        query = (
            sa.select(outlooks.c.changed, standings.c.stamp, standings.c.body)
            .outerjoin_from(
                outlooks, standings, standings.c.table_number == outlooks.c.table_number
            )
            .where(outlooks.c.table_number == table)
        )
        with self._reading() as connection:
            row = connection.execute(query).first()
        return Stood(0) if row is None else Stood(*row)

    def stand(self, table: str, stood: Stood) -> None:
        """Keep how a table stands, unless something was recorded of it since it was reckoned."""
        same = (outlooks.c.table_number == table) & (outlooks.c.changed == stood.changed)
        row = {"table_number": table, "stamp": stood.stamp, "body": stood.body}
        with self._writing() as connection:
            if connection.execute(sa.select(outlooks.c.changed).where(same)).first():
                connection.execute(sa.delete(standings).where(standings.c.table_number == table))
                connection.execute(sa.insert(standings), row)

    def named(self, name: str, site: str) -> str | None:
        """Find the number of the first table of a name at a site; None when there is none."""
        mine = (tables.c.name == name) & (tables.c.site == site)
        query = sa.select(tables.c.number).where(mine).order_by(tables.c.number).limit(1)
        with self._reading() as connection:
            return connection.execute(query).scalar()

    def of_kit(self, name: str) -> tuple[str, ...]:
        """Give the numbers of all tables that a measuring kit looks after."""
        query = sa.select(kits.c.table_number).where((kits.c.name == name) & (kits.c.part == ""))
        with self._reading() as connection:
            found = connection.execute(query.order_by(kits.c.table_number))
            return tuple(found.scalars().all())

    def last_measured(self, kit: str) -> frozenset[str]:
        """Find the tables whose descriptions hold the newest measurement of each of a kit's parts.

        What it costs does not grow with how many tables the kit looks after.
        """
        found = list[str]()
        with self._reading() as connection:
            for part in MEASURED:
                mine = (kits.c.name == kit) & (kits.c.part == part)
                newest = (kits.c.measured_on.desc(), kits.c.table_number.desc())
                query = sa.select(kits.c.table_number).where(mine).order_by(*newest).limit(1)
                found += connection.execute(query).scalars().all()
        return frozenset(found)

    # ---- inside one transaction

    def _describe(
        self, connection: sa.Connection, number: str, description: Mapping[str, Any], at: datetime
    ) -> TableRecord:
        body = {"description": described(description)}
        self._append(connection, Draft(EventKind.TABLE_DESCRIBED, number, body, at))
        record = self._table(connection, number)
        assert record is not None
        return record

    def _table(self, connection: sa.Connection, number: str) -> TableRecord | None:
        return _table_of(ledger.history_of(connection, number))


def _tables_of_form(text: str) -> sa.Select[tuple[str]]:
    """Ask which table a form is for, if a text is a form's number."""
    query = sa.select(forms.c.table_number)
    try:
        return query.where(forms.c.number == FormNumber.parse(text).code)
    except FormsError:
        return query.where(sa.false())


def _table_of(history: Sequence[Event]) -> TableRecord | None:
    return table_record([event for event in history if event.kind in TABLE_KINDS])


def _outlook(row: Any) -> Outlook:
    day = date.fromisoformat(row.due_on)
    return Outlook(row.rank, None if day == date.max else day, json.loads(row.body))


def _free_token(connection: sa.Connection, table: str, token: str) -> None:
    query = sa.select(care_tokens.c.table_number).where(care_tokens.c.token == token)
    owner = connection.execute(query).scalar_one_or_none()
    if owner not in (None, table):
        raise CareTokenTaken(table)
