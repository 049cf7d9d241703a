"""The desk's rooms as its first line names them, with how much waits in each."""

from dataclasses import dataclass

from flask import request, url_for

from passport.desk.here import signed_in
from passport.desk.people import Role


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


DOORS = (
    _Door("Today", "start.today"),
    _Door("People", "administering.people", Role.ADMINISTRATOR),
)


def places() -> list[Place]:
    """List the rooms that whoever looks may enter."""
    person = signed_in()
    if person is None:
        return []
    here = (request.endpoint or "").partition(".")[0]
    return [
        Place(door.name, url_for(door.endpoint), door.endpoint.partition(".")[0] == here)
        for door in DOORS
        if person.role.covers(door.role)
    ]
