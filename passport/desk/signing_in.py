"""Signing in and out, and a new password."""

from flask import Blueprint, flash, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

from passport.desk.errors import CodeWrong, DeskError, TooOften
from passport.desk.here import address, desk, for_anybody, me, needs, office, signed_in
from passport.desk.people import LEAST_PASSWORD, Person, Role
from passport.desk.proving import prove, prove_code

room = Blueprint("signing_in", __name__)

Answer = str | Response | tuple[str, int] | tuple[str, int, dict[str, str]]
WRONG = "Name and password do not fit together. Look at both and type them again."


@room.get("/sign-in")
@for_anybody
def sign_in() -> Answer:
    """Ask for name and password."""
    if signed_in() is not None:
        return redirect(url_for("start.today"))
    return _asked("sign_in.html")


@room.post("/sign-in")
@for_anybody
def open_door() -> Answer:
    """Let somebody in whose name and password fit, at once or after the code from the phone."""
    name, password = request.form.get("name", ""), request.form.get("password", "")
    now = office().now()
    wait = desk().throttle.wait_s(address(), name, now)
    if wait > 0:
        return _too_often(TooOften("passwords", wait), "sign_in.html")
    person = desk().people.check(name, password)
    if person is None:
        desk().throttle.wrong(address(), name, now)
        known = desk().people.find(name)
        who = known.name if known else "unknown name"
        desk().diary.write(who, address(), "wrong password", now)
        return _asked("sign_in.html", WRONG), 401
    return _ask_code(person) if desk().factors.has(person.name) else _begin(person)


@room.get("/sign-in/code")
@for_anybody
def code() -> Answer:
    """Ask for the code of the second factor."""
    if _half() is None:
        return redirect(url_for("signing_in.sign_in", then=request.args.get("then")))
    return _asked("code.html")


@room.post("/sign-in/code")
@for_anybody
def give_code() -> Answer:
    """Let somebody in whose password fitted a moment ago, and whose code fits now."""
    person = _half()
    if person is None:
        return redirect(url_for("signing_in.sign_in", then=request.form.get("then")))
    try:
        prove_code(person.name, request.form.get("code", ""))
    except TooOften as error:
        return _too_often(error, "code.html")
    except CodeWrong as error:
        return _asked("code.html", str(error)), 401
    desk().sessions.end_half(session["half"])
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
        prove(name, request.form.get("present", ""))
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


def _ask_code(person: Person) -> Response:
    session.clear()
    session["half"] = desk().sessions.begin_half(person.name, office().now())
    return redirect(url_for("signing_in.code", then=request.form.get("then")))


def _half() -> Person | None:
    """Say whose password fitted a moment ago in this browser."""
    name = desk().sessions.half(session.get("half", ""), office().now())
    return None if name is None else desk().people.find(name)


def _asked(page: str, fault: str | None = None) -> str:
    return render_template(page, then=request.values.get("then"), fault=fault)


def _too_often(error: TooOften, page: str) -> Answer:
    desk().diary.write("unknown name", address(), f"slowed: wrong {error.what}", office().now())
    return _asked(page, str(error)), 429, {"Retry-After": str(error.wait_s)}
