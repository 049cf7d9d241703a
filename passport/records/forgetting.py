"""Taking personal texts out of the store at someone's wish; the chain stays as it was written.

What goes: names of people wherever they stand, names of technicians on the layouts of forms, the
cut-outs of notes and signatures, the photos that show them, whom to call and where a table stands.
The chain holds salted hashes of them only, so it can still be checked; one more record says which
texts went, who wanted it and why. Backups made before still hold everything.

Everything here works inside the caller's transaction. Files go after it (``Book.remove_files``):
until then the store remembers that they must.
"""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any, NamedTuple

import sqlalchemy as sa

from passport.records import ledger
from passport.records.canonical import PRIVATE, Private, private_hashes
from passport.records.drafts import Decision
from passport.records.event import LAYOUT_KINDS, Event, EventKind
from passport.records.ledger import Draft
from passport.records.schema import files_to_remove, page_photos, private_texts
from passport.records.shelf import Shelf

BATCH = 500


class Photos(StrEnum):
    """What to do with photos that show what is to be forgotten."""

    REMOVE = "remove"
    KEEP = "keep"


@dataclass(frozen=True)
class Forgotten:
    """How many texts, cut-outs and photos went."""

    texts: int = 0
    cut_outs: int = 0
    photos: int = 0

    def __add__(self, other: "Forgotten") -> "Forgotten":
        """Count both."""
        return Forgotten(
            self.texts + other.texts, self.cut_outs + other.cut_outs, self.photos + other.photos
        )


class Wish(NamedTuple):
    """What is to be forgotten: everything personal of a subject, or one person."""

    decision: Decision
    at: datetime
    photos: Photos = Photos.REMOVE
    person: str | None = None


class Shelves(NamedTuple):
    """Where the files stand, and which fields may name a person."""

    photos: Shelf
    crops: Shelf
    personal: frozenset[str]


def subjects_naming(connection: sa.Connection, person: str) -> tuple[str, ...]:
    """Find all tables and forms whose records name a person. Reads the whole chain once."""
    quoted = json.dumps(person, ensure_ascii=False)
    named = (private_texts.c.text == person) | (
        private_texts.c.text.startswith('{"layout"')
        & private_texts.c.text.contains(quoted, autoescape=True)
    )
    hashes = set(connection.execute(sa.select(private_texts.c.hash).where(named)).scalars())
    found = {
        event.subject: None
        for event in (ledger.all_events(connection) if hashes else ())
        if hashes.intersection(private_hashes(event.body))
    }
    return tuple(found)


def forget_table(connection: sa.Connection, table: str, wish: Wish) -> tuple[Draft, Forgotten]:
    """Remove the personal texts of a table; the record that says so is the caller's to add."""
    events = ledger.events_of(connection, table)
    texts = _texts(connection, (one for event in events for one in private_hashes(event.body)))
    gone = {one for one, text in texts.items() if wish.person in (None, text)}
    _remove_texts(connection, gone)
    body = {"removed": sorted(gone), **wish.decision.body()}
    return Draft(EventKind.TABLE_FORGOTTEN, table, body, wish.at), Forgotten(len(gone))


def forget_form(
    connection: sa.Connection, form: str, wish: Wish, shelves: Shelves
) -> tuple[Draft, Forgotten]:
    """Remove the personal texts, cut-outs and photos of a form, and the names on its layout."""
    events = ledger.events_of(connection, form)
    texts = _texts(connection, (one for event in events for one in private_hashes(event.body)))
    layouts = {event.body["layout"][PRIVATE] for event in events if "layout" in event.body}
    layout = _last_layout(events, texts, wish, shelves.personal)
    filled = wish.person is None or wish.person in _names_read(events, texts, shelves.personal)
    cut_outs = set(_cut_outs(events, texts, shelves.personal)) if filled else set()
    gone = {
        one
        for one, text in texts.items()
        if one not in layouts and (wish.person in (None, text) or text in cut_outs)
    } | (layouts & texts.keys() if layout else set())
    _remove_texts(connection, gone)
    photos = sorted({event.body["photo"] for event in _pages(events)}) if filled else []
    photos = photos if wish.photos is Photos.REMOVE else []
    files = [*_unused(connection, cut_outs, shelves), *_kept(connection, photos, shelves)]
    _mark_files(connection, files)
    body = {"removed": sorted(gone), "photos": photos, **wish.decision.body(), **layout}
    draft = Draft(EventKind.FORM_FORGOTTEN, form, body, wish.at)
    return draft, Forgotten(len(gone), len(cut_outs), len(photos))


