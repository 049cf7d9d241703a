"""What the events of one table add up to: its latest description and its closed actions. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from passport.records.drafts import PERSONAL_KEYS, Contact
from passport.records.event import Event, EventKind

REMOVED = "(removed)"


class ActionResult(StrEnum):
    """How a next action ended."""

    DONE = "done"
    NOT_NEEDED = "not needed"
    NOT_POSSIBLE = "not possible"


@dataclass(frozen=True)
class ClosedAction:
    """One next action that a person has closed; the last word counts."""

    table: str
    action: str
    result: ActionResult
    why: str
    at: str  # UTC
    seq: int


@dataclass(frozen=True)
class TableRecord:
    """One registered table. ``description`` is what the caller gave last, as it was given.

    ``registered`` and ``described`` are the numbers of the first and last event that described it.
    """

    number: str
    description: dict[str, Any]
    registered: int
    described: int
    registered_at: str  # UTC
    described_at: str  # UTC
    closed_actions: tuple[ClosedAction, ...] = ()
    contact: Contact | None = None  # None before one was given and after it was removed


def table_record(events: Sequence[Event]) -> TableRecord | None:
    """Add up all events of one table, in the order of their numbers; None without description."""
    described = [event for event in events if event.kind is EventKind.TABLE_DESCRIBED]
    if not described:
        return None
    first, last = described[0], described[-1]
    return TableRecord(
        number=last.subject,
        description=_readable(last.body["description"]),
        registered=first.seq,
        described=last.seq,
        registered_at=first.at,
        described_at=last.at,
        closed_actions=_closed(events),
        contact=_contact(events),
    )


def _readable(description: dict[str, Any]) -> dict[str, Any]:
    """Say of a text that was removed that it was."""
    gone = {key: REMOVED for key in PERSONAL_KEYS & description.keys() if description[key] is None}
    return {**description, **gone}


def _contact(events: Sequence[Event]) -> Contact | None:
    given = [event.body for event in events if event.kind is EventKind.CONTACT_GIVEN]
    found = Contact(**{key: given[-1].get(key) or "" for key in vars(Contact())}) if given else None
    return None if found == Contact() else found


def _closed(events: Sequence[Event]) -> tuple[ClosedAction, ...]:
    last = {
        event.body["action"]: _action(event)
        for event in events
        if event.kind is EventKind.ACTION_CLOSED
    }
    return tuple(last[action] for action in sorted(last))


def _action(event: Event) -> ClosedAction:
    body = event.body
    result = ActionResult(body["result"])
    return ClosedAction(event.subject, body["action"], result, body["why"], event.at, event.seq)
