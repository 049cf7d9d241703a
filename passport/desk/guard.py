"""What stands before every page: where a request comes from, who sends it, what it may do.

References
----------
OWASP ASVS 5.0, chapters 3 (browser), 7 (sessions), 8 (authorisation). Fetch Metadata (W3C):
a browser says whether a request comes from another site. CSP Level 3 (W3C).
"""

from collections.abc import Mapping
from functools import partial
from urllib.parse import urlsplit

from flask import Flask, Response, abort, current_app, g, redirect, request, session, url_for
from werkzeug.wrappers import Response as AnyResponse

from passport.desk.here import ANYBODY, address, desk, office, signed_in
from passport.desk.people import Role
from passport.office.due import reckon_quietly

READS = frozenset({"GET", "HEAD", "OPTIONS"})
POLICY = (
    "default-src 'none'; img-src 'self' data:; style-src 'self'; script-src 'self'; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": POLICY,
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "geolocation=(), microphone=(), camera=(self)",
}
BEFORE_FACTOR = frozenset({"second_factor.show", "second_factor.set_up", "signing_in.sign_out"})
A_YEAR = "max-age=31536000"


def stand_before(app: Flask) -> None:
    """Put the guard before all pages of a desk."""
    app.before_request(refuse_other_sites)
    app.before_request(let_in)
    app.after_request(write_diary)
    app.after_request(reckon_later)
    app.after_request(add_headers)


def refuse_other_sites() -> None:
    """Refuse what another site makes a browser send, even with the right token."""
    if request.method in READS:
        return
    site = request.headers.get("Sec-Fetch-Site")
    if site is not None and site not in ("same-origin", "none"):
        abort(403)
    origin = request.headers.get("Origin")
    hidden = origin == "null" and site is not None  # the browser has said where it comes from
    if origin is not None and not hidden and urlsplit(origin).netloc != request.host:
        abort(403)


def let_in() -> AnyResponse | None:
    """Find out who looks, and show only what they may see."""
    if "number" in session:
        g.person = desk().sessions.who(session["number"], office().now())
    if request.endpoint is None:
        return None
    view = current_app.view_functions[request.endpoint]
    wanted = ANYBODY if request.endpoint == "static" else getattr(view, "needs", None)
    if wanted == ANYBODY:
        return None
    person = signed_in()
    if person is None:
        return _ask_to_sign_in()
    if not isinstance(wanted, Role) or not person.role.covers(wanted):
        abort(403)
    if desk().must_set_up(person) and request.endpoint not in BEFORE_FACTOR:
        return redirect(url_for("second_factor.show"), 303)
    return None


def _ask_to_sign_in() -> AnyResponse:
    if request.method not in READS:
        abort(401)
    there = request.full_path.rstrip("?") if request.path != "/" else None
    return redirect(url_for("signing_in.sign_in", then=there))


def write_diary(response: Response) -> Response:
    """Write down what somebody changed."""
    person, refused = signed_in(), response.status_code >= 400
    if person and request.method not in READS and not refused and request.endpoint:
        said = ", ".join(f"{key} {value}" for key, value in (request.view_args or {}).items())
        what = request.endpoint.replace("_", " ").replace(".", ": ")
        line = f"{what} ({said})" if said else what
        desk().diary.write(person.name, address(), line, office().now())
    return response


def reckon_later(response: Response) -> Response:
    """Reckon what a change asks for once its answer is sent, so that no page waits for it."""
    if signed_in() is not None and request.method not in READS:
        response.call_on_close(partial(reckon_quietly, office()))
    return response


def add_headers(response: Response) -> Response:
    """Add what tells a browser to be careful; pages are never kept by it."""
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    response.headers.setdefault("Cache-Control", "no-store")
    if current_app.config["SESSION_COOKIE_SECURE"]:
        response.headers["Strict-Transport-Security"] = A_YEAR
    return response
