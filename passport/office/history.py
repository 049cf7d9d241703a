"""How a table stands: its visits, what stands beside them, and what they come to."""

from contextlib import suppress
from dataclasses import replace
from datetime import date

from forms.numbers import TableNumber
from passport.documents.codes import care_code_text
from passport.documents.house import Story
from passport.documents.wording import day
from passport.leveling.advice import Advice
from passport.leveling.advise import dated, undated
from passport.leveling.standing import Standing
from passport.office import Office
from passport.office.builds import taught_by_build
from passport.office.filed import air_of, beside, leveling_of, visits_of
from passport.office.registering import table as find_table
from passport.office.remembered import standing_stamp
from passport.office.resumed import (
    History,
    build_of_bytes,
    standing_bytes,
    standing_of_bytes,
    stands,
)
from passport.records.errors import StoreError
from passport.table import Table
from passport.visit import Visit


def out_of_use(office: Office, table: Table) -> bool:
    """Say whether a table must not be used: so its last leveling visit, or a paper since then.

    A move changes nothing in that.
    """
    visits = visits_of(office, table)
    return bool(visits and visits[-1].unsafe) or stopped_by(office, table, visits) is not None


def stopped_by(office: Office, table: Table, visits: tuple[Visit, ...]) -> str | None:
    """Name the newest paper since the last visit that forbids a table's use: its kind and date.

    Where no visit was made since a move, that may be the last visit before it.
    """
    before_move = () if visits else leveling_of(office, table)[-1:]
    last = (visits[-1].date if visits else None) or date.min
    since = before_move[0].on if before_move else last
    told = [one for one in beside(office, table) if one.record.unsafe and one.on >= since]
    if told:
        return f"{told[-1].kind.name} form of {day(told[-1].on)}"
    unsafe = [one for one in before_move if one.record.unsafe]
    return f"form of {day(unsafe[0].on)}, before the move" if unsafe else None


def advice_for(office: Office, number: str) -> Advice:
    """Say what is known of a table and what to do next."""
    table, visits, stands = stands_of(office, number)
    air = air_of(office, table)
    return dated(table, visits, stands.advice, today=office.today, air=air)


Stands = tuple[Table, tuple[Visit, ...], Standing]


def stands_of(office: Office, number: str) -> Stands:
    """Give a table, its visits, and how it stands after them: as remembered, or reckoned now.

    What stands in the store is asked for before the table and its visits: whatever is recorded
    after that can't be kept for known.
    """
    nuts = taught_by_build(office, find_table(office, number))
    stamp = standing_stamp(nuts)
    stood = office.store.stood(TableNumber.parse(number).code)
    table = replace(find_table(office, number), build_nuts=nuts)
    visits = visits_of(office, table)
    history = History(stamp, table, visits)
    known = stood.under(stamp)
    if known is not None:
        return table, visits, standing_of_bytes(history, known)
    found = stands(history, stood.body)
    with suppress(StoreError):  # whoever may not write reckons it again
        body = standing_bytes(history, found)
        office.store.stand(table.number, stood._replace(stamp=stamp, body=body))
    return table, visits, found


def stood_of(office: Office, number: str) -> Stands:
    """Say it by what the table's build had taught when it was last reckoned, so that nobody waits.

    Every visit to another table of the build teaches something; of the table itself everything
    counts.
    """
    stood, table = office.store.stood(TableNumber.parse(number).code), find_table(office, number)
    if table.build is None or not (stood.stamp or "").startswith(standing_stamp()):
        return stands_of(office, number)
    assert stood.body is not None, "what stands under a stamp has bytes"
    table = replace(table, build_nuts=build_of_bytes(stood.body))
    visits = visits_of(office, table)
    history = History(standing_stamp(table.build_nuts), table, visits)
    return table, visits, standing_of_bytes(history, stood.body)


def reckon_by_build(office: Office, number: str) -> None:
    """Reckon how a table stands by all that its build has taught, while nobody waits for it."""
    with suppress(StoreError):
        stands_of(office, number)


def story(office: Office, number: str, since: date | None = None, *, waits: bool = True) -> Story:
    """Gather all that the documents say of a table.

    ``since`` is the date of the passport that is replaced; what was learned later counts as new.
    Whoever does not wait is told it as it was last reckoned, see ``stood_of``, and not when the
    earlier visit would have had the table visited again.
    """
    table, visits, stands = (stands_of if waits else stood_of)(office, number)
    air = air_of(office, table)
    before = visits[:-1] if since is None else _until(visits, since)
    former = stands.former if since is None else _undated(table, before)
    if former is not None and waits:
        former = dated(table, before, former, today=office.today, air=air)
    return Story(
        table=table,
        visits=visits,
        advice=dated(table, visits, stands.advice, today=office.today, air=air),
        head=office.store.head().hash,
        code=code_text(office, table),
        former=former if before else None,
        phone=phone(office, table),
        stopped_by=stopped_by(office, table, visits),
        since=since,
        today=office.today,
        air=air,
        standing=stands,
    )


def _undated(table: Table, visits: tuple[Visit, ...]) -> Advice | None:
    return undated(table, visits) if visits else None


def _until(visits: tuple[Visit, ...], day: date) -> tuple[Visit, ...]:
    return tuple(visit for visit in visits if visit.date is not None and visit.date <= day)


def phone(office: Office, table: Table) -> str | None:
    """Find the telephone that a table's papers name."""
    return table.office_phone or office.settings.phone


def code_text(office: Office, table: Table) -> str:
    """Say what the QR code of a table holds."""
    token = office.store.care_token(table.number)
    return care_code_text(table.number, office.settings.care_host, token, phone(office, table))
