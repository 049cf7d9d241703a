"""Who needs a visit when."""

from dataclasses import dataclass
from datetime import date

from passport.leveling.advise import advise
from passport.office import Office
from passport.office.history import air_of, out_of_use, visits_of
from passport.office.registering import tables
from passport.table import Table


@dataclass(frozen=True)
class Due:
    """One table and its next visit; ``on`` is None where nothing is known."""

    table: str
    name: str
    site: str
    on: date | None
    why: str
    unsafe: bool


def due_list(office: Office) -> tuple[Due, ...]:
    """All tables: those out of use first, then by the date of their next visit."""
    listed = [_due(office, table) for table in tables(office)]
    return tuple(sorted(listed, key=lambda one: (not one.unsafe, one.on or date.max, one.table)))


def _due(office: Office, table: Table) -> Due:
    visits = visits_of(office, table)
    advice = advise(table, visits, today=office.today, air=air_of(office, table))
    unsafe = out_of_use(office, table)
    why = "Out of use until checked. " if unsafe else ""
    return Due(
        table.number,
        table.name,
        table.site,
        advice.next_visit,
        why + advice.next_visit_why,
        unsafe,
    )
