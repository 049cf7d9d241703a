"""What the events of one table add up to: description, moves, papers, contact. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
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


class TablePaper(StrEnum):
    """A paper that is printed for a table; forms stand in the records by themselves."""

    PASSPORT = "passport"
    BOOKLET = "passport as a booklet"
    HANDOVER = "hand-over sheet"
    LABEL = "label"
    ACTIONS = "next actions"


@dataclass(frozen=True)
class Print:
    """One printing of a table's paper."""

    paper: TablePaper
    on: date


@dataclass(frozen=True)
class Move:
    """One move of a table to another place. What was removed later is None."""

    on: date
    site: str | None
    who: str | None
    why: str
    at: str  # UTC
    seq: int


@dataclass(frozen=True)
class TableRecord:
    """One registered table.

    ``description`` is what the caller gave last, as it was given, but for the site after a move.
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
    moves: tuple[Move, ...] = ()  # oldest first
    prints: tuple[Print, ...] = ()  # of its papers but its forms, oldest first

    @property
    def here_since(self) -> date | None:
        """The day of the last move; None for a table that never moved."""
        return max((move.on for move in self.moves), default=None)


def table_record(events: Sequence[Event]) -> TableRecord | None:
    """Add up all events of one table, in the order of their numbers; None without description."""
    described = [event for event in events if event.kind is EventKind.TABLE_DESCRIBED]
    if not described:
        return None
    first, last = described[0], described[-1]
    moves = tuple(_move(event) for event in events if event.kind is EventKind.TABLE_MOVED)
    later = [move.site for move in moves if move.seq > last.seq]
    site = {"site": later[-1]} if later else {}
    return TableRecord(
        number=last.subject,
        description=_readable({**last.body["description"], **site}),
        registered=first.seq,
        described=last.seq,
        registered_at=first.at,
        described_at=last.at,
        closed_actions=_closed(events),
        contact=_contact(events),
        moves=moves,
        prints=tuple(_print(event) for event in events if event.kind is EventKind.PAPER_PRINTED),
    )


def _print(event: Event) -> Print:
    return Print(TablePaper(event.body["paper"]), date.fromisoformat(event.body["on"]))


def _move(event: Event) -> Move:
    body = event.body
    on = date.fromisoformat(body["on"])
    return Move(on, body["site"], body["who"], body["why"], event.at, event.seq)


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
