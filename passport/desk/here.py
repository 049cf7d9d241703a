"""What every page of the desk works with: the office, the desk's memory, and who is signed in."""

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, TypeVar, cast

from argon2 import PasswordHasher
from flask import abort, current_app, g, request

from passport.desk.arrivals import Arrivals
from passport.desk.diary import Diary
from passport.desk.drafts import Drafts
from passport.desk.factors import Factors
from passport.desk.memory import Memory
from passport.desk.people import People, Person, Role
from passport.desk.sessions import Sessions
from passport.desk.throttle import Throttle
from passport.office import Office
from passport.office.pictures import Pictures

EXTENSION = "table-passport"
MOST_SKIPPED = 10**9  # more than any list holds, and less than a database can't count
Word = TypeVar("Word", bound=StrEnum)
View = TypeVar("View", bound=Callable[..., Any])
ANYBODY = "anybody"  # a page that needs no sign-in


@dataclass(frozen=True)
class Desk:
    """An office with the desk's own memory."""

    office: Office
    memory: Memory
    hasher: PasswordHasher | None = None
    people: People = field(init=False)
    pictures: Pictures = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "people", People(self.memory, self.hasher))
        object.__setattr__(self, "pictures", Pictures(self.office))

    @property
    def factors(self) -> Factors:
        """Everybody's second factor."""
        return self.people.factors

    def needs_factor(self, person: Person) -> bool:
        """Say whether somebody may not sign in with a password alone.

        Everybody, as OWASP ASVS 5.0, 6.3.3 asks at level 2, unless the owner has exempted all but
        administrators.
        """
        everybody = self.office.settings.second_factor == "everybody"
        return everybody or person.role is Role.ADMINISTRATOR

    def must_set_up(self, person: Person) -> bool:
        """Say whether somebody must set up a second factor before anything else."""
        return self.needs_factor(person) and not self.factors.has(person.name)

    @property
    def sessions(self) -> Sessions:
        """Everybody who is signed in."""
        return Sessions(self.memory)

    @property
    def throttle(self) -> Throttle:
        """Wrong passwords."""
        return Throttle(self.memory)

    @property
    def diary(self) -> Diary:
        """What was done at the desk."""
        return Diary(self.memory)

    @property
    def drafts(self) -> Drafts:
        """Answers that are not accepted yet."""
        return Drafts(self.memory)

    @property
    def arrivals(self) -> Arrivals:
        """How each file ended."""
        return Arrivals(self.memory)


def desk() -> Desk:
    """Find the desk that this page belongs to."""
    return cast(Desk, current_app.extensions[EXTENSION])


def office() -> Office:
    """Find the office that this page works with."""
    return desk().office


def signed_in() -> Person | None:
    """Say who looks at this page."""
    return cast(Person | None, g.get("person"))


def me() -> Person:
    """Say who looks at this page; only pages that need a role ask this."""
    person = signed_in()
    assert person is not None, "a page without a role asks who looks at it"
    return person


def address() -> str:
    """Say where a request comes from."""
    return request.remote_addr or "unknown"


def skipped() -> int:
    """Say how much of a list the pages before this one have shown."""
    return min(max(0, request.args.get("skip", 0, type=int)), MOST_SKIPPED)


def chosen(kind: type[Word], text: str) -> Word:
    """Take one of the words that a page offers; another one is refused."""
    if text not in list(kind):
        abort(400)
    return kind(text)


def needs(role: Role) -> Callable[[View], View]:
    """Say what a page's visitor must be; a page that says nothing is shown to nobody."""

    def marked(view: View) -> View:
        view.needs = role  # type: ignore[attr-defined]
        return view

    return marked


def for_anybody(view: View) -> View:
    """Mark a page that needs no sign-in."""
    view.needs = ANYBODY  # type: ignore[attr-defined]
    return view
