"""Shared strength: what the other tables of a table's build taught, as the store has it."""

from contextlib import suppress

from msgspec import msgpack

from passport.leveling.lessons import Lesson, lesson
from passport.leveling.pooling import Source, pooled
from passport.office import Office
from passport.office.filed import visits_of
from passport.office.registering import table as find_table
from passport.office.remembered import standing_stamp
from passport.records import Taught
from passport.records.errors import StoreError
from passport.table import BuildNuts, Table

MOST_TABLES = 40  # of one build, those with the newest records: more would teach nothing new
_LESSON = msgpack.Decoder(Lesson)


def taught_by_build(office: Office, table: Table) -> BuildNuts | None:
    """Say what the others of a table's build taught; None where it names none, or they say nothing.

    What a table taught itself is no part of it: it is learned from its own visits, and would count
    twice.
    """
    if table.build is None:
        return None
    listed = office.store.of_build(table.build, standing_stamp(), MOST_TABLES + 1)
    others = [one for one in listed if one.table != table.number][:MOST_TABLES]
    return pooled([Source(_lesson(office, one), one.changed) for one in others])


def _lesson(office: Office, taught: Taught) -> Lesson:
    """Say what a table teaches: as remembered, or reckoned now and remembered."""
    if taught.body is not None:
        return _LESSON.decode(taught.body)
    table = find_table(office, taught.table)
    found = lesson(table, visits_of(office, table))
    with suppress(StoreError):  # whoever may not write reckons it again
        office.store.teach(taught._replace(body=msgpack.encode(found)), standing_stamp())
    return found
