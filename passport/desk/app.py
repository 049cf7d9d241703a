"""The desk as a web application: its rooms, its limits, its looks."""

from dataclasses import dataclass
from urllib.parse import urlsplit

from argon2 import PasswordHasher
from flask import Flask, render_template
from flask_wtf.csrf import CSRFProtect, generate_csrf
from jinja2 import StrictUndefined
from markupsafe import Markup
from werkzeug.exceptions import HTTPException, SecurityError

from forms.errors import UserError
from passport.desk import (
    administering,
    doubts,
    due,
    forms,
    guard,
    intake,
    notes,
    pictures,
    second_factor,
    signing_in,
    start,
    tables,
)
from passport.desk.here import EXTENSION, Desk, signed_in
from passport.desk.memory import Memory, secret_key
from passport.desk.places import places
from passport.desk.sessions import LONGEST
from passport.desk.words import FILTERS
from passport.office import Office
from passport.records.errors import StoreError

MOST_BYTES = 256 * 2**20  # of one request: a stack of forms from a scanner
MOST_PARTS = 1000
HERE = ("localhost", "127.0.0.1", "[::1]")
ROOMS = (
    start.room,
    intake.room,
    forms.room,
    doubts.room,
    notes.room,
    tables.room,
    due.room,
    pictures.room,
    signing_in.room,
    second_factor.room,
    administering.room,
)


@dataclass(frozen=True)
class Options:
    """What the desk is opened with.

    ``address`` is where others reach it, None on this machine.
    """

    address: str | None = None
    hasher: PasswordHasher | None = None

    @property
    def hosts(self) -> list[str]:
        """Names under which the desk answers."""
        named = urlsplit(self.address or "").hostname
        return [*HERE, named] if named else list(HERE)


def make_app(office: Office, options: Options = Options()) -> Flask:
    """Open the desk of an office."""
    app = Flask(__name__)
    memory = Memory(office.store.home)
    app.config.update(_config(office, options))
    app.extensions[EXTENSION] = Desk(office, memory, options.hasher)
    CSRFProtect(app)
    guard.stand_before(app)
    _looks(app)
    for room in ROOMS:
        app.register_blueprint(room)
    app.register_error_handler(HTTPException, _refused)
    app.register_error_handler(UserError, _told)
    return app


def _config(office: Office, options: Options) -> dict[str, object]:
    return {
        "SECRET_KEY": secret_key(office.store.home),
        "SESSION_COOKIE_NAME": "desk",
        "SESSION_COOKIE_HTTPONLY": True,
        "SESSION_COOKIE_SAMESITE": "Lax",
        "SESSION_COOKIE_SECURE": (options.address or "").startswith("https:"),
        "PERMANENT_SESSION_LIFETIME": LONGEST,
        "MAX_CONTENT_LENGTH": MOST_BYTES,
        "MAX_FORM_PARTS": MOST_PARTS,
        "TRUSTED_HOSTS": options.hosts,
        "WTF_CSRF_TIME_LIMIT": None,  # as long as the session
        "WTF_CSRF_FIELD_NAME": "csrf",
    }


def _looks(app: Flask) -> None:
    app.jinja_env.undefined = StrictUndefined
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.jinja_env.filters.update(FILTERS)
    app.jinja_env.globals["token"] = _token
    app.context_processor(_for_every_page)


def _for_every_page() -> dict[str, object]:
    return {"person": signed_in(), "fault": None, "places": places()}


def _token() -> Markup:
    """Write the field that says a form came from this desk's own page."""
    return Markup('<input type="hidden" name="csrf" value="{}">').format(generate_csrf())


def _refused(error: HTTPException) -> tuple[str, int] | HTTPException:
    if error.code is None or isinstance(error, SecurityError):
        return error  # a request to another host gets no page of this one
    return render_template("refused.html", error=error), error.code


def _told(error: UserError) -> tuple[str, int]:
    """Tell a person's mistake, and what to do about it."""
    store_trouble = isinstance(error, StoreError)
    return render_template("told.html", said=str(error)), 503 if store_trouble else 400
