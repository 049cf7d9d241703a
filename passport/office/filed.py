"""What a table's forms came to, read from its records in the order of their dates."""

from collections.abc import Collection, Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import cast

from passport.climate.air import AirReading
from passport.office import Office
from passport.office.asked import asked
from passport.office.remembered import Told, remembered, stamp, to_bytes
from passport.records.errors import StoreError
from passport.records.event import EventKind
from passport.records.form_state import FormRecord
from passport.records.store import Telling
from passport.table import Table
from passport.table_plain import from_plain
from passport.visit import Visit
from passport.visits import KINDS
from passport.visits.card.meaning import CheckCard
from passport.visits.kind import AnyKind, Context, Record

MOVED = "moved"  # the mark of a visit that finds its table in another place


@dataclass(frozen=True)
class Filed:
    """A record of any kind, and the day that it stands under."""

    kind: AnyKind
    on: date
    record: Record
    printed_on: date | None = None
    asked: str = ""  # by the form's boxes, under the counts that were marked


def filed(office: Office, table: Table, kinds: Collection[AnyKind]) -> tuple[Filed, ...]:
    """All records of some kinds, by the date written on the form, else by the day it came in."""
    names = {kind.name for kind in kinds}
    told = office.store.tellings(table.number, stamp())
    listed = [
        one for telling in told if telling.kind in names for one in _told(office, table, telling)
    ]
    listed.sort(key=lambda one: (one.on, one.came))
    return tuple(
        Filed(KINDS[one.kind], one.on, one.record, one.printed_on, one.asked) for one in listed
    )


def visits_of(office: Office, table: Table) -> tuple[Visit, ...]:
    """All visits that hold leveling numbers, in the order of their dates.

    Of a table that moved, the first visit where it stands now bears the mark that it moved; before
    that visit there are none.
    """
    since = office.store.table(table.number).here_since
    found = leveling_of(office, table)
    here = [one for one in found if since is None or one.on >= since]
    if since is None or not here:
        return _visits(here)
    first = replace(_visits(here[:1])[0], changed=_visits(here[:1])[0].changed | {MOVED})
    return (*_visits(found[: -len(here)]), first, *_visits(here[1:]))


def all_visits_of(office: Office, table: Table) -> tuple[Visit, ...]:
    """All visits that hold leveling numbers, wherever the table stood, as they were written."""
    return _visits(leveling_of(office, table))


def leveling_of(office: Office, table: Table) -> tuple[Filed, ...]:
    """All records that hold leveling numbers, wherever the table stood."""
    return filed(office, table, [kind for kind in KINDS.values() if kind.gives is Visit])


def _visits(found: Iterable[Filed]) -> tuple[Visit, ...]:
    return tuple(cast(Visit, one.record) for one in found)


def beside(office: Office, table: Table) -> tuple[Filed, ...]:
    """All records that stand beside the leveling, in the order of their dates."""
    others = [kind for kind in KINDS.values() if kind.gives is not Visit]
    return filed(office, table, others)


def air_of(office: Office, table: Table) -> tuple[AirReading, ...]:
    """Air of the room as the people at the table wrote it on their monthly cards."""
    since = office.store.table(table.number).here_since or date.min
    cards = (one.record for one in beside(office, table) if one.on >= since)
    return tuple(
        AirReading(card.date, card.air_humidity_pct)
        for card in cards
        if isinstance(card, CheckCard) and card.date and card.air_humidity_pct is not None
    )


def _told(office: Office, table: Table, telling: Telling) -> tuple[Told, ...]:
    """Say what a form came to: as remembered, or read from its records and remembered.

    A form that was printed elsewhere is read as for the table of today, so it is not remembered.
    """
    if telling.body is not None:
        return remembered(telling.body, telling.kind)
    form = office.store.form(telling.form)
    told = (_read(office, table, form),) if form.pages_in else ()
    if form.described is not None:
        with suppress(StoreError):  # whoever may not write reads it again
            office.store.tell(table.number, stamp(), telling._replace(body=to_bytes(told)))
    return told


def _read(office: Office, table: Table, form: FormRecord) -> Told:
    layout, record = office.store.layout_of(form.number), record_of(office, table, form)
    asks = asked(form, layout) if layout else ""
    return Told(form.kind, _received_on(office, form), record, form.printed_on, asks)


def record_of(office: Office, table: Table, form: FormRecord) -> Record:
    """Say what the readings of a form mean, as far as they are in."""
    layout = office.store.layout_of(form.number)
    assert layout is not None, f"form {form.number} has pages but no layout"
    context = Context(
        table=_as_printed(office, form) or table,
        printed_on=form.printed_on or layout.printed_on or _received_on(office, form),
        layout=layout,
    )
    record: Record = KINDS[form.kind].interpret(
        context,
        form.readings,
        pages_in=form.pages_in,
        received_on=_received_on(office, form),
    )
    return record


def _as_printed(office: Office, form: FormRecord) -> Table | None:
    """Find the description that was valid when the form was printed; None if printed elsewhere."""
    plain = office.store.description_of(form.number)
    return None if plain is None else from_plain(plain)


def _received_on(office: Office, form: FormRecord) -> date:
    """Day on which the form's newest page was read."""
    return max(
        datetime.fromisoformat(event.at).astimezone().date()
        for event in office.store.events(form.number)
        if event.kind is EventKind.PAGE_READ
    )
