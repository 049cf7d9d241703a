"""Intake: photos, scans and PDFs come in, from a computer or from a phone beside the paper."""

from collections.abc import Iterator

from flask import Blueprint, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from forms.numbers import FormNumber
from passport.desk.arrivals import Arrival
from passport.desk.here import desk, me, needs, office
from passport.desk.people import Role
from passport.desk.taking import Brought, take
from passport.office.forms_out import rounds
from passport.office.registering import table

room = Blueprint("intake", __name__)


@room.get("/intake")
@needs(Role.CLERK)
def overview() -> str:
    """Show where files go in, and how the last ones ended."""
    return render_template("intake.html", arrivals=desk().arrivals.newest())


@room.post("/intake")
@needs(Role.CLERK)
def bring() -> Response | str:
    """Take in what was dropped; the page's own script asks for the result of one file alone."""
    given = request.form.get("form", "").strip()
    done = list(take(desk(), _files(), me().name, FormNumber.parse(given) if given else None))
    if request.headers.get("X-Part") == "arrivals":
        return render_template("arrivals.html", arrivals=done)
    return redirect(url_for("intake.overview"), 303)


@room.get("/F1/<form>/<int:page>")
@needs(Role.CLERK)
def phone(form: str, page: int) -> str:
    """Show the page that the code on a form leads to: its camera, and what is still missing."""
    return _phone(form, page, [])


@room.post("/F1/<form>/<int:page>")
@needs(Role.CLERK)
def shot(form: str, page: int) -> str:
    """Take in a shot, and say at once whether it is good."""
    done = list(take(desk(), _files(), me().name, FormNumber.parse(form)))
    return _phone(form, page, done)


def _phone(form: str, page: int, done: list[Arrival]) -> str:
    record = office().store.form(FormNumber.parse(form).code)
    if page not in (*record.pages, *record.optional):
        abort(404)
    mine = rounds(office(), record.printed_on) if record.printed_on else ()
    return render_template(
        "phone.html",
        form=record,
        table=table(office(), record.table),
        page=page,
        arrivals=done,
        round=mine[0] if mine else None,
    )


def _files() -> Iterator[Brought]:
    for one in request.files.getlist("files"):
        content = one.stream.read()
        one.close()
        if one.filename:
            yield Brought(one.filename, content)
