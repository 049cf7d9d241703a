"""Who is signed in: a number nobody can guess in the cookie, its hash and the person here."""

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256

from passport.desk.memory import Memory
from passport.desk.people import Person, Role

LONGEST = timedelta(hours=12)  # a working day; OWASP ASVS 5.0, 7.3.2
IDLE = timedelta(hours=2)  # then the password is asked again; 7.3.1
NOTED = timedelta(minutes=1)  # how exactly the last look is remembered: a page has many pictures
HALF = timedelta(minutes=5)  # between the password and the second factor


@dataclass(frozen=True)
class Sessions:
    """Everybody who is signed in."""

    memory: Memory

    def begin(self, person: Person, at: datetime) -> str:
        """Sign somebody in; returns the number that the cookie carries."""
        number, now = secrets.token_urlsafe(32), at.timestamp()
        row = (_key(number), person.name, now, now)
        self.memory.change("INSERT INTO sessions VALUES (?, ?, ?, ?)", *row)
        return number

    def who(self, number: str, at: datetime) -> Person | None:
        """Say who is signed in with this number; None when that is over."""
        now, key = at.timestamp(), _key(number)
        self._forget_old(now)
        query = "SELECT people.name, role, seen FROM people JOIN sessions USING (name) WHERE key=?"
        found = self.memory.rows(query, key)
        if found and found[0]["seen"] < now - NOTED.total_seconds():
            self.memory.change("UPDATE sessions SET seen = ? WHERE key = ?", now, key)
        return Person(found[0]["name"], Role(found[0]["role"])) if found else None

    def begin_half(self, name: str, at: datetime) -> str:
        """Remember that a password fitted and the second factor is still to come."""
        number = secrets.token_urlsafe(32)
        self.memory.change("INSERT INTO half VALUES (?, ?, ?)", _key(number), name, at.timestamp())
        return number

    def half(self, number: str, at: datetime) -> str | None:
        """Say whose password fitted a moment ago; None when that is over."""
        self.memory.change("DELETE FROM half WHERE made < ?", (at - HALF).timestamp())
        found = self.memory.rows("SELECT name FROM half WHERE key = ?", _key(number))
        return str(found[0]["name"]) if found else None

    def end_half(self, number: str) -> None:
        """Forget that a password fitted."""
        self.memory.change("DELETE FROM half WHERE key = ?", _key(number))

    def end(self, number: str) -> None:
        """Sign somebody out: the number opens nothing any more."""
        self.memory.change("DELETE FROM sessions WHERE key = ?", _key(number))

    def end_others(self, name: str, number: str) -> None:
        """Sign somebody out everywhere but here."""
        kept = _key(number)
        self.memory.change("DELETE FROM sessions WHERE name = ? AND key <> ?", name, kept)

    def _forget_old(self, now: float) -> None:
        begun, seen = now - LONGEST.total_seconds(), now - IDLE.total_seconds()
        self.memory.change("DELETE FROM sessions WHERE made < ? OR seen < ?", begun, seen)


def _key(number: str) -> str:
    return sha256(number.encode()).hexdigest()
