"""Tables: found by anything; where each stands, its history, its next actions, its papers."""

from base64 import b64encode
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from flask import (
    Blueprint,
    Response,
    flash,
    make_response,
    redirect,
    render_template,
    request,
    url_for,
)
from werkzeug.wrappers import Response as AnyResponse

from passport.desk.here import chosen, me, needs, office
from passport.desk.people import Role
from passport.documents import house
from passport.documents.courses import courses
from passport.documents.grid import grids
from passport.documents.house import Story
from passport.documents.log import Entry, log
from passport.documents.relief import surface_map
from passport.documents.wording import standing
from passport.documents.yearly import yearly
from passport.drawing import draw
from passport.office import Office, printing
from passport.office.acting import acting, close_action, incomplete
from passport.office.filed import beside
from passport.office.history import reckon_by_build, story
from passport.office.notes import noted_of
from passport.office.registering import table as find_table
from passport.office.told import forms_told
from passport.records import ActionResult, Contact
from passport.records.drafts import Decision
from passport.table import Table
from passport.visits import FOR_A_TABLE

room = Blueprint("tables", __name__)

MOST = 100
DRAWING_MM = (180.0, 52.0)
CHART_MM = 180.0

PAPERS: Mapping[str, tuple[str, Callable[[Office, str], bytes]]] = {  # file name and maker
    "passport": ("passport", printing.print_passport),
    "booklet": ("booklet", partial(printing.print_passport, fold=printing.Fold.BOOKLET)),
    "hand-over": ("hand-over", printing.print_handover),
    "label": ("label", printing.print_label),
    "actions": ("next-actions", printing.print_actions),
}


@dataclass(frozen=True)
class Past:
    """One visit of the history: its line in the log, its form with all values, what that told."""

    entry: Entry
    form: str
    told: tuple[str, ...]


@room.get("/tables")
@needs(Role.READER)
def overview() -> str:
    """Find tables by any words."""
    words = request.args.get("q", "")
    found = office().store.search(words, MOST)
    return render_template("tables.html", found=found, words=words, most=MOST)


@room.get("/tables/<number>")
@needs(Role.READER)
def one(number: str) -> Response:
    """Show where a table stands, what was done and what comes next."""
    told = story(office(), number, waits=False)
    answer = make_response(_page(told))
    if told.table.build is not None:
        answer.call_on_close(partial(reckon_by_build, office(), number))
    return answer


def _page(told: Story) -> str:
    table = told.table
    return render_template(
        "table.html",
        story=told,
        table=table,
        grids=grids(told),
        courses=courses(told),
        year=yearly(told, CHART_MM),
        drawing=_picture(table),
        standing=standing(told.advice.state),
        history=_history(told),
        beside=[(one, one.kind.tell(table, one.record)) for one in beside(office(), table)],
        notes={one.form: one for one in noted_of(office(), table)},
        incomplete=incomplete(office(), table.number),
        actions=acting(office(), told),
        results=list(ActionResult),
        kinds=FOR_A_TABLE,
        record=office().store.table(table.number),
        forms=office().store.form_rows(table.number),
        contact=office().store.table(table.number).contact,
        values=_values(told),
    )


@room.get("/tables/<number>/surface")
@needs(Role.READER)
def surface(number: str) -> str:
    """Show the surface that the newest visit left, as a map; it takes a moment."""
    told = story(office(), number, waits=False)
    drawn = surface_map(told, CHART_MM)
    return render_template("surface.html", table=told.table, story=told, surface=drawn)


@room.post("/tables/<number>/action")
@needs(Role.CLERK)
def close(number: str) -> AnyResponse:
    """Say how a next action ended."""
    sent = request.form
    decision = Decision(me().name, sent.get("why", "").strip() or "closed at the desk")
    result = chosen(ActionResult, sent.get("result", ActionResult.DONE))
    told = story(office(), number)
    close_action(office(), told, sent.get("action", ""), result, decision)
    flash(f"Noted: {result}.")
    return redirect(url_for("tables.one", number=told.table.number, _anchor="actions"), 303)


@room.post("/tables/<number>/contact")
@needs(Role.CLERK)
def contact(number: str) -> AnyResponse:
    """Say whom to call about a table."""
    table = find_table(office(), number)
    given = {key: request.form.get(key, "").strip() for key in vars(Contact())}
    office().store.give_contact(table.number, Contact(**given), office().now())
    flash("Kept beside the records, from where it can be removed.")
    return redirect(url_for("tables.one", number=table.number), 303)


@room.post("/tables/<number>/print")
@needs(Role.CLERK)
def paper(number: str) -> Response:
    """Print a paper of this table."""
    table, what = find_table(office(), number), request.form.get("what", "")
    if what in FOR_A_TABLE:
        printed = printing.print_form(office(), what, table.number)
        return pdf(printed.pdf, f"{what}-{printed.layout.form}")
    name, make = PAPERS.get(what, PAPERS["actions"])
    return pdf(make(office(), table.number), f"{name}-{table.number}")


def pdf(content: bytes, name: str) -> Response:
    """Give a paper to the browser under a plain name."""
    shown = {"Content-Disposition": f'inline; filename="{name}.pdf"'}
    return Response(content, mimetype="application/pdf", headers=shown)


def _history(told: Story) -> list[Past]:
    """Each visit, the newest first."""
    entries, visits = log(told), reversed(told.visits)
    asked = forms_told(office(), told.table, told.visits)
    return [
        Past(entry, visit.form, asked[visit.form])
        for entry, visit in zip(entries, visits, strict=True)
    ]


def _picture(table: Table) -> str:
    svg = house.drawing_svg(draw(table, *DRAWING_MM))
    return "data:image/svg+xml;base64," + b64encode(svg.encode()).decode()


def _values(told: Story) -> dict[str, tuple[str, str]]:
    """Form and field that the last found value of each station was read from."""
    if not told.visits:
        return {}
    form = office().store.form(told.visits[-1].form)
    found = [name for name in form.readings if name.endswith(".pass1.found")]
    return {name.removesuffix(".pass1.found"): (form.number, name) for name in found}
