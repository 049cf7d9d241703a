"""An office's desk as a browser without JavaScript sees it."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

import pytest
from argon2 import PasswordHasher
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from passport.desk.app import Options, make_app
from passport.desk.here import EXTENSION, Desk
from passport.desk.people import Role
from passport.office import Office, open_store
from passport.settings import Settings, load
from tests.hall import Hall, build

CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
PASSWORD = "four odd green lamps"


@dataclass
class Clock:
    """Stands still until somebody moves it."""

    at: datetime = datetime(2026, 3, 2, 9, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.at

    def wait(self, **time: float) -> None:
        self.at += timedelta(**time)


@dataclass
class Visitor:
    """Somebody with a browser: remembers cookies, sends the page's own token."""

    client: FlaskClient
    headers: dict[str, str] = field(default_factory=dict)

    def get(self, path: str, **more: object) -> TestResponse:
        return self.client.get(path, **more)

    def token(self, path: str = "/sign-in") -> str:
        page = self.client.get(path, follow_redirects=True).text
        found = re.search(r'<meta name="csrf" content="([^"]+)"', page)
        assert found is not None
        return found[1]

    def post(
        self, path: str, data: dict[str, object] | None = None, **more: object
    ) -> TestResponse:
        data = {"csrf": self.token(), **(data or {})}
        answer = self.client.post(path, data=data, headers=self.headers, **more)
        for one in (*answer.history, answer):  # the client leaves what it sent open
            one.request.environ["wsgi.input"].close()
        return answer

    def sign_in(self, name: str, password: str = PASSWORD, **more: object) -> TestResponse:
        return self.post("/sign-in", {"name": name, "password": password, **more})


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def office(tmp_path: Path, clock: Clock) -> Iterator[Office]:
    with open_store(tmp_path / "home") as store:
        settings = Settings(phone="555-0100", technicians=("AB", "CD"))
        yield Office(store, settings, clock, Random(5).getrandbits)


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Hall:
    return build(tmp_path_factory.mktemp("hall"))


@pytest.fixture
def hall(built: Hall, tmp_path: Path) -> Hall:
    """Give each test a copy of an office in the middle of its work."""
    return built.copied(tmp_path)


@pytest.fixture
def busy(hall: Hall, clock: Clock) -> Iterator[Office]:
    with open_store(hall.home) as store:
        yield Office(store, load(hall.home), clock, Random(5).getrandbits)


@pytest.fixture
def app(office: Office) -> Flask:
    return opened(office)


@pytest.fixture
def clerk(busy: Office) -> Visitor:
    """Sign a clerk in at the desk of the busy office."""
    somebody = Visitor(opened(busy).test_client())
    somebody.sign_in("some-clerk")
    return somebody


def opened(office: Office) -> Flask:
    """Open an office's desk; somebody of each role may sign in."""
    made = make_app(office, Options(hasher=CHEAP))
    people = made.extensions[EXTENSION].people
    for role in Role:
        if people.find(f"some-{role}") is None:
            people.add(f"some-{role}", PASSWORD, role, office.now())
    return made


@pytest.fixture
def desk(app: Flask) -> Desk:
    return app.extensions[EXTENSION]


@pytest.fixture
def visitor(app: Flask) -> Visitor:
    return Visitor(app.test_client())


@pytest.fixture
def as_(app: Flask) -> Callable[[str], Visitor]:
    """Somebody signed in: ``as_("clerk")``."""

    def signed_in(role: str) -> Visitor:
        somebody = Visitor(app.test_client())
        somebody.sign_in(f"some-{role}")
        return somebody

    return signed_in
