"""Projections: rows made from events so that the store can be searched, made anew at any time.

An event changes the rows of its own subject only; they are computed from all events of that
subject by the pure functions of ``form_state`` and ``table_state``. So a rebuild gives the same,
and what an intake costs does not depend on how large the store is.
"""

import json
import unicodedata
from collections.abc import Mapping, Sequence
from typing import Any

import sqlalchemy as sa

from passport.records.canonical import canonical, reading_json
from passport.records.errors import FormExists, FormUnknown, TableUnknown
from passport.records.event import FORM_KINDS, LAYOUT_KINDS, Event, EventKind
from passport.records.form_state import FormRecord, FormState, form_record
from passport.records.ledger import events_of, history_of
from passport.records.schema import (
    PROJECTIONS,
    closed_actions,
    events,
    forms,
    kits,
    lessons,
    open_doubts,
    outlooks,
    page_photos,
    standings,
    tables,
    tellings,
)
from passport.records.table_state import TableRecord, table_record

WHOLE = "0004"  # stores before it have all projections made anew
AT_ONCE = 500  # descriptions held in memory
OPEN = (FormState.PRINTED, FormState.PARTLY_IN, FormState.IN)
MEASURED = {"card": ("card_on",), "zero": ("zero", "on"), "bow": ("bow", "on")}  # days in a kit


def refresh(connection: sa.Connection, event: Event) -> None:
    """Bring the rows of an event's subject up to date.

    Raises
    ------
    FormUnknown, FormExists, TableUnknown
        The event can't happen to its subject.
    """
    history = history_of(connection, event.subject)
    if event.kind in FORM_KINDS:
        _check_form(event, history[0])
        record = form_record(history)
        _write_form(connection, record, history[0].seq, event.seq)
        for table in {record.table, event.body.get("was")} - {None, ""}:
            _make_stale(connection, str(table), event.seq)
    else:
        _write_table(connection, event.subject, table_record(history))
        if event.kind is not EventKind.PAPER_PRINTED or not _reckoned(connection, event.subject):
            _make_stale(connection, event.subject, event.seq)


def rebuild(connection: sa.Connection) -> None:
    """Throw all projections away and make them anew from the events."""
    for table in PROJECTIONS:
        connection.execute(sa.delete(table))
    latest = sa.select(sa.func.max(events.c.seq)).group_by(events.c.subject).scalar_subquery()
    query = sa.select(events.c.subject).where(events.c.seq.in_(latest)).order_by(events.c.subject)
    for subject in connection.execute(query).scalars().all():
        refresh(connection, events_of(connection, subject)[-1])


def bring_up(connection: sa.Connection, found: str) -> None:
    """Make those rows that a store of an earlier revision lacks; of an early one, all."""
    if found < WHOLE:
        rebuild(connection)
        return
    described = sa.select(tables.c.number, events.c.body).join(
        events, events.c.seq == tables.c.described
    )
    for number, body in connection.execute(described.execution_options(yield_per=AT_ONCE)):
        _write_kits(connection, number, json.loads(body)["description"])
    mine = forms.c.state.in_([state.value for state in OPEN])
    for row in connection.execute(sa.select(forms).where(mine)).all():
        record = form_record(history_of(connection, row.number))
        query = sa.update(forms).where(forms.c.number == row.number)
        connection.execute(query.values(_pages(record)))


def _check_form(event: Event, first: Event) -> None:
    """Let a form begin once, with its layout."""
    if first.kind not in LAYOUT_KINDS:
        raise FormUnknown(event.subject)
    if event.kind in LAYOUT_KINDS and event.seq != first.seq:
        raise FormExists(event.subject)


def _write_form(
    connection: sa.Connection, record: FormRecord, first_event: int, changed: int
) -> None:
    printed_on = None if record.printed_on is None else record.printed_on.isoformat()
    row = {
        "number": record.number,
        "table_number": record.table,
        "kind": record.kind,
        "state": record.state.value,
        "printed_on": printed_on,
        "first_event": first_event,
        "changed": changed,
        **_pages(record),
    }
    _forget_telling(connection, tellings.c.form == record.number)
    _replace(connection, forms.c.number == record.number, [row])
    _replace(connection, page_photos.c.form == record.number, _photo_rows(record))
    _replace(connection, open_doubts.c.form == record.number, _doubt_rows(record))


def _pages(record: FormRecord) -> dict[str, Any]:
    return {"pages": len(record.pages), "missing": json.dumps(record.missing)}


