"""What a form told the technician: kept with its visit, however much is learned afterwards."""

from collections.abc import Iterator, Sequence

from forms.field import Scale
from passport.documents.wording import day
from passport.office import Office
from passport.records.form_state import FormRecord
from passport.visit import Visit
from scan.reading import Status

FOUND = ".found"


def form_told(office: Office, visit: Visit, visits: Sequence[Visit]) -> tuple[str, ...]:
    """Say what the form of a visit asked for under the counts that were marked on it.

    Parameters
    ----------
    office : Office
        Whose store has the form and its layout.
    visit : Visit
        One of the table's visits.
    visits : sequence of Visit
        All of them: where one is newer than the form, its look-ups did not know of it.

    Returns
    -------
    tuple of str
        A line each; none for a form whose boxes asked for nothing.
    """
    form = office.store.form(visit.form)
    asked = "; ".join(_asked(office, form))
    lines = (f"the form asked for: {asked}",) if asked else ()
    return (*_older(form, visit, visits), *lines)


def _older(form: FormRecord, visit: Visit, visits: Sequence[Visit]) -> Iterator[str]:
    """Name the newest visit that was made after the form was printed and before it was used."""
    days = [one.date for one in visits if one.form != visit.form and one.date is not None]
    if form.printed_on is None or visit.date is None:
        return
    between = [one for one in days if form.printed_on < one <= visit.date]
    if between:
        yield (
            f"the form was printed on {day(form.printed_on)}, before the visit of "
            f"{day(max(between))}: its look-ups did not know of that"
        )


def _asked(office: Office, form: FormRecord) -> Iterator[str]:
    layout = office.store.layout_of(form.number)
    fields = (field for page in layout.pages for field in page.fields) if layout else ()
    for field in fields:
        reading = form.readings.get(field.id)
        if isinstance(field, Scale) and reading is not None and reading.status is Status.SURE:
            marked = (option for option in field.options if option.value == reading.value)
            yield from (f"{_station(field.id)} {one.asks}" for one in marked if one.asks)


def _station(field_id: str) -> str:
    """Name the station as the form does: ``L1``, ``end A``, of a pass sheet with its pass."""
    station, walk = field_id.removesuffix(FOUND).split(".pass")
    return station.replace("rise.", "end ") + ("" if walk == "1" else ", second pass,")