def without_names(layout: str, personal: frozenset[str], person: str | None) -> str | None:
    """Write a layout with other words where people's names stood; None when none stood there.

    Parameters
    ----------
    layout : str
        Text of the layout file.
    personal : frozenset of str
        Ids of the fields that name people.
    person : str or None
        Whose name must go; None for all.
    """
    data = json.loads(layout)
    found = False
    for field in (one for page in data["pages"] for one in page["fields"]):
        if field["id"] in personal:
            found |= _rename(field.get("options", []), person)
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")) if found else None


def _rename(options: list[dict[str, Any]], person: str | None) -> bool:
    found = False
    for place, option in enumerate(options, start=1):
        if person in (None, option["value"]):
            option["value"], found = f"removed {place}", True
    return found


def _last_layout(
    events: Iterable[Event], texts: dict[str, str], wish: Wish, personal: frozenset[str]
) -> dict[str, Private]:
    """Write the layout without names as a part of the record; nothing where none stood."""
    kinds = LAYOUT_KINDS | {EventKind.FORM_FORGOTTEN}
    hashes = [e.body["layout"][PRIVATE] for e in events if e.kind in kinds and "layout" in e.body]
    changed = without_names(texts[hashes[-1]], personal, wish.person)
    return {} if changed is None else {"layout": Private(changed)}


def _names_read(
    events: Iterable[Event], texts: dict[str, str], personal: frozenset[str]
) -> set[str]:
    """Find the names that were read in a form or put there by a person."""
    values = [
        reading.get("value")
        for event in _pages(events)
        for field, reading in event.body["readings"].items()
        if field in personal
    ]
    values += [event.body["value"] for event in events if event.kind is EventKind.VALUE_SETTLED]
    hashes = {one for value in values for one in private_hashes(value)}
    return {texts[one] for one in hashes & texts.keys()}


def _cut_outs(
    events: Iterable[Event], texts: dict[str, str], personal: frozenset[str]
) -> Iterator[str]:
    """Find the cut-outs of notes, signatures and names; records of schema 1 name them openly."""
    for event in _pages(events):
        for field, reading in event.body["readings"].items():
            crop = reading.get("crop")
            if isinstance(crop, dict):
                yield from (texts[one] for one in private_hashes(crop) if one in texts)
            elif crop is not None and (field in personal or "ink" in reading):
                yield crop


def _pages(events: Iterable[Event]) -> Iterator[Event]:
    return (event for event in events if event.kind is EventKind.PAGE_READ)


def _texts(connection: sa.Connection, hashes: Iterable[str]) -> dict[str, str]:
    """Find the private texts that are still there."""
    columns, wanted = sa.select(private_texts.c.hash, private_texts.c.text), list(hashes)
    return {
        row.hash: row.text
        for some in _batches(wanted)
        for row in connection.execute(columns.where(private_texts.c.hash.in_(some)))
    }


def _remove_texts(connection: sa.Connection, hashes: set[str]) -> None:
    for some in _batches(sorted(hashes)):
        connection.execute(sa.delete(private_texts).where(private_texts.c.hash.in_(some)))


def _unused(connection: sa.Connection, crops: set[str], shelves: Shelves) -> Iterator[str]:
    """Paths of cut-outs that no other record needs."""
    for crop in sorted(crops):
        query = sa.select(private_texts.c.hash).where(private_texts.c.text == crop).limit(1)
        if connection.execute(query).first() is None:
            yield f"{shelves.crops.name}/{crop}"


def _kept(connection: sa.Connection, photos: list[str], shelves: Shelves) -> Iterator[str]:
    """Paths of the photos that are still there."""
    query = sa.select(page_photos.c.kept).where(page_photos.c.sha256.in_(photos)).distinct()
    for kept in connection.execute(query).scalars():
        name = shelves.photos.find(kept) if kept else None
        if name is not None:
            yield f"{shelves.photos.name}/{name}"


def _mark_files(connection: sa.Connection, paths: list[str]) -> None:
    known = set(connection.execute(sa.select(files_to_remove.c.path)).scalars())
    rows = [{"path": path} for path in dict.fromkeys(paths) if path not in known]
    if rows:
        connection.execute(sa.insert(files_to_remove), rows)


def _batches(values: list[str]) -> Iterator[list[str]]:
    return (values[start : start + BATCH] for start in range(0, len(values), BATCH))