def _forget_telling(connection: sa.Connection, mine: sa.ColumnElement[bool]) -> None:
    """Throw away what forms came to: their records, or those of their table, say more now."""
    connection.execute(sa.delete(tellings).where(mine))


def _photo_rows(record: FormRecord) -> list[dict[str, Any]]:
    return [
        {
            "sha256": photo.sha256,
            "position": photo.position,
            "form": record.number,
            "page": photo.page,
            "left_out": photo.left_out,
            "kept": photo.kept,
            "forgotten": int(photo.forgotten),
        }
        for photo in record.photos
    ]


def _doubt_rows(record: FormRecord) -> list[dict[str, Any]]:
    return [
        {
            "form": record.number,
            "field": doubt.field,
            "table_number": record.table,
            "page": doubt.page,
            "reading": canonical(reading_json(doubt.reading)),
        }
        for doubt in record.doubts
    ]


def _write_table(connection: sa.Connection, number: str, record: TableRecord | None) -> None:
    if record is None:
        raise TableUnknown(number)
    _forget_telling(connection, tellings.c.table_number == number)
    row = {
        "number": record.number,
        "registered": record.registered,
        "described": record.described,
        **_searched(record),
    }
    _replace(connection, tables.c.number == record.number, [row])
    _write_kits(connection, record.number, record.description)
    actions = [
        {
            "table_number": record.number,
            "action": one.action,
            "result": one.result.value,
            "closed": one.seq,
        }
        for one in record.closed_actions
    ]
    _replace(connection, closed_actions.c.table_number == record.number, actions)
    build = record.description.get("build")
    named = [{"table_number": record.number, "build": str(build)}] if build else []
    _replace(connection, lessons.c.table_number == record.number, named)


def _write_kits(connection: sa.Connection, number: str, described: Mapping[str, Any]) -> None:
    """Write which kit looks after a table, and when what of it was measured."""
    kit = described.get("kit") or {}
    found = {"": "", **_days(kit)} if "name" in kit else {}
    rows = [
        {"name": str(kit["name"]), "part": part, "measured_on": day, "table_number": number}
        for part, day in found.items()
    ]
    _replace(connection, kits.c.table_number == number, rows)


def _days(kit: Mapping[str, Any]) -> dict[str, str]:
    days = {}
    for part, keys in MEASURED.items():
        value: Any = kit
        for key in keys:
            value = value and value.get(key)
        if value:
            days[part] = str(value)
    return days


def _searched(record: TableRecord) -> dict[str, str]:
    """Write what a search looks at."""
    name, site = (str(record.description.get(key, "")) for key in ("name", "site"))
    contact = vars(record.contact).values() if record.contact else ()
    folded = searchable(" ".join((record.number, name, site, *contact)))
    return {"name": name, "site": site, "folded": folded}


def searchable(text: str) -> str:
    """Fold a text for searching: no difference of case or accents (Unicode, UAX #15: NFKD).

    A NUL, at which SQLite's LIKE ends, becomes a space.
    """
    apart = unicodedata.normalize("NFKD", text.replace("\x00", " ").casefold())
    return "".join(symbol for symbol in apart if not unicodedata.combining(symbol))


def _reckoned(connection: sa.Connection, table: str) -> bool:
    """Whether the office was asked to reckon a table before; a print changes nothing of that."""
    mine = sa.select(outlooks.c.table_number).where(outlooks.c.table_number == table)
    return connection.execute(mine).first() is not None


def _make_stale(connection: sa.Connection, table: str, seq: int) -> None:
    """Have the office reckon anew how a table stands and when it needs a visit.

    How it stood is left to it, under no program's stamp: what comes next is reckoned from there.
    """
    stood = sa.update(standings).where(standings.c.table_number == table)
    connection.execute(stood.values(stamp=""))
    taught = sa.update(lessons).where(lessons.c.table_number == table)
    connection.execute(taught.values(stamp=None, body=None))
    mine = outlooks.c.table_number == table
    latest = sa.case((outlooks.c.changed > seq, outlooks.c.changed), else_=seq)
    known = connection.execute(sa.update(outlooks).where(mine).values(changed=latest, stale=1))
    if not known.rowcount:
        row = {"table_number": table, "changed": seq, "stale": 1}
        connection.execute(sa.insert(outlooks), row)


def _replace(
    connection: sa.Connection, mine: sa.ColumnElement[bool], rows: Sequence[dict[str, Any]]
) -> None:
    """Write the rows of one subject in place of those that were there."""
    table = mine.left.table
    connection.execute(sa.delete(table).where(mine))
    if rows:
        connection.execute(sa.insert(table), rows)
