"""Pictures of pages and fields: fresh JPEGs for whoever is signed in, kept by no browser."""

from flask import Blueprint, Response, request

from passport.desk.here import desk, needs
from passport.desk.people import Role
from passport.office.pictures import View

room = Blueprint("pictures", __name__)


@room.get("/pictures/<form>/<sha256>/<int:position>/near.jpg")
@needs(Role.READER)
def near(form: str, sha256: str, position: int) -> Response:
    """Show a field with its neighbours."""
    return _jpeg(desk().pictures.near(View(form, sha256, position), request.args.get("field", "")))


@room.get("/pictures/<form>/<sha256>/<int:position>/page.jpg")
@needs(Role.READER)
def page(form: str, sha256: str, position: int) -> Response:
    """Show a page laid flat."""
    return _jpeg(desk().pictures.page(View(form, sha256, position), request.args.get("field")))


@room.get("/pictures/<form>/<sha256>/<int:position>/photo.jpg")
@needs(Role.READER)
def photo(form: str, sha256: str, position: int) -> Response:
    """Show the photo as it was taken."""
    return _jpeg(desk().pictures.photo(View(form, sha256, position), request.args.get("field")))


def _jpeg(content: bytes) -> Response:
    shown = {"Content-Disposition": 'inline; filename="picture.jpg"'}
    return Response(content, mimetype="image/jpeg", headers=shown)
