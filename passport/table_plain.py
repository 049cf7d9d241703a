"""A table as plain data for the store's events, and back: text, whole numbers, lists; no floats.

Names are those of the records in ``passport.table``, so they must not change: stored tables have
them. A length, slope or angle is the shortest decimal text that gives the same number back
(``"6705.6"``), a day is written as in ISO 8601; what a stored table lacks, because it is older than
the field, takes its default.
"""

from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from types import NoneType, UnionType
from typing import Any, get_args, get_origin, get_type_hints

from passport.errors import PassportError
from passport.table import Kit, Table

Plain = dict[str, object]
_NOT_DESCRIBED = frozenset({"learned", "build_nuts", "office_email"})


class StoredTableDamaged(PassportError):
    """Stored data that make no table."""

    exit_code = 5

    def __init__(self, what: str, found: object):
        self.what, self.found = what, found
        super().__init__(
            f"The store holds {found!r} where a table's {what} should be. "
            f"Don't correct it by hand: restore the store from its last backup."
        )


def to_plain(table: Table) -> Plain:
    """Turn a table into plain data. The same table always gives the same data.

    What visits taught and what the office's settings say is no part of its description.
    """
    plain = _plain_record(table)
    return {key: value for key, value in plain.items() if key not in _NOT_DESCRIBED}


def from_plain(plain: Mapping[str, object]) -> Table:
    """Turn plain data back into the table that they were made from.

    Raises
    ------
    StoredTableDamaged
        A value is missing or of the wrong sort.
    """
    table: Table = _record(Table, plain, "description")
    return table


def kit_to_plain(kit: Kit) -> Plain:
    """Turn a measuring kit into plain data, as visits keep it."""
    return _plain_record(kit)


def kit_from_plain(plain: Mapping[str, object]) -> Kit:
    """Turn plain data back into the kit.

    Raises
    ------
    StoredTableDamaged
        A value is missing or of the wrong sort.
    """
    kit: Kit = _record(Kit, plain, "kit")
    return kit


def _plain_record(record: Any) -> Plain:
    hints = get_type_hints(type(record))
    return {f.name: _plain(getattr(record, f.name), hints[f.name]) for f in fields(record)}


def _plain(value: Any, hint: Any) -> object:
    """One value as its type is stored; a whole number where a float belongs is that float."""
    if value is None:
        return None
    inner = _without_none(hint)
    if inner is float:
        return _decimal(value)
    if is_dataclass(inner):
        return _plain_record(value)
    if get_origin(inner) is tuple:
        return [_plain(item, get_args(inner)[0]) for item in value]
    return _word(value)


def _word(value: Any) -> object:
    if isinstance(value, date):
        return value.isoformat()
    return value.value if isinstance(value, StrEnum) else value


def _decimal(value: float) -> str:
    """Shortest decimal text of a float, without exponent and without a needless ``.0``."""
    text = format(Decimal(repr(float(value) + 0.0)), "f")
    return text.removesuffix(".0")


def _record(kind: Any, plain: object, what: str) -> Any:
    if not isinstance(plain, Mapping):
        raise StoredTableDamaged(what, plain)
    hints = get_type_hints(kind)
    return kind(**{f.name: _field(f, plain, hints[f.name]) for f in fields(kind)})


def _field(field: "Field[Any]", plain: Mapping[str, object], hint: Any) -> Any:
    if field.name not in plain and field.default is not MISSING:
        return field.default
    return _value(plain.get(field.name), hint, field.name)


def _value(plain: Any, hint: Any, what: str) -> Any:
    """One stored value as its type, or the store is damaged."""
    inner = _without_none(hint)
    if plain is None and inner is not hint:
        return None
    if is_dataclass(inner):
        return _record(inner, plain, what)
    if get_origin(inner) is tuple:
        return _items(plain, get_args(inner)[0], what)
    stored = str if inner in (float, date) or issubclass(inner, StrEnum) else inner
    if type(plain) is not stored:
        raise StoredTableDamaged(what, plain)
    try:
        return date.fromisoformat(plain) if inner is date else inner(plain)
    except ValueError as error:
        raise StoredTableDamaged(what, plain) from error


def _items(plain: object, hint: Any, what: str) -> tuple[Any, ...]:
    if not isinstance(plain, list):
        raise StoredTableDamaged(what, plain)
    return tuple(_value(item, hint, what) for item in plain)


def _without_none(hint: Any) -> Any:
    """``float | None`` is a float."""
    if isinstance(hint, UnionType):
        return next(kind for kind in get_args(hint) if kind is not NoneType)
    return hint
