"""A desk that a real browser can reach: served from another thread, signed in once."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from argon2 import PasswordHasher
from flask import Flask
from playwright.sync_api import BrowserContext, Page
from werkzeug.serving import WSGIRequestHandler, make_server

from passport.desk.app import Options, make_app
from passport.desk.here import EXTENSION
from passport.desk.people import Role
from passport.office import Office

CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
NAME, PASSWORD = "ann", "four odd green lamps"


@dataclass(frozen=True)
class Served:
    """Where a desk is open, and its office."""

    address: str
    office: Office
    form: str

    def sign_in(self, page: Page) -> BrowserContext:
        page.goto(f"{self.address}/sign-in")
        page.fill("#name", NAME)
        page.fill("#password", PASSWORD)
        page.press("#password", "Enter")
        page.wait_for_url(f"{self.address}/")
        return page.context


class Quiet(WSGIRequestHandler):
    def log_request(self, *_: object) -> None:
        """Say nothing of each request."""


@contextmanager
def served(office: Office, form: str) -> Iterator[Served]:
    app = _app(office)
    server = make_server("127.0.0.1", 0, app, threaded=True, request_handler=Quiet)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield Served(f"http://127.0.0.1:{server.server_port}", office, form)
    server.shutdown()
    server.server_close()
    thread.join(timeout=5)


def _app(office: Office) -> Flask:
    app = make_app(office, Options(hasher=CHEAP))
    people = app.extensions[EXTENSION].people
    if people.find(NAME) is None:
        people.add(NAME, PASSWORD, Role.ADMINISTRATOR, office.now())
    return app
