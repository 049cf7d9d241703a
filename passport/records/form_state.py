"""What the events of one form add up to: its pages, readings, doubts and conflicts.

Pure: events in, one ``FormRecord`` out. The order in which photos came makes no difference, except
to what a person had seen when settling a value.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum
from typing import Any

from passport.records.canonical import readings_of, value_of
from passport.records.event import Event, EventKind
from passport.records.merge import Merged, Readings, asserts, claim, merged
from scan.reading import Reading, Status, Value, Why


class FormState(StrEnum):
    """How far a form has come."""

    PRINTED = "printed"  # out, no page in
    PARTLY_IN = "partly in"  # pages missing
    IN = "in"  # all pages in, something waits for a person
    SETTLED = "settled"  # nothing waits
    CLOSED = "closed"  # a person said that nothing more will come


@dataclass(frozen=True)
class PagePhoto:
    """One photo of one page.

    ``position`` is the page's place among the pages of its file, ``left_out`` the number of pages
    of that file that name a form but could not be recorded with this one.
    """

    sha256: str
    position: int
    page: int
    readings: Readings
    seq: int
    model: str | None = None
    left_out: int = 0
    set_aside: bool = False
    kept: str = ""  # hash of the file on the shelf
    forgotten: bool = False  # the file was removed


@dataclass(frozen=True)
class OpenDoubt:
    """A field that waits for a person: a doubt, or a field that no photo shows."""

    form: str
    table: str
    page: int
    field: str
    reading: Reading


@dataclass(frozen=True)
class Answer:
    """A person's answer to a field. ``who`` is None when the name was removed."""

    field: str
    value: Value
    who: str | None
    why: str
    at: str  # UTC
    seq: int


@dataclass(frozen=True)
class Heard:
    """Somebody read a form's notes, or told the customer what it says. Removed names are None.

    ``told`` is whom, ``told_at`` when as it was typed; both only of a call.
    """

    who: str | None
    why: str
    at: str  # UTC
    seq: int
    told: str | None = None
    told_at: str | None = None


@dataclass(frozen=True)
class FormRecord:
    """One printed copy of a form, as far as it has come.

    ``described`` is the number of the event that described the table as it was when the form was
    printed; None for a form printed elsewhere, like ``printed_on``. ``pages`` are the pages that
    must come in, ``optional`` those that need not. In ``readings`` a person's answers stand where
    they were given. ``table`` is empty while a spare form is not bound to one: ``names_table`` is
    its field that says which table, and waits for a person until it does.
    """

    number: str
    kind: str
    table: str
    printed_on: date | None
    described: int | None
    layout: str | None = field(repr=False)  # text of its layout file
    pages: tuple[int, ...]
    optional: tuple[int, ...]
    photos: tuple[PagePhoto, ...] = ()
    readings: Readings = field(default_factory=dict)
    conflicts: tuple[tuple[int, str], ...] = ()  # page, field
    doubts: tuple[OpenDoubt, ...] = ()
    answers: tuple[Answer, ...] = ()  # all of them, corrected ones too, oldest first
    closed: bool = False
    notes_read: tuple[Heard, ...] = ()
    customer_told: tuple[Heard, ...] = ()
    names_table: str | None = None

    @property
    def notes_are_read(self) -> bool:
        """Whether somebody read the notes since the last photo that counts."""
        last = max((photo.seq for photo in self.photos if not photo.set_aside), default=0)
        return any(one.seq > last for one in self.notes_read)

    @property
    def pages_in(self) -> tuple[int, ...]:
        """Pages of which at least one photo counts."""
        return tuple(sorted({photo.page for photo in self.photos if not photo.set_aside}))

    @property
    def missing(self) -> tuple[int, ...]:
        """Pages that must come in and have not."""
        return tuple(page for page in self.pages if page not in self.pages_in)

    @property
    def state(self) -> FormState:
        """How far the form has come."""
        if self.closed:
            return FormState.CLOSED
        if not self.pages_in:
            return FormState.PRINTED
        if self.missing:
            return FormState.PARTLY_IN
        return FormState.IN if self.doubts else FormState.SETTLED

    def photo(self, sha256: str, position: int) -> PagePhoto | None:
        """Find a photo by its file and its place in it."""
        return next(
            (one for one in self.photos if (one.sha256, one.position) == (sha256, position)), None
        )


def form_record(events: Sequence[Event]) -> FormRecord:
    """Add up all events of one form, in the order of their numbers.

    The first of them must be the form's printing, or the bringing in of its layout.
    """
    record = _bound(events, _printed(events[0]))
    photos = _photos(events)
    pages = {page: _page(photos, page) for page in sorted({photo.page for photo in photos})}
    record = replace(
        record,
        layout=_layout(events, record.layout),
        photos=photos,
        conflicts=tuple((page, name) for page, one in pages.items() for name in one.conflicts),
        answers=_answers(events),
        closed=any(event.kind is EventKind.FORM_CLOSED for event in events),
        notes_read=_heard(events, EventKind.NOTES_READ),
        customer_told=_heard(events, EventKind.CUSTOMER_TOLD),
    )
    return _with_readings(record, pages)


