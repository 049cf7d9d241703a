"""A printed form comes back filled, without a picture: what was written is what is read."""

from collections.abc import Mapping
from hashlib import sha256

from forms.field import Field, Note, Tick
from forms.layout import Layout
from passport.office import Office
from passport.office.following import follow
from passport.office.printing import PrintedForm
from passport.visits import KINDS
from passport.visits.kind import Record
from scan.reading import PageReading, PhotoReading, Reading, Status, Value


def read(field: Field, value: Value | None) -> Reading:
    """Read one field surely; a note's value is its picture."""
    if isinstance(field, Note):
        return Reading(Status.SURE, None, 1.0, crop=value, ink=value is not None)
    if isinstance(field, Tick):
        return Reading(Status.SURE, value is True, 1.0)
    return Reading(Status.EMPTY if value is None else Status.SURE, value, 1.0)


def read_as(layout: Layout, answers: Mapping[str, Value]) -> dict[str, Reading]:
    """Read every field as if a hand had written these answers and no others."""
    fields = (field for page in layout.pages for field in page.fields)
    return {field.id: read(field, answers.get(field.id)) for field in fields}


def take_in(
    office: Office, printed: PrintedForm, record: Record, pages: tuple[int, ...] | None = None
) -> None:
    """Take a filled form in, all its pages or some, and let follow what follows."""
    layout = printed.layout
    given = KINDS[layout.kind].answers(record, printed_on=layout.printed_on)
    read_pages = tuple(
        PageReading(layout.form, one.page, {f.id: read(f, given.get(f.id)) for f in one.fields})
        for one in layout.pages
        if pages is None or one.page in pages
    )
    content = f"{layout.form} {pages}".encode()
    photo = PhotoReading("filled.pdf", sha256(content).hexdigest(), read_pages)
    office.store.record_photo(photo, content, office.now())
    follow(office, layout.form)
