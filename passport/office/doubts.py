"""What waits for a person: each field with its picture's place, why it waits, and how it is asked.

A mark that is only drawn unclearly may be accepted as it was guessed. What turns a nut, digits, and
whatever a guard refused is typed by somebody who has not seen the guess: looking over a list finds
no more errors than entering it once.

References
----------
K. A. Barchard and L. A. Pace, Computers in Human Behavior 27 (2011) 1834-1839: visual checking
against double entry.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import hypot

from forms.field import Choice, Digits, Field, Note, Scale, Tick
from forms.layout import Layout
from passport.office import Office
from passport.office.binding import trouble, unbound
from passport.office.due import with_refused
from passport.office.refusing import refused_on
from passport.office.registering import table as find_table
from passport.records.errors import FormUnknown
from passport.records.form_state import FormRecord, OpenDoubt, PagePhoto
from passport.table import Table
from scan.guards import GUARDS
from scan.reading import Reading, Status, Value, Why

DRAWN_UNCLEARLY = frozenset(
    {Why.FAINT, Why.FILLED, Why.BESIDE, Why.SPECK, Why.NO_MARK, Why.TWO_MARKS}
)


class Way(StrEnum):
    """How a field is asked."""

    ACCEPT = "accept"  # the guess is shown, one key accepts it
    TYPE = "type"  # the guess is hidden until something was typed


class Group(StrEnum):
    """What kind of doubt it is, in the order in which they are worked off."""

    DIFFER = "Photos that disagree"
    MARKS = "Marks"
    COUNTS = "Counts and turns"
    DIGITS = "Digits"
    UNSEEN = "Not in any picture"
    MEANING = "Sure, but it can't be so"


@dataclass(frozen=True)
class Asked:
    """One field that waits for a person.

    ``photos`` are those of its page that count, ``said`` what each of them shows.
    """

    form: str
    page: int
    field: Field
    reading: Reading
    why: str
    way: Way
    group: Group
    photos: tuple[PagePhoto, ...]

    @property
    def said(self) -> tuple[tuple[PagePhoto, Reading], ...]:
        """What each photo says of this field."""
        return tuple(
            (photo, photo.readings[self.field.id])
            for photo in self.photos
            if self.field.id in photo.readings
        )


@dataclass(frozen=True)
class Waiting:
    """One form with all that waits on it."""

    form: FormRecord
    layout: Layout
    table: Table
    asked: tuple[Asked, ...]

    @property
    def counts(self) -> Mapping[Group, int]:
        """How many wait of each kind."""
        found = {group: sum(one.group is group for one in self.asked) for group in Group}
        return {group: count for group, count in found.items() if count}


def forms_waiting(office: Office) -> tuple[str, ...]:
    """Name all forms on which something waits, the oldest first."""
    found = {*office.store.doubtful(), *with_refused(office)}
    return office.store.in_printed_order(found)


def waiting(office: Office, most: int | None = None, skip: int = 0) -> tuple[Waiting, ...]:
    """Tell of forms on which something waits, the oldest first: of all, or some at a time."""
    named = forms_waiting(office)[skip:][:most]
    found = (waiting_on(office, one) for one in named)
    return tuple(one for one in found if one.asked)


def listed(office: Office) -> tuple[tuple[OpenDoubt, str], ...]:
    """List every value that waits, each with why: first what the reader left, by form and page."""
    read = [(one, _why(one.reading)) for one in office.store.doubts()]
    again = [waiting_on(office, form) for form in dict.fromkeys(with_refused(office))]
    return (
        *read,
        *(
            (_open(one, asked), asked.why)
            for one in again
            for asked in one.asked
            if asked.group is Group.MEANING
        ),
    )


def is_far(field: Field, value: Value) -> bool:
    """Say whether an answer is so far from what was expected that the reader would doubt it."""
    if not isinstance(field, Digits | Scale) or field.expect is None:
        return False
    if not isinstance(value, int | Decimal):
        return False
    step = 1.0 if isinstance(field, Scale) else 10.0**-field.decimals
    away = abs(float(value) - field.expect.value)
    return away > GUARDS.expectation * hypot(field.expect.u, step)


def count(office: Office) -> int:
    """Count all values that wait."""
    return office.store.count_doubts() + len(with_refused(office))


def waiting_on(office: Office, number: str) -> Waiting:
    """Say what waits on one form.

    Raises
    ------
    FormUnknown
    """
    return _waiting(office, office.store.form(number))


def _waiting(office: Office, form: FormRecord) -> Waiting:
    layout = office.store.layout_of(form.number)
    if layout is None:
        raise FormUnknown(form.number)
    stranger = unbound(form)
    table = stranger or find_table(office, form.table)
    asked = [*_read(form, layout, trouble(office, form)), *_meant(office, form, layout)]
    order = {group: place for place, group in enumerate(Group)}
    return Waiting(form, layout, table, tuple(sorted(asked, key=lambda one: order[one.group])))


def _read(form: FormRecord, layout: Layout, strange: str | None) -> Iterator[Asked]:
    """Give what the reader left to a person, in printed order."""
    open_ = {doubt.field: doubt.reading for doubt in form.doubts}
    steering = _steering(layout)
    for page in layout.pages:
        for field in page.fields:
            if field.id in open_ and not isinstance(field, Note):
                reading = open_[field.id]
                known = strange if field.id == form.names_table else None
                why = known or _why(reading)
                way, group = _way(field, reading, steering), _group(field, reading)
                photos = _photos(form, page.page)
                yield Asked(form.number, page.page, field, reading, why, way, group, photos)


def _meant(office: Office, form: FormRecord, layout: Layout) -> Iterator[Asked]:
    """Give what is sure, but can't be so, until a person has confirmed it."""
    refusals = refused_on(office, form)
    for page in layout.pages:
        for field in page.fields:
            if field.id in refusals:
                photos, reading = _photos(form, page.page), form.readings[field.id]
                how = (refusals[field.id], Way.TYPE, Group.MEANING)
                yield Asked(form.number, page.page, field, reading, *how, photos)


def _why(reading: Reading) -> str:
    return reading.why.value if reading.why else "not in any picture"


def _open(one: Waiting, asked: Asked) -> OpenDoubt:
    return OpenDoubt(asked.form, one.form.table, asked.page, asked.field.id, asked.reading)


def _photos(form: FormRecord, page: int) -> tuple[PagePhoto, ...]:
    return tuple(one for one in form.photos if one.page == page and not one.set_aside)


def _way(field: Field, reading: Reading, steering: frozenset[str]) -> Way:
    may_see = isinstance(field, Tick | Choice) and field.id not in steering
    return Way.ACCEPT if may_see and reading.why in DRAWN_UNCLEARLY else Way.TYPE


def _steering(layout: Layout) -> frozenset[str]:
    """Name the signs and second witnesses of digits: they turn nuts as the digits do."""
    digits = [one for page in layout.pages for one in page.fields if isinstance(one, Digits)]
    return frozenset(name for one in digits for name in (one.sign, one.witness) if name)


def _group(field: Field, reading: Reading) -> Group:
    if reading.why is Why.FILLS_DIFFER:
        return Group.DIFFER
    if reading.status is Status.OUTSIDE:
        return Group.UNSEEN
    match field:
        case Digits():
            return Group.DIGITS
        case Scale():
            return Group.COUNTS
        case _:
            return Group.MARKS
