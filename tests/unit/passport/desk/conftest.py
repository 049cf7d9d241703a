"""An office's desk as a browser without JavaScript sees it."""

import re
import shutil
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
from passport.desk.factors import code_at
from passport.desk.here import EXTENSION, Desk
from passport.desk.people import Role
from passport.office import Office, open_store
from passport.settings import Settings, load
from tests.hall import Hall, build, set_up, step

CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
PASSWORD = "four odd green lamps"
KEYS = shutil.ignore_patterns("desk.key")  # each desk makes its own


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
        answer = self.post("/sign-in", {"name": name, "password": password, **more})
        if not answer.headers.get("Location", "").startswith("/sign-in/code"):
            return answer
        code = next_code(self.client.application.extensions[EXTENSION], name)
        return self.post("/sign-in/code", {"code": code, **more})


def next_code(desk: Desk, name: str) -> str:
    """Give a code of somebody's phone that fits now and was not used yet."""
    (row,) = desk.memory.rows("SELECT secret, step FROM factors WHERE name = ?", name)
    return code_at(row["secret"], max(row["step"] + 1, step(desk.office.now()) - 1))


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture(scope="session")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make an office without any table once, with somebody of each role, for all tests to copy."""
    home = tmp_path_factory.mktemp("empty") / "home"
    with open_store(home) as store:
        opened(Office(store, Settings(second_factor="administrators"), Clock()))
    return home


@pytest.fixture
def office(empty: Path, tmp_path: Path, clock: Clock) -> Iterator[Office]:
    shutil.copytree(empty, tmp_path / "home", ignore=KEYS)
    with open_store(tmp_path / "home") as store:
        settings = Settings("555-0100", None, ("AB", "CD"), second_factor="administrators")
        yield Office(store, settings, clock, Random(5).getrandbits)


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Hall:
    """Build an office in the middle of its work once, with somebody of each role."""
    hall = build(tmp_path_factory.mktemp("hall"))
    with open_store(hall.home) as store:
        opened(Office(store, load(hall.home), Clock()))
    return hall


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
    """Open an office's desk; somebody of each role may sign in, the administrator by phone too."""
    made = make_app(office, Options(hasher=CHEAP))
    people = made.extensions[EXTENSION].people
    for role in Role:
        if people.find(f"some-{role}") is None:
            people.add(f"some-{role}", PASSWORD, role, office.now())
    if not people.factors.has("some-administrator"):
        set_up(people.factors, "some-administrator", office.now())
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
