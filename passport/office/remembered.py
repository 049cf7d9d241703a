"""What each form came to, as bytes, and which program said so: anew it would take seconds.

The bytes are worth something only to the very program that made them, so they carry its stamp.
"""

from collections.abc import Sequence
from datetime import date
from functools import cache
from typing import Any, NamedTuple

from msgspec import msgpack

from passport.office.sources import stamp_of
from passport.table import BuildNuts
from passport.visits import KINDS
from passport.visits.kind import Record

_READ_BY = (
    *("passport/visits", "passport/visit.py", "passport/table.py"),
    *("passport/office/filed.py", "passport/office/remembered.py", "passport/office/asked.py"),
)
_RECKONED_BY = (*_READ_BY, "passport/leveling", "passport/office/resumed.py")


class Told(NamedTuple):
    """What a form of some kind says, the day on which its newest page came in, what it asked."""

    kind: str
    came: date
    record: Record
    printed_on: date | None = None
    asked: str = ""  # under the counts that were marked

    @property
    def on(self) -> date:
        """The day that the record stands under: the one written on it, else when it came."""
        return self.record.date or self.came


def stamp() -> str:
    """Hash of all that says what a form means: another program's bytes are not read."""
    return stamp_of(*_READ_BY)


def to_bytes(told: Sequence[Told]) -> bytes:
    """Write what a form came to; nothing for one without pages."""
    return msgpack.encode([one[1:] for one in told])


def remembered(body: bytes, kind: str) -> tuple[Told, ...]:
    """Read it back."""
    found = _reader(kind).decode(body)
    return tuple(Told(kind, *one) for one in found)


def standing_stamp(build: BuildNuts | None = None) -> str:
    """Hash of all that says how a table stands after its visits, and what its build taught."""
    program = stamp_of(*_RECKONED_BY)
    return program if build is None else f"{program} {build}"


@cache
def _reader(kind: str) -> msgpack.Decoder[list[tuple[date, Record, date | None, str]]]:
    gives: Any = KINDS[kind].gives
    return msgpack.Decoder(list[tuple[date, gives, date | None, str]])
