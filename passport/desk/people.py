"""Who may sign in, and what each may do."""

import re
import unicodedata
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from zxcvbn import zxcvbn

from passport.desk.errors import (
    LastAdministrator,
    NameTaken,
    NameUnusable,
    PasswordCommon,
    PasswordShort,
    PersonUnknown,
)
from passport.desk.factors import Factors
from passport.desk.memory import Memory

LEAST_PASSWORD = 12  # characters; OWASP ASVS 5.0, 6.2.1 asks for 8 and advises 15
LEAST_GUESSES = 1e10  # zxcvbn's own highest class; D. L. Wheeler, USENIX Security 2016
ABOUT_HERE = ("table", "passport", "desk", "office")  # words that come to mind here
MOST_JUDGED = 72  # characters that zxcvbn looks at; what is longer is judged by its beginning
MOST_NAME = 32
_NAME = re.compile(rf"[\w.\-]{{1,{MOST_NAME}}}")


class Role(StrEnum):
    """What somebody may do; each may do what those before it may."""

    READER = "reader"  # looks at everything
    CLERK = "clerk"  # takes in, answers, decides, prints
    ADMINISTRATOR = "administrator"  # lets people in, reads the diary

    def covers(self, other: "Role") -> bool:
        """Say whether who has this role may do what the other asks for."""
        order = list(Role)
        return order.index(self) >= order.index(other)


@dataclass(frozen=True)
class Person:
    """Somebody who may sign in."""

    name: str
    role: Role


class People:
    """Everybody who may sign in. Passwords are kept as argon2id hashes (RFC 9106)."""

    def __init__(self, memory: Memory, hasher: PasswordHasher | None = None):
        self._memory, self._hasher = memory, hasher or PasswordHasher()
        self._nobody = self._hasher.hash("nobody's password")
        self.factors = Factors(memory, self._hasher)

    def add(self, name: str, password: str, role: Role, at: datetime) -> Person:
        """Let somebody in.

        Raises
        ------
        NameUnusable, NameTaken, PasswordShort, PasswordCommon
        """
        plain = unicodedata.normalize("NFC", name.strip())
        if not _NAME.fullmatch(plain):
            raise NameUnusable(name, MOST_NAME)
        if self.find(plain) is not None:
            raise NameTaken(plain)
        hashed = self._hashed(plain, password)
        row = (plain, role.value, hashed, at.timestamp())
        self._memory.change("INSERT INTO people VALUES (?, ?, ?, ?)", *row)
        return Person(plain, role)

    def all(self) -> tuple[Person, ...]:
        """Everybody, by name."""
        found = self._memory.rows("SELECT name, role FROM people ORDER BY name")
        return tuple(Person(row["name"], Role(row["role"])) for row in found)

    def find(self, name: str) -> Person | None:
        """Find somebody by name, however it is capitalised."""
        return next((one for one in self.all() if one.name.casefold() == name.casefold()), None)

    def check(self, name: str, password: str) -> Person | None:
        """Say who this is; None when name and password do not fit, as slowly either way."""
        person = self.find(name)
        kept = self._hash_of(person) if person else self._nobody
        try:
            self._hasher.verify(kept, password)
        except (VerificationError, InvalidHashError):
            return None
        return person

    def give_password(self, name: str, password: str) -> None:
        """Give somebody a new password and end their sessions.

        Raises
        ------
        PersonUnknown, PasswordShort, PasswordCommon
        """
        known = self._known(name)
        hashed = self._hashed(known.name, password)
        self._memory.change("UPDATE people SET hash = ? WHERE name = ?", hashed, known.name)
        self._end_sessions(known)

    def give_role(self, name: str, role: Role) -> None:
        """Let somebody do more or less.

        Raises
        ------
        PersonUnknown, LastAdministrator
        """
        known = self._known(name)
        if role is not Role.ADMINISTRATOR:
            self._check_not_last(known)
        self._memory.change("UPDATE people SET role = ? WHERE name = ?", role.value, known.name)
        self._end_sessions(known)

    def remove(self, name: str) -> None:
        """Let somebody in no more.

        Raises
        ------
        PersonUnknown, LastAdministrator
        """
        known = self._known(name)
        self._check_not_last(known)
        self._memory.change("DELETE FROM people WHERE name = ?", known.name)
        self.factors.forget(known.name)
        self._end_sessions(known)

    def reset_factor(self, name: str) -> None:
        """Take somebody's second factor away, for a phone that is lost, and end their sessions.

        Raises
        ------
        PersonUnknown
        """
        known = self._known(name)
        self.factors.forget(known.name)
        self._end_sessions(known)

    def _known(self, name: str) -> Person:
        found = self.find(name)
        if found is None:
            raise PersonUnknown(name)
        return found

    def _check_not_last(self, person: Person) -> None:
        others = [one for one in self.all() if one != person and one.role is Role.ADMINISTRATOR]
        if person.role is Role.ADMINISTRATOR and not others:
            raise LastAdministrator(person.name)

    def _end_sessions(self, person: Person) -> None:
        for table in ("sessions", "half"):
            self._memory.change(f"DELETE FROM {table} WHERE name = ?", person.name)

    def _hash_of(self, person: Person) -> str:
        found = self._memory.rows("SELECT hash FROM people WHERE name = ?", person.name)
        return str(found[0]["hash"]) if found else self._nobody

    def _hashed(self, name: str, password: str) -> str:
        if len(password) < LEAST_PASSWORD:
            raise PasswordShort(len(password), LEAST_PASSWORD)
        if _is_common(name, password):
            raise PasswordCommon
        return self._hasher.hash(password)


def _is_common(name: str, password: str) -> bool:
    """Say whether a password is soon guessed: OWASP ASVS 5.0, 6.2.4 and 6.2.11."""
    told = zxcvbn(password[:MOST_JUDGED], user_inputs=[name, *ABOUT_HERE])
    return float(told["guesses"]) < LEAST_GUESSES
