"""Notes: what was written in words on a form, with its picture; unsafe first."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from forms.numbers import FormNumber
from passport.desk.here import me, needs, office, skipped
from passport.desk.people import Role
from passport.office import notes
from passport.office.due import with_notes
from passport.office.registering import table
from passport.records.drafts import Decision

room = Blueprint("notes", __name__)
MOST = 20  # tables on one page, with their pictures
TOLD = "told that the table must not be used until it is checked"


@room.get("/notes")
@needs(Role.READER)
def overview() -> str:
    """List what waits to be read, on some tables at a time."""
    waiting, skip = with_notes(office()), skipped()
    found = [
        one
        for number in waiting[skip : skip + MOST]
        for one in notes.unread_of(office(), table(office(), number))
    ]
    now = office().now().astimezone().strftime("%Y-%m-%dT%H:%M")
    more = skip + MOST if skip + MOST < len(waiting) else None
    noted = notes.in_order(found)
    return render_template("notes.html", noted=noted, now=now, tables=len(waiting), more=more)


@room.post("/notes/<form>/read")
@needs(Role.CLERK)
def read(form: str) -> Response:
    """Say that the notes of a form were read."""
    notes.read(office(), FormNumber.parse(form).code, me().name)
    flash("Read. The picture stays with the visit.")
    return redirect(url_for("notes.overview"), 303)


@room.post("/notes/<form>/told")
@needs(Role.CLERK)
def told(form: str) -> Response:
    """Say whom somebody told by telephone, and when."""
    call = (request.form.get("whom", ""), request.form.get("when", "").replace("T", " "))
    decision = Decision(me().name, request.form.get("why", "").strip() or TOLD)
    notes.tell(office(), FormNumber.parse(form).code, call, decision)
    flash("The call stands in the records.")
    return redirect(url_for("notes.overview"), 303)
