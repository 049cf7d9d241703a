"""The events in the database: appending one, reading them back, checking them all.

Every function works inside the caller's transaction.
"""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from passport.records.canonical import canonical, opened, private_hashes, seal, sealed
from passport.records.chain import GENESIS, checked, text_hash
from passport.records.errors import ChainBroken, ChainCut
from passport.records.event import (
    SCHEMAS,
    Event,
    EventKind,
    SchemaNewer,
    read_up,
    utc_text,
)
from passport.records.schema import care_tokens, events, private_texts

BATCH = 500  # rows held in memory at once while all are read

Salts = Callable[[], bytes]


@dataclass(frozen=True)
class Draft:
    """An event before it has a number. Texts in the body may be ``Private``."""

    kind: EventKind
    subject: str
    body: Mapping[str, Any]
    at: datetime


@dataclass(frozen=True)
class Head:
    """The last event's number and hash; ``GENESIS`` while there is none."""

    seq: int
    hash: str


@dataclass(frozen=True)
class Verified:
    """What was checked: how many events, the head, and how many private texts are gone."""

    events: int
    head: str
    removed: int


def head(connection: sa.Connection) -> Head:
    """Find the last event."""
    query = sa.select(events.c.seq, events.c.hash).order_by(events.c.seq.desc()).limit(1)
    row = connection.execute(query).one_or_none()
    return Head(0, GENESIS) if row is None else Head(row.seq, row.hash)


def append(connection: sa.Connection, draft: Draft, salts: Salts) -> Event:
    """Add one event behind the last one.

    Raises
    ------
    BodyNotExact
        The body would not read back exactly.
    """
    last = head(connection)
    body, private = sealed({**draft.body, "schema": SCHEMAS[draft.kind]}, salts)
    row = {
        "at": utc_text(draft.at),
        "body": canonical(body),
        "kind": draft.kind.value,
        "seq": last.seq + 1,
        "subject": draft.subject,
        "previous": last.hash,
    }
    row["hash"] = text_hash(last.hash, row)
    connection.execute(sa.insert(events), row)
    for one in private:
        values = {"hash": one.hash, "salt": one.salt, "text": one.text}
        connection.execute(sa.insert(private_texts), values)
    return Event(
        last.seq + 1, str(row["at"]), draft.kind, draft.subject, json.loads(str(row["body"]))
    )


def events_of(connection: sa.Connection, subject: str) -> tuple[Event, ...]:
    """Read all events of a table or a form, oldest first."""
    query = sa.select(events).where(events.c.subject == subject).order_by(events.c.seq)
    return tuple(_event(row) for row in connection.execute(query))


def history_of(connection: sa.Connection, subject: str) -> tuple[Event, ...]:
    """Read all events of a table or a form with the private texts in their places."""
    return _opened(connection, events_of(connection, subject))


def histories_of(
    connection: sa.Connection, subjects: sa.Select[tuple[str]] | Sequence[str]
) -> dict[str, tuple[Event, ...]]:
    """Read the histories of many tables or forms at once; the oldest subject comes first."""
    query = sa.select(events).where(events.c.subject.in_(subjects)).order_by(events.c.seq)
    found: dict[str, list[Event]] = {}
    for event in _opened(connection, [_event(row) for row in connection.execute(query)]):
        found.setdefault(event.subject, []).append(event)
    return {subject: tuple(history) for subject, history in found.items()}


def all_events(connection: sa.Connection) -> Iterator[Event]:
    """Read every event, oldest first."""
    for rows in _batches(connection):
        yield from (_event(row) for row in rows)


def chain(connection: sa.Connection) -> Iterator[dict[str, Any]]:
    """Read every event as it stands in the chain, with the previous hash and its own."""
    for rows in _batches(connection):
        for row in rows:
            yield {**row._mapping, "body": _body(row)}


def private_text(connection: sa.Connection, digest: str) -> str | None:
    """Find a private text by its hash; None when it was removed."""
    query = sa.select(private_texts.c.text).where(private_texts.c.hash == digest)
    found = connection.execute(query).scalar_one_or_none()
    return None if found is None else str(found)


def verify_chain(connection: sa.Connection, printed: str | None = None) -> Verified:
    """Recompute every hash, and the hashes of the private texts that are still there.

    Parameters
    ----------
    connection : Connection
        A connection with an open transaction.
    printed : str, optional
        The mark of a printed sheet: the first symbols of the head hash as it was then.

    Raises
    ------
    ChainBroken
        An event, or a private text, is not what was written.
    ChainCut
        No event has the printed mark.
    """
    last, removed = Head(0, GENESIS), 0
    met = printed is None
    for rows in _batches(connection):
        bodies = {}
        for row in rows:
            bodies[row.seq] = checked(row, last.hash, last.seq + 1)
            last = Head(row.seq, row.hash)
            met = met or row.hash.startswith(printed)
        removed += _removed(connection, bodies)
    if printed is not None and not met:
        raise ChainCut(printed, last.seq)
    return Verified(last.seq, last.hash, removed)


def _opened(connection: sa.Connection, found: Sequence[Event]) -> tuple[Event, ...]:
    hashes = [one for event in found for one in private_hashes(event.body)]
    texts = {row.hash: row.text for row in _private_rows(connection, hashes)}
    return tuple(replace(event, body=opened(event.body, texts)) for event in found)


def _batches(connection: sa.Connection) -> Iterator[Sequence[Any]]:
    query = sa.select(events).order_by(events.c.seq).execution_options(yield_per=BATCH)
    with connection.execute(query) as rows:
        yield from rows.partitions()


def _removed(connection: sa.Connection, bodies: Mapping[int, Any]) -> int:
    """Check the private texts of a batch of events, and count those that are gone."""
    wanted = {one: seq for seq, body in bodies.items() for one in private_hashes(body)}
    found = set()
    for row in _private_rows(connection, list(wanted)):
        if seal(row.text, row.salt).hash != row.hash:
            raise ChainBroken(wanted[row.hash], "a private text beside it was altered")
        found.add(row.hash)
    return len(wanted.keys() - found)


def _private_rows(connection: sa.Connection, hashes: list[str]) -> Iterator[Any]:
    texts = sa.select(private_texts.c.hash, private_texts.c.salt, private_texts.c.text)
    tokens = sa.select(care_tokens.c.hash, care_tokens.c.salt, care_tokens.c.token.label("text"))
    for start in range(0, len(hashes), BATCH):
        some = hashes[start : start + BATCH]
        yield from connection.execute(texts.where(private_texts.c.hash.in_(some)))
        yield from connection.execute(tokens.where(care_tokens.c.hash.in_(some)))


def _event(row: Any) -> Event:
    try:
        kind = EventKind(row.kind)
    except ValueError as error:
        raise SchemaNewer(f"{row.kind!r} in record {row.seq}") from error
    return read_up(Event(row.seq, row.at, kind, row.subject, _body(row)))


def _body(row: Any) -> dict[str, Any]:
    try:
        body: dict[str, Any] = json.loads(row.body)
    except ValueError as error:
        raise ChainBroken(row.seq, "its content can't be read") from error
    return body
