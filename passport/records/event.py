"""Events: what happened, when, to what; and how old ones are read up."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from enum import StrEnum
from typing import Any


class EventKind(StrEnum):
    """Everything that can happen to a store. Names are never reused."""

    TABLE_DESCRIBED = "table described"
    FORM_PRINTED = "form printed"
    LAYOUT_ADDED = "layout added"
    PAGE_READ = "page read"
    FILL_CONFLICT = "fill conflict"
    VALUE_SETTLED = "value settled"
    PHOTO_SET_ASIDE = "photo set aside"
    FORM_CLOSED = "form closed"
    FORM_BOUND = "form bound"  # a spare form to the table whose number is written on it
    NOTES_READ = "notes read"  # somebody at the office read what was written on a form
    CUSTOMER_TOLD = "customer told"  # by telephone, that a form says unsafe
    ACTION_CLOSED = "action closed"
    CARE_TOKEN_ISSUED = "care token issued"
    CONTACT_GIVEN = "contact given"
    TABLE_MOVED = "table moved"  # to another place
    PAPER_PRINTED = "paper printed"  # for a table, but for its forms
    TABLE_FORGOTTEN = "table forgotten"  # personal texts of a table removed
    FORM_FORGOTTEN = "form forgotten"  # personal texts, cut-outs and photos of a form removed


TABLE_KINDS = frozenset(
    {
        EventKind.TABLE_DESCRIBED,
        EventKind.ACTION_CLOSED,
        EventKind.CARE_TOKEN_ISSUED,
        EventKind.CONTACT_GIVEN,
        EventKind.TABLE_MOVED,
        EventKind.PAPER_PRINTED,
        EventKind.TABLE_FORGOTTEN,
    }
)
FORM_KINDS = frozenset(EventKind) - TABLE_KINDS
LAYOUT_KINDS = frozenset({EventKind.FORM_PRINTED, EventKind.LAYOUT_ADDED})

SCHEMAS: Mapping[EventKind, int] = {**dict.fromkeys(EventKind, 1), EventKind.PAGE_READ: 2}

ReadUp = Callable[[dict[str, Any]], dict[str, Any]]


def kept_as_it_came(body: dict[str, Any]) -> dict[str, Any]:
    """Page read, 1 to 2: photos were kept as they came, so the kept one has the same hash."""
    return {**body, "kept": body["photo"]}


READ_UPS: Mapping[tuple[EventKind, int], ReadUp] = {  # (kind, schema) -> body of schema + 1
    (EventKind.PAGE_READ, 1): kept_as_it_came,
}


@dataclass(frozen=True)
class Event:
    """One event as it stands in the chain. ``subject`` is a table's or a form's number."""

    seq: int
    at: str
    kind: EventKind
    subject: str
    body: dict[str, Any] = field(default_factory=dict)


class SchemaNewer(ValueError):
    """An event of a schema that this version does not know; the store says so to the user."""


def utc_text(at: datetime) -> str:
    """Write a moment as UTC text that sorts as it happened: ``2026-11-24T23:05:31.000000Z``.

    Raises
    ------
    ValueError
        The moment has no time zone: a mistake of the caller.
    """
    if at.tzinfo is None:
        raise ValueError("a moment needs its time zone")
    return at.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def read_up(
    event: Event,
    schemas: Mapping[EventKind, int] = SCHEMAS,
    read_ups: Mapping[tuple[EventKind, int], ReadUp] = READ_UPS,
) -> Event:
    """Bring an event's body to the schema of today, step by step; the chain is not touched.

    Raises
    ------
    SchemaNewer
        The event was written by a later version.
    """
    body = event.body
    if body["schema"] > schemas[event.kind]:
        raise SchemaNewer(f"{event.kind} {body['schema']}")
    while body["schema"] < schemas[event.kind]:
        body = {**read_ups[event.kind, body["schema"]](body), "schema": body["schema"] + 1}
    return Event(event.seq, event.at, event.kind, event.subject, body)
