"""What most records share: who filled it in and when, notes, what waits; read and written here."""

import datetime
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar

from passport.visit import Doubt
from passport.visits.answers import Answers
from passport.visits.kind import Context, all_pages, once
from passport.visits.service import ids, remarks


@dataclass(frozen=True, kw_only=True)
class SignedRecord:
    """A record of a form; a kind's own record adds what its form asks.

    ``notes`` names the note areas that hold ink, each with its picture.
    """

    form: str
    kind: str
    table: str
    date: datetime.date | None = None
    technician: str | None = None
    office_must_read: bool = False
    unsafe: bool = False
    notes: Mapping[str, str] = field(default_factory=dict)
    doubts: tuple[Doubt, ...] = ()
    missing_pages: tuple[int, ...] = ()


R = TypeVar("R", bound=SignedRecord)


@dataclass(frozen=True)
class Arrival:
    """Which pages came in, and when."""

    pages_in: Collection[int]
    on: datetime.date


def signed(record: R, answers: Answers, context: Context, arrival: Arrival) -> R:
    """Add to a record its date, its technician, its notes and all its doubts.

    The record's own doubts come last; a doubtful "unsafe" comes first.
    """
    when, date_doubts = remarks.visit_date(answers, context.printed_on, arrival.on)
    unsafe, unsafe_doubts = remarks.unsafe(answers)
    notes = {note: crop for note in answers.fields if (crop := answers.written(note)) is not None}
    return replace(
        record,
        date=when,
        technician=answers.word(ids.TECHNICIAN),
        office_must_read=answers.ticked(ids.OFFICE_MUST_READ),
        unsafe=unsafe,
        notes=notes,
        doubts=once([*unsafe_doubts, *answers.doubts(), *date_doubts, *record.doubts]),
        missing_pages=all_pages(context.layout, arrival.pages_in),
    )
