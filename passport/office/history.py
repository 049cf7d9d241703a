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
from passport.office.resumed import History, standing_bytes, standing_of_bytes, stands
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


def stands_of(office: Office, number: str) -> tuple[Table, tuple[Visit, ...], Standing]:
    """Give a table, its visits, and how it stands after them: as remembered, or reckoned now.

    What stands in the store is asked for before the table and its visits: whatever is recorded
    after that can't be kept for known.
    """
    nuts = taught_by_build(office, find_table(office, number))
    stamp = standing_stamp(nuts)
    stood = office.store.stood(TableNumber.parse(number).code, stamp)
    table = replace(find_table(office, number), build_nuts=nuts)
    visits = visits_of(office, table)
    history = History(stamp, table, visits)
    if stood.body is not None:
        return table, visits, standing_of_bytes(history, stood.body)
    found = stands(history, stood.former)
    with suppress(StoreError):  # whoever may not write reckons it again
        kept = stood._replace(body=standing_bytes(history, found))
        office.store.stand(table.number, stamp, kept)
    return table, visits, found


def story(office: Office, number: str, since: date | None = None) -> Story:
    """Gather all that the documents say of a table.

    ``since`` is the date of the passport that is replaced; what was learned later counts as new.
    """
    table, visits, stands = stands_of(office, number)
    air = air_of(office, table)
    before = visits[:-1] if since is None else _until(visits, since)
    known = stands.former if since is None else _undated(table, before)
    return Story(
        table=table,
        visits=visits,
        advice=dated(table, visits, stands.advice, today=office.today, air=air),
        head=office.store.head().hash,
        code=code_text(office, table),
        former=dated(table, before, known, today=office.today, air=air)
        if known and before
        else None,
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
