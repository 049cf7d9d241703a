"""Who may sign in, and the diary: for administrators."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from passport.desk.errors import DeskError, FactorNeeded
from passport.desk.here import chosen, desk, me, needs, office
from passport.desk.people import LEAST_PASSWORD, Role

room = Blueprint("administering", __name__)


@room.get("/people")
@needs(Role.ADMINISTRATOR)
def people() -> str:
    """List everybody who may sign in."""
    return _people()


@room.post("/people")
@needs(Role.ADMINISTRATOR)
def add() -> Response | tuple[str, int]:
    """Let somebody in."""
    given = request.form
    try:
        role = chosen(Role, given.get("role", Role.READER))
        person = desk().people.add(
            given.get("name", ""), given.get("password", ""), role, office().now()
        )
    except DeskError as error:
        return _people(str(error)), 400
    flash(f"{person.name} may sign in as {person.role}.")
    return redirect(url_for("administering.people"))


@room.post("/people/<name>/role")
@needs(Role.ADMINISTRATOR)
def change_role(name: str) -> Response | tuple[str, int]:
    """Let somebody do more or less."""
    try:
        desk().people.give_role(name, chosen(Role, request.form.get("role", Role.READER)))
    except DeskError as error:
        return _people(str(error)), 400
    flash(f"{name} signs in again as {request.form.get('role')}.")
    return redirect(url_for("administering.people"))


@room.post("/people/<name>/remove")
@needs(Role.ADMINISTRATOR)
def remove(name: str) -> Response | tuple[str, int]:
    """Let somebody in no more."""
    try:
        desk().people.remove(name)
    except DeskError as error:
        return _people(str(error)), 400
    flash(f"{name} can't sign in any more. What {name} decided stays in the records.")
    return redirect(url_for("administering.people"))


@room.post("/people/<name>/second-factor")
@needs(Role.ADMINISTRATOR)
def reset_factor(name: str) -> Response | tuple[str, int]:
    """Take somebody else's second factor away, so that another phone can be set up."""
    try:
        if name.casefold() == me().name.casefold():
            raise FactorNeeded(me().name)
        desk().people.reset_factor(name)
    except DeskError as error:
        return _people(str(error)), 400
    flash(f"{name} signs in with the password alone until another second factor is set up.")
    return redirect(url_for("administering.people"))


@room.get("/diary")
@needs(Role.ADMINISTRATOR)
def diary() -> str:
    """Show what was done at the desk."""
    return render_template("diary.html", lines=desk().diary.lines())


def _people(fault: str | None = None) -> str:
    everybody = [(one, desk().factors.has(one.name)) for one in desk().people.all()]
    return render_template(
        "people.html", everybody=everybody, roles=list(Role), least=LEAST_PASSWORD, fault=fault
    )
