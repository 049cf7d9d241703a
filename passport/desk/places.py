"""The desk's rooms as its first line names them, with how much waits in each."""

from collections.abc import Callable
from dataclasses import dataclass

from flask import request, url_for

from passport.desk.here import office, signed_in
from passport.desk.people import Role
from passport.office import Office
from passport.office.doubts import count
from passport.office.due import with_notes


@dataclass(frozen=True)
class Place:
    """One room: what it is called, where it is, whether this page is in it, what waits there."""

    name: str
    address: str
    here: bool
    count: int = 0


@dataclass(frozen=True)
class _Door:
    name: str
    endpoint: str
    role: Role = Role.READER
    waits: Callable[[Office], int] = lambda _: 0


DOORS = (
    _Door("Today", "start.today"),
    _Door("Intake", "intake.overview", Role.CLERK),
    _Door("Forms", "forms.overview"),
    _Door("Doubts", "doubts.overview", Role.CLERK, count),
    _Door("Notes", "notes.overview", waits=lambda office: len(with_notes(office))),
    _Door("Tables", "tables.overview"),
    _Door("Due", "due.overview"),
    _Door("People", "administering.people", Role.ADMINISTRATOR),
)


def places() -> list[Place]:
    """List the rooms that whoever looks may enter."""
    person = signed_in()
    if person is None:
        return []
    here = (request.endpoint or "").partition(".")[0]
    return [
        Place(
            name=door.name,
            address=url_for(door.endpoint),
            here=door.endpoint.partition(".")[0] == here,
            count=door.waits(office()),
        )
        for door in DOORS
        if person.role.covers(door.role)
    ]
