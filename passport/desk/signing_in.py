"""Signing in and out, and a new password."""

from math import ceil

from flask import Blueprint, flash, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

from passport.desk.errors import DeskError, PasswordWrong
from passport.desk.here import address, desk, for_anybody, me, needs, office, signed_in
from passport.desk.people import LEAST_PASSWORD, Person, Role

room = Blueprint("signing_in", __name__)

Answer = str | Response | tuple[str, int] | tuple[str, int, dict[str, str]]
WRONG = "Name and password do not fit together. Look at both and type them again."


@room.get("/sign-in")
@for_anybody
def sign_in() -> Answer:
    """Ask for name and password."""
    if signed_in() is not None:
        return redirect(url_for("start.today"))
    return render_template("sign_in.html", then=request.args.get("then"))


@room.post("/sign-in")
@for_anybody
def open_door() -> Answer:
    """Let somebody in whose name and password fit."""
    name, password = request.form.get("name", ""), request.form.get("password", "")
    now = office().now()
    wait = desk().throttle.wait_s(address(), name, now)
    if wait > 0:
        return _too_often(wait)
    person = desk().people.check(name, password)
    if person is None:
        desk().throttle.wrong(address(), name, now)
        known = desk().people.find(name)
        who = known.name if known else "unknown name"
        desk().diary.write(who, address(), "wrong password", now)
        return render_template("sign_in.html", then=request.form.get("then"), fault=WRONG), 401
    return _begin(person)


@room.post("/sign-out")
@needs(Role.READER)
def sign_out() -> Answer:
    """Close the door."""
    desk().sessions.end(session["number"])
    session.clear()
    return redirect(url_for("signing_in.sign_in"))


@room.get("/password")
@needs(Role.READER)
def password() -> Answer:
    """Ask for a new password."""
    return render_template("password.html", least=LEAST_PASSWORD)


@room.post("/password")
@needs(Role.READER)
def change_password() -> Answer:
    """Put a new password in place of the one before; every other session ends."""
    name = me().name
    try:
        if desk().people.check(name, request.form.get("present", "")) is None:
            raise PasswordWrong
        desk().people.give_password(name, request.form.get("new", ""))
    except DeskError as error:
        return render_template("password.html", least=LEAST_PASSWORD, fault=str(error)), 400
    flash("The new password counts from now on.")
    return _begin(me())


def local(target: str | None) -> str:
    """Keep an address within this desk; anything else becomes its first page."""
    start = url_for("start.today")
    if not target or not target.startswith("/") or target.startswith(("//", "/\\")):
        return start
    return start if any(ord(symbol) < 33 for symbol in target) else target


def _begin(person: Person) -> Response:
    kept = session.get("_flashes")
    session.clear()
    session.permanent = True
    session["number"] = desk().sessions.begin(person, office().now())
    if kept:
        session["_flashes"] = kept
    desk().throttle.right(person.name)
    desk().diary.write(person.name, address(), "signed in", office().now())
    return redirect(local(request.form.get("then")))


def _too_often(wait: float) -> Answer:
    seconds = ceil(wait)
    desk().diary.write("unknown name", address(), "slowed: wrong passwords", office().now())
    fault = f"Too many wrong passwords. Wait {seconds} s, then try again."
    page = render_template("sign_in.html", then=request.form.get("then"), fault=fault)
    return page, 429, {"Retry-After": str(seconds)}
