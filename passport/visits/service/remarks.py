"""What the closing of a form means: date, technician, kit, surface, changes, notes."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Protocol

from passport.table import Kit, Reads, Table
from passport.visit import Doubt, Pass, Visit
from passport.visits.answers import Answers
from passport.visits.service import ids
from passport.visits.service.closing import CHANGED, SURFACE
from scan.reading import Status, Value

DATE_EARLY = "the date lies before the form was printed"
DATE_LATE = "the date lies after the form came in"
DATE_NEVER = "there is no such day"
DATE_MISSING = "the date is not complete"
KIT_MISSING = "another kit was used, but its card or its bearing length is not sure"
KIT_UNLIKE = (
    "another kit was used, and this form's boxes are those of a level that is read without cards"
)
UNSAFE_LIKELY = "held to be ticked until a person has looked"
_NOTES = (ids.NOTES, ids.SIGNATURE, ids.NAME)
_MM = {  # one step of the other kit's boxes: card, bearing length [mm]
    "imperial": (Decimal("0.00254"), Decimal("25.4")),
    "metric": (Decimal("0.001"), Decimal(1)),
}
_OTHER_CARD_U = 0.03  # relative standard uncertainty of a card measured on site; no source


def visit_date(
    answers: Answers, printed_on: date, received_on: date
) -> tuple[date | None, list[Doubt]]:
    """Read the date: sure only between print and intake."""
    if not answers.has(ids.DAY):
        return None, []
    written = _written_date(answers, printed_on.year)
    why = _date_doubt(written, printed_on, received_on)
    if why is None and isinstance(written, date):
        return written, []
    if any(answers.unread(field) for field in (ids.MONTH, ids.DAY, ids.NEXT_YEAR)):
        return None, []  # already a doubt of its own
    return None, [answers.doubt(ids.DAY, why or DATE_MISSING)]


def _written_date(answers: Answers, year: int) -> date | str:
    month, day = answers.number(ids.MONTH), answers.number(ids.DAY)
    if month is None or day is None or answers.unread(ids.NEXT_YEAR):
        return DATE_MISSING
    try:
        return date(year + answers.ticked(ids.NEXT_YEAR), month, day)
    except ValueError:
        return DATE_NEVER


def _date_doubt(written: date | str, printed_on: date, received_on: date) -> str | None:
    if isinstance(written, str):
        return written
    if written < printed_on:
        return DATE_EARLY
    return DATE_LATE if written > received_on else None


def kit(answers: Answers, table: Table) -> tuple[Kit | None, list[Doubt]]:
    """Read the kit that was used; None when it was another one that is not known."""
    card, bearing = (
        answers.decimal(fields[table.units]) for fields in (ids.OTHER_CARD, ids.OTHER_BEARING)
    )
    if answers.unread(ids.OTHER_KIT):
        return None, []
    if not answers.ticked(ids.OTHER_KIT):
        return table.kit, []
    if card is None or bearing is None:
        return None, [answers.doubt(ids.OTHER_KIT, KIT_MISSING)]
    if table.kit.cross_by is not Reads.CARDS:
        return None, [answers.doubt(ids.OTHER_KIT, KIT_UNLIKE)]
    return _other_kit(table, card, bearing), []


def _other_kit(table: Table, card: Decimal, bearing: Decimal) -> Kit:
    card_mm, bearing_mm = (
        float(written * step)
        for written, step in zip((card, bearing), _MM[table.units], strict=True)
    )
    return replace(
        table.kit,
        name="other kit",
        card_mm=card_mm,
        card_u_mm=card_mm * _OTHER_CARD_U,
        bearing_length_mm=bearing_mm,
        level_length_mm=bearing_mm,
        card_on=None,
        zero=None,
        bow=None,
    )


def without_counts(walk: Pass) -> Pass:
    """Keep turns and ticks of a pass, drop every count: its kit is not known."""
    return replace(
        walk,
        legs={
            name: replace(leg, found=None, after=None, found_turned=None, after_turned=None)
            for name, leg in walk.legs.items()
        },
        brackets={
            name: replace(bracket, found=None, after=None)
            for name, bracket in walk.brackets.items()
        },
        rise={},
        rise_after={},
    )


def surface(answers: Answers) -> dict[str, str | bool]:
    """Read the ticks of the surface that are set."""
    return {key: True for key in SURFACE if answers.ticked(ids.surface(key))}


def changed(answers: Answers) -> frozenset[str]:
    """Read what changed since the last visit; play as ``played little``, ``normal``, ``heavy``."""
    ticks = {key for key in CHANGED if answers.ticked(ids.changed(key))}
    played = answers.word(ids.PLAYED)
    return frozenset(ticks | ({f"played {played}"} if played else set()))


def notes(answers: Answers) -> dict[str, str]:
    """Read which note areas hold ink, each with its picture."""
    found = {field: answers.written(field) for field in _NOTES}
    return {field: crop for field, crop in found.items() if crop is not None}


def unsafe(answers: Answers) -> tuple[bool, list[Doubt]]:
    """Read the unsafe tick; a doubtful one counts as set until a person has looked.

    The one place where a doubt is not simply left out: an unsafe table that stays in use hurts.
    """
    reading = answers.readings.get(ids.UNSAFE)
    doubtful = reading is not None and reading.status is Status.DOUBTFUL
    if answers.has(ids.UNSAFE) and doubtful:
        return True, [answers.doubt(ids.UNSAFE, UNSAFE_LIKELY)]
    return answers.ticked(ids.UNSAFE), []


class Signed(Protocol):
    """A record that is dated, signed and may hold notes."""

    @property
    def date(self) -> date | None:
        """Day that is written on it."""

    @property
    def technician(self) -> str | None:
        """Who filled it in."""

    @property
    def office_must_read(self) -> bool:
        """Whether the office must read the notes."""

    @property
    def unsafe(self) -> bool:
        """Whether the table must not be used."""

    @property
    def notes(self) -> Mapping[str, str]:
        """Pictures of the note areas that hold ink, by field."""


def write(visit: Visit, printed_on: date | None) -> dict[str, Value]:
    """Give the answers that read as this closing."""
    answers: dict[str, Value] = {ids.surface(key): True for key in visit.surface}
    for key in visit.changed:
        played = key.removeprefix("played ")
        answers |= {ids.changed(key): True} if played == key else {ids.PLAYED: played}
    return answers | signed(visit, printed_on) | _kitted(visit)


def signed(record: Signed, printed_on: date | None) -> dict[str, Value]:
    """Give the answers that read as this date, technician and notes."""
    ticks = {ids.UNSAFE: record.unsafe, ids.OFFICE_MUST_READ: record.office_must_read}
    answers: dict[str, Value] = {field: True for field, value in ticks.items() if value}
    if record.technician is not None:
        answers[ids.TECHNICIAN] = record.technician
    return answers | _dated(record, printed_on) | dict(record.notes)


def _dated(record: Signed, printed_on: date | None) -> dict[str, Value]:
    if record.date is None:
        return {}
    later = printed_on is not None and record.date.year > printed_on.year
    day: dict[str, Value] = {ids.MONTH: record.date.month, ids.DAY: Decimal(record.date.day)}
    return day | ({ids.NEXT_YEAR: True} if later else {})


def _kitted(visit: Visit) -> dict[str, Value]:
    """Both units' boxes; the form has one of them."""
    if not visit.other_kit or visit.kit.name != "other kit":
        return {}
    answers: dict[str, Value] = {ids.OTHER_KIT: True}
    for units, (card_step, bearing_step) in _MM.items():
        card = Decimal(str(visit.kit.card_mm)) / card_step
        bearing = Decimal(str(visit.kit.bearing_length_mm)) / bearing_step
        answers[ids.OTHER_CARD[units]] = card.quantize(Decimal(1))
        place = Decimal("0.1") if units == "imperial" else Decimal(1)
        answers[ids.OTHER_BEARING[units]] = bearing.quantize(place)
    return answers
