"""The second factor's own page: set it up, put another phone in its place, take it away."""

from base64 import b64encode

from flask import Blueprint, flash, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

from forms.marks import QUIET, modules_path, qr_matrix
from passport.desk.errors import CodeWrong, DeskError, FactorNeeded
from passport.desk.factors import address_for_phone
from passport.desk.here import desk, me, needs, office
from passport.desk.people import Role
from passport.desk.proving import prove, prove_code

room = Blueprint("second_factor", __name__)


@room.get("/second-factor")
@needs(Role.READER)
def show() -> str:
    """Show the code that a phone scans, and what is set up."""
    return _page()


@room.post("/second-factor")
@needs(Role.READER)
def set_up() -> str | tuple[str, int]:
    """Put another phone to use; the recovery codes are shown this once."""
    try:
        _prove()
        codes = desk().factors.set_up(me().name, request.form.get("code", ""), office().now())
        if not codes:
            raise CodeWrong
    except DeskError as error:
        return _page(str(error)), 400
    desk().sessions.end_others(me().name, session["number"])
    return render_template("recovery.html", codes=codes)


@room.post("/second-factor/away")
@needs(Role.READER)
def take_away() -> Response | tuple[str, int]:
    """Sign in with the password alone from now on, where the owner lets people do so."""
    try:
        if desk().needs_factor(me()):
            raise FactorNeeded(me().name)
        _prove()
    except DeskError as error:
        return _page(str(error)), 400
    desk().factors.forget(me().name)
    flash("From now on you sign in with your password alone.")
    return redirect(url_for("second_factor.show"), 303)


def picture(text: str) -> str:
    """Draw a QR code with its quiet zone, dark on white, as the address of a picture."""
    matrix = qr_matrix(text)
    side, path = len(matrix) + 2 * QUIET, modules_path(matrix, QUIET, QUIET, 1)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}">'
        f'<path fill="#fff" d="M0 0H{side}V{side}H0Z"/><path d="{path}"/></svg>'
    )
    return "data:image/svg+xml;base64," + b64encode(svg.encode()).decode()


def _prove() -> None:
    """Ask again for all that somebody signs in with: OWASP ASVS 5.0, 7.5.1."""
    prove(me().name, request.form.get("password", ""))
    if desk().factors.has(me().name):
        prove_code(me().name, request.form.get("present", ""))


def _page(fault: str | None = None) -> str:
    name, factors = me().name, desk().factors
    secret = factors.offered(name, office().now())
    address = address_for_phone(name, secret)
    return render_template(
        "second_factor.html",
        has=factors.has(name),
        left=factors.recovery_left(name),
        must=desk().needs_factor(me()),
        address=address,
        picture=picture(address),
        groups=[secret[at : at + 4] for at in range(0, len(secret), 4)],
        fault=fault,
    )
