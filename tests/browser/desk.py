"""A desk that a real browser can reach: served from another thread."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from argon2 import PasswordHasher
from flask import Flask
from flask.sessions import SecureCookieSessionInterface
from playwright.sync_api import BrowserContext, Page
from werkzeug.serving import WSGIRequestHandler, make_server

from passport.desk.app import Options, make_app
from passport.desk.factors import code_at
from passport.desk.here import EXTENSION, Desk
from passport.desk.people import Role
from passport.office import Office
from tests.hall import set_up

CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
NAME, PASSWORD = "ann", "four odd green lamps"


@dataclass(frozen=True)
class Served:
    """Where a desk is open, and its office."""

    address: str
    office: Office
    form: str
    app: Flask

    @property
    def desk(self) -> Desk:
        return self.app.extensions[EXTENSION]

    def sign_in(self, page: Page) -> BrowserContext:
        """Put the cookie of somebody who has signed in into the browser."""
        person = self.desk.people.find(NAME)
        number = self.desk.sessions.begin(person, self.office.now())
        written = SecureCookieSessionInterface().get_signing_serializer(self.app)
        value = written.dumps({"number": number})
        page.context.add_cookies([{"name": "desk", "value": value, "url": self.address}])
        return page.context

    def code(self) -> str:
        """Say what the phone shows, a step later than what was used last."""
        (row,) = self.desk.memory.rows("SELECT secret, step FROM factors WHERE name = ?", NAME)
        return code_at(row["secret"], row["step"] + 1)


class Quiet(WSGIRequestHandler):
    def log_request(self, *_: object) -> None:
        """Say nothing of each request."""


@contextmanager
def served(office: Office, form: str) -> Iterator[Served]:
    app = _app(office)
    server = make_server("127.0.0.1", 0, app, threaded=True, request_handler=Quiet)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield Served(f"http://127.0.0.1:{server.server_port}", office, form, app)
    server.shutdown()
    server.server_close()
    thread.join(timeout=5)


def _app(office: Office) -> Flask:
    app = make_app(office, Options(hasher=CHEAP))
    people = app.extensions[EXTENSION].people
    if people.find(NAME) is None:
        people.add(NAME, PASSWORD, Role.ADMINISTRATOR, office.now())
        set_up(people.factors, NAME, office.now())
    return app
