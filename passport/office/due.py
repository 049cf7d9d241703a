"""Who needs a visit when: reckoned after each change of a table's records, then only listed."""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, timedelta
from threading import Lock

from passport.leveling.advise import dated
from passport.office import Office
from passport.office.filed import air_of
from passport.office.history import out_of_use, stands_of
from passport.office.notes import unread_of
from passport.office.refusing import refused_of
from passport.records import Outlook, TableRow
from passport.records.errors import StoreError

GOOD_FOR = timedelta(days=30)  # then a forecast is reckoned anew, for the season has gone on
MOST_NOTES = 500  # tables on a list of what waits at once
AGEING_AT_ONCE = 50  # of those
_RECKONING = Lock()
_OUT_OF_USE, _WAITS = 0, 1  # ranks: those out of use stand first


@dataclass(frozen=True)
class Due:
    """One table and its next visit; ``on`` is None where nothing is known."""

    table: str
    name: str
    site: str
    on: date | None
    why: str
    unsafe: bool


def due_list(office: Office, limit: int = 100, skip: int = 0) -> tuple[Due, ...]:
    """List tables: those out of use first, then by the date of their next visit.

    Tables whose records changed are reckoned first, all of them.

    Parameters
    ----------
    office : Office
        Whose tables.
    limit : int
        How many to list at most.
    skip : int
        How many to pass over: what earlier pages of the list showed.
    """
    reckon(office)
    return tuple(_due(office, *one) for one in office.store.due(limit, skip))


def with_notes(office: Office) -> tuple[str, ...]:
    """Give the numbers of tables on whose forms something waits to be read, unsafe ones first."""
    reckon(office)
    found = office.store.due(MOST_NOTES, saying='"notes":["')
    calls = sorted(found, key=lambda one: not one[1].body.get("unsafe"))
    return tuple(row.number for row, _ in calls)


def with_refused(office: Office) -> tuple[str, ...]:
    """Name the forms with sure values that can't be so, once for each value."""
    reckon(office)
    found = office.store.due(MOST_NOTES, saying='"again":["')
    return tuple(form for _, outlook in found for form in outlook.body["again"])


def reckon(office: Office) -> None:
    """Reckon anew when each table needs a visit whose records changed since.

    Whoever comes while another does it waits for that: twice at once would take twice as long.
    """
    with _RECKONING:
        while stale := office.store.to_reckon():
            _reckon(office, stale)


def reckon_quietly(office: Office) -> None:
    """Reckon while nobody waits for it; what a locked or full store keeps from it is done later."""
    with suppress(StoreError):
        reckon(office)


def reckon_aged(office: Office) -> None:
    """Reckon anew some of the outlooks that aged; for when nobody waits for a page."""
    _reckon(office, office.store.ageing(office.today - GOOD_FOR, AGEING_AT_ONCE))


def _reckon(office: Office, tables: Mapping[str, int]) -> None:
    for number, seen in tables.items():
        office.store.reckoned(number, seen, _outlook(office, number), office.today)


def _outlook(office: Office, number: str) -> Outlook:
    table, visits, stands = stands_of(office, number)
    air = air_of(office, table)
    advice = dated(table, visits, stands.advice, today=office.today, air=air)
    rank = _OUT_OF_USE if out_of_use(office, table) else _WAITS
    why = advice.next_visit_why.removesuffix(_OVERDUE)
    unread = unread_of(office, table)
    notes, unsafe = [one.form for one in unread], [one.form for one in unread if one.unsafe]
    again = list(refused_of(office, table))
    body = {"why": why, "visits": len(visits), "notes": notes, "unsafe": unsafe, "again": again}
    return Outlook(rank, advice.next_visit, body, len(notes) + len(again))


_OVERDUE = " Overdue."


def _due(office: Office, row: TableRow, outlook: Outlook) -> Due:
    """Say it as of today; a first leveling is due from the day on which it was reckoned."""
    unsafe = outlook.rank == _OUT_OF_USE
    late = outlook.due_on is not None and outlook.due_on < office.today and outlook.body["visits"]
    why = ("Out of use until checked. " if unsafe else "") + outlook.body["why"]
    on = outlook.due_on if late or outlook.body["visits"] else office.today
    return Due(row.number, row.name, row.site, on, why + (_OVERDUE if late else ""), unsafe)
