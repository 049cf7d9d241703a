"""The first page: what waits today; and what needs no sign-in."""

from importlib.resources import files

from flask import Blueprint, Response, abort, render_template

from passport.desk.here import for_anybody, needs, office
from passport.desk.people import Role
from passport.office.doubts import count
from passport.office.due import due_list, with_notes
from passport.office.forms_out import rounds

room = Blueprint("start", __name__)

MOST = 200
FONTS = ("inter-regular.woff2", "inter-bold.woff2")


@room.get("/")
@needs(Role.READER)
def today() -> str:
    """Show what waits."""
    found = due_list(office(), MOST)
    late = [one for one in found if one.on and one.on <= office().today]
    return render_template(
        "today.html",
        today=office().today,
        unsafe=[one for one in found if one.unsafe],
        notes=len(with_notes(office())),
        doubts=count(office()),
        missing=sum(one.pages_missing for one in rounds(office())),
        late=late,
        more=len(late) == MOST,
        next=[one for one in found if one.on and one.on > office().today][:8],
    )


@room.get("/health")
@for_anybody
def health() -> Response:
    """Say that the desk answers."""
    return Response("ok\n", mimetype="text/plain")


@room.get("/fonts/<name>")
@for_anybody
def font(name: str) -> Response:
    """Give the typeface that the papers are printed in."""
    if name not in FONTS:
        abort(404)
    content = (files("forms") / "fonts" / name).read_bytes()
    kept = {"Cache-Control": "public, max-age=86400"}
    return Response(content, mimetype="font/woff2", headers=kept)