def _printed(event: Event) -> FormRecord:
    body = event.body
    printed_on = body.get("printed_on")
    return FormRecord(
        number=event.subject,
        kind=body["form_kind"],
        table=body["table"],
        printed_on=None if printed_on is None else date.fromisoformat(printed_on),
        described=body.get("described"),
        layout=body["layout"],
        pages=tuple(body["pages"]),
        optional=tuple(body["optional_pages"]),
        names_table=body.get("names_table"),
    )


def _bound(events: Sequence[Event], record: FormRecord) -> FormRecord:
    """Take the table that a spare form was bound to last, as it was described then."""
    bodies = [event.body for event in events if event.kind is EventKind.FORM_BOUND]
    if not bodies:
        return record
    return replace(record, table=bodies[-1]["table"], described=bodies[-1]["described"])


def _layout(events: Sequence[Event], printed: str | None) -> str | None:
    """Take the last layout: the printed one, or the one that took its place without names."""
    layouts = [
        event.body["layout"]
        for event in events
        if event.kind is EventKind.FORM_FORGOTTEN and "layout" in event.body
    ]
    return layouts[-1] if layouts else printed


def _photos(events: Sequence[Event]) -> tuple[PagePhoto, ...]:
    gone = {
        photo
        for event in events
        if event.kind is EventKind.FORM_FORGOTTEN
        for photo in event.body["photos"]
    }
    aside = {
        (event.body["photo"], event.body["position"])
        for event in events
        if event.kind is EventKind.PHOTO_SET_ASIDE
    }
    return tuple(
        replace(
            _photo(event.body, event.seq),
            set_aside=(event.body["photo"], event.body["position"]) in aside,
            forgotten=event.body["photo"] in gone,
        )
        for event in events
        if event.kind is EventKind.PAGE_READ
    )


def _photo(body: Mapping[str, Any], seq: int) -> PagePhoto:
    return PagePhoto(
        sha256=body["photo"],
        position=body["position"],
        page=body["page"],
        readings=readings_of(body["readings"]),
        seq=seq,
        model=body.get("model"),
        left_out=body["left_out"],
        kept=body["kept"],
    )


def _page(photos: Sequence[PagePhoto], page: int) -> Merged:
    return merged([one.readings for one in photos if one.page == page and not one.set_aside])


def _answers(events: Sequence[Event]) -> tuple[Answer, ...]:
    return tuple(
        Answer(
            field=event.body["field"],
            value=value_of(event.body["value"]),
            who=event.body["who"],
            why=event.body["why"],
            at=event.at,
            seq=event.seq,
        )
        for event in events
        if event.kind is EventKind.VALUE_SETTLED
    )


def _heard(events: Sequence[Event], kind: EventKind) -> tuple[Heard, ...]:
    return tuple(
        Heard(
            who=event.body["who"],
            why=event.body["why"],
            at=event.at,
            seq=event.seq,
            told=event.body.get("told"),
            told_at=event.body.get("told_at"),
        )
        for event in events
        if event.kind is kind
    )


def _with_readings(record: FormRecord, pages: Mapping[int, Merged]) -> FormRecord:
    found = {name: one for page in pages.values() for name, one in page.readings.items()}
    last = {answer.field: answer for answer in record.answers}
    answered = {
        name: _answered(found.get(name), answer, record.photos) for name, answer in last.items()
    }
    doubts = tuple(_doubts(record, pages, {**found, **answered}))
    return replace(record, readings={**found, **answered}, doubts=() if record.closed else doubts)


def _doubts(
    record: FormRecord, pages: Mapping[int, Merged], readings: Readings
) -> Iterator[OpenDoubt]:
    for page, one in pages.items():
        for name in one.readings:
            reading = readings[name]
            if not record.table and name == record.names_table:
                reading = replace(
                    reading, status=Status.DOUBTFUL, confidence=0.5, why=_why(reading)
                )
            if not asserts(reading):
                yield OpenDoubt(record.number, record.table, page, name, reading)


def _why(reading: Reading) -> Why:
    """Say why a table's number waits: as the reader says, else because no table has it."""
    return reading.why or Why.UNEXPECTED


def _answered(found: Reading | None, answer: Answer, photos: Sequence[PagePhoto]) -> Reading:
    """Put the answer in the reading's place; it is a doubt again if later ink says otherwise."""
    status = Status.EMPTY if answer.value is None else Status.SURE
    crop = None if found is None else found.crop
    ink = None if found is None else found.ink
    settled = Reading(status, answer.value, 1.0, crop=crop, ink=ink)
    if not _contradicted(settled, answer, photos):
        return settled
    return replace(settled, status=Status.DOUBTFUL, confidence=0.5, why=Why.FILLS_DIFFER)


def _contradicted(settled: Reading, answer: Answer, photos: Sequence[PagePhoto]) -> bool:
    """Say whether ink that came after the answer asserts what nobody had seen before it."""
    readings = [
        (photo.seq > answer.seq, photo.readings[answer.field])
        for photo in photos
        if not photo.set_aside and answer.field in photo.readings
    ]
    claims = [(later, claim(one)) for later, one in readings if asserts(one)]
    seen = {one for later, one in claims if not later} | {claim(settled)}
    return any(later and one not in seen for later, one in claims)
