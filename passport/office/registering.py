"""Tables from their descriptions into the store."""

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from pathlib import Path

from forms.numbers import CareToken, TableNumber
from passport.description.errors import DescriptionUnusable, NotReckonable
from passport.errors import PassportError
from passport.leveling.unusable import why_unusable
from passport.office import Office
from passport.records.errors import TableUnknown
from passport.records.table_state import TableRecord
from passport.table import Table
from passport.table_file import read_table, table_number
from passport.table_plain import from_plain, to_plain


class FileUnreadable(PassportError):
    """A file that can't be opened or is not text."""

    def __init__(self, path: Path, found: str):
        super().__init__(f"{path} can't be read: {found}. Check the name and whether it is text.")


class Registration(StrEnum):
    """What registering a description did."""

    NEW = "registered"
    UPDATED = "updated"
    UNCHANGED = "unchanged"


@dataclass(frozen=True)
class Registered:
    """A table as it stands in the store now, and what registering did."""

    table: Table
    outcome: Registration


def register(office: Office, path: Path) -> Registered:
    """Add or update the table that a file describes.

    A description names its table by ``number``; without one, a table of the same name at the same
    site is the same table.

    Raises
    ------
    FileUnreadable
        The file can't be opened.
    PassportError
        The description can't be used; nothing is stored then.
    """
    text = read_text(path)
    written = table_number(text, path.name)
    known = _known(office, None if written is None else TableNumber.parse(written))
    draft = read_table(text, path.name, "")
    if why := why_unusable(draft):
        raise DescriptionUnusable(path.name, [NotReckonable(why)])
    record = known or _same_place(office, draft)
    if record is None:
        return _add(office, draft)
    return _update(office, record, draft)


def read_text(path: Path) -> str:
    """Read a text file, or say why not."""
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        found = error.strerror if isinstance(error, OSError) else "it is not UTF-8 text"
        raise FileUnreadable(path, str(found)) from error


def table(office: Office, number: str) -> Table:
    """Find a table by its number, however it is written.

    Raises
    ------
    NumberUnusable
        What was typed is no table number.
    TableUnknown
        No table has it.
    """
    return from_plain(office.store.table(TableNumber.parse(number).code).description)


def _known(office: Office, number: TableNumber | None) -> TableRecord | None:
    return None if number is None else office.store.table(number.code)


def _same_place(office: Office, draft: Table) -> TableRecord | None:
    number = office.store.named(draft.name, draft.site)
    return None if number is None else office.store.table(number)


def _add(office: Office, draft: Table) -> Registered:
    table = replace(draft, number=_free_number(office))
    office.store.register(table.number, to_plain(table), office.now())
    office.store.issue_care_token(table.number, CareToken.new(office.bits).code, office.now())
    return Registered(table, Registration.NEW)


def _free_number(office: Office) -> str:
    while True:
        number = TableNumber.new(office.bits).code
        try:
            office.store.table(number)
        except TableUnknown:
            return number


def _update(office: Office, record: TableRecord, draft: Table) -> Registered:
    known = from_plain(record.description)
    table = kept(known, replace(draft, number=record.number))
    if table == known:
        return Registered(table, Registration.UNCHANGED)
    office.store.describe(record.number, to_plain(table), office.now())
    return Registered(table, Registration.UPDATED)


def kept(known: Table, draft: Table) -> Table:
    """Keep, in a table that is described anew, what was measured later than its file says.

    Only of the same kit, known by its name.
    """
    old, new = known.kit, draft.kit
    if old.name != new.name:
        return draft
    kit = new
    if _is_later(old.card_on, new.card_on):
        kit = replace(kit, card_mm=old.card_mm, card_u_mm=old.card_u_mm, card_on=old.card_on)
    if old.zero and _is_later(old.zero.on, new.zero.on if new.zero else None):
        kit = replace(kit, zero=old.zero)
    if old.bow and _is_later(old.bow.on, new.bow.on if new.bow else None):
        kit = replace(kit, bow=old.bow)
    return replace(draft, kit=kit)


def _is_later(day: date | None, said: date | None) -> bool:
    return day is not None and (said is None or day > said)
