"""Due: who needs a visit when, by urgency or place; the day's round; a calendar."""

from functools import partial
from hmac import compare_digest
from itertools import groupby

from flask import Blueprint, Response, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from passport.desk.here import desk, for_anybody, needs, office, skipped
from passport.desk.people import Role
from passport.desk.tables import pdf
from passport.office.calendar import calendar
from passport.office.due import due_list, reckon_aged
from passport.office.rounds import print_round

room = Blueprint("due", __name__)

MOST = 200
WORD = "calendar"


@room.get("/due")
@needs(Role.READER)
def overview() -> Response:
    """List who needs a visit when."""
    skip = skipped()
    found = due_list(office(), MOST, skip)
    by_place = request.args.get("by") == "place"
    groups = [("", found)]
    if by_place:
        placed = sorted(found, key=lambda one: one.site)
        groups = [(site, tuple(here)) for site, here in groupby(placed, key=lambda one: one.site)]
    page = render_template(
        "due.html",
        groups=groups,
        by_place=by_place,
        today=office().today,
        more=skip + MOST if len(found) == MOST else None,
        calendar=url_for("due.feed", word=desk().memory.word(WORD), _external=True),
    )
    answer = Response(page)
    answer.call_on_close(partial(reckon_aged, office()))  # once nobody waits for it any more
    return answer


@room.post("/due/round")
@needs(Role.CLERK)
def round_() -> Response:
    """Print the day's round for the chosen tables."""
    chosen = request.form.getlist("table")
    return pdf(print_round(office(), chosen), f"round-{office().today.isoformat()}")


@room.post("/due/calendar")
@needs(Role.CLERK)
def new_address() -> AnyResponse:
    """Put another secret address in place of the calendar's present one."""
    desk().memory.new_word(WORD)
    flash("The calendar has a new address; the one before opens nothing any more.")
    return redirect(url_for("due.overview"), 303)


@room.get("/calendar/<word>.ics")
@for_anybody
def feed(word: str) -> Response:
    """Give the calendar to whoever knows its secret address."""
    if not compare_digest(word.encode(), desk().memory.word(WORD).encode()):
        abort(404)
    return Response(calendar(office()), mimetype="text/calendar")
