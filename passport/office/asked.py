"""What a form's boxes asked for under the counts that were marked on it."""

from collections.abc import Iterator

from forms.field import Scale
from forms.layout import Layout
from passport.records.form_state import FormRecord
from scan.reading import Status

FOUND = ".found"


def asked(form: FormRecord, layout: Layout) -> str:
    """Say it in one line; nothing of a form whose boxes asked for nothing."""
    return "; ".join(_asked(form, layout))


def _asked(form: FormRecord, layout: Layout) -> Iterator[str]:
    for field in (field for page in layout.pages for field in page.fields):
        reading = form.readings.get(field.id)
        if isinstance(field, Scale) and reading is not None and reading.status is Status.SURE:
            marked = (option for option in field.options if option.value == reading.value)
            yield from (f"{_station(field.id)} {one.asks}" for one in marked if one.asks)


def _station(field_id: str) -> str:
    """Name the station as the form does: ``L1``, ``end A``, of a pass sheet with its pass."""
    station, walk = field_id.removesuffix(FOUND).split(".pass")
    return station.replace("rise.", "end ") + ("" if walk == "1" else ", second pass,")
