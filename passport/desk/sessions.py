"""Who is signed in: a number nobody can guess in the cookie, its hash and the person here."""

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256

from passport.desk.memory import Memory
from passport.desk.people import Person, Role

LONGEST = timedelta(hours=12)  # a working day; OWASP ASVS 5.0, 7.3.2
IDLE = timedelta(hours=2)  # then the password is asked again; 7.3.1


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
        now = at.timestamp()
        self._forget_old(now)
        changed = self.memory.change("UPDATE sessions SET seen=? WHERE key=?", now, _key(number))
        query = "SELECT people.name, role FROM people JOIN sessions USING (name) WHERE key = ?"
        found = self.memory.rows(query, _key(number)) if changed else []
        return Person(found[0]["name"], Role(found[0]["role"])) if found else None

    def end(self, number: str) -> None:
        """Sign somebody out: the number opens nothing any more."""
        self.memory.change("DELETE FROM sessions WHERE key = ?", _key(number))

    def _forget_old(self, now: float) -> None:
        begun, seen = now - LONGEST.total_seconds(), now - IDLE.total_seconds()
        self.memory.change("DELETE FROM sessions WHERE made < ? OR seen < ?", begun, seen)


def _key(number: str) -> str:
    return sha256(number.encode()).hexdigest()
