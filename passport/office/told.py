"""What a form told the technician: kept with its visit, however much is learned afterwards."""

from collections.abc import Iterator, Sequence
from datetime import date

from passport.documents.wording import day
from passport.office import Office
from passport.office.filed import Filed, filed
from passport.table import Table
from passport.visit import Visit
from passport.visits import KINDS


def forms_told(office: Office, table: Table, visits: Sequence[Visit]) -> dict[str, tuple[str, ...]]:
    """Say what the form of each visit asked for under the counts that were marked on it.

    Parameters
    ----------
    office : Office
        Whose store has the forms.
    table : Table
        The table.
    visits : sequence of Visit
        All of its visits: where one is newer than a form, its look-ups did not know of it.

    Returns
    -------
    dict
        A line each, by the form's number; none for a form whose boxes asked for nothing.
    """
    forms = {one.record.form: one for one in filed(office, table, KINDS.values())}
    days = {visit.form: visit.date for visit in visits if visit.date is not None}
    return {visit.form: _told(forms[visit.form], visit, days) for visit in visits}


def _told(form: Filed, visit: Visit, days: dict[str, date]) -> tuple[str, ...]:
    lines = (f"the form asked for: {form.asked}",) if form.asked else ()
    return (*_older(form, visit, days), *lines)


def _older(form: Filed, visit: Visit, days: dict[str, date]) -> Iterator[str]:
    """Name the newest visit that was made after the form was printed and before it was used."""
    if form.printed_on is None or visit.date is None:
        return
    others = (on for other, on in days.items() if other != visit.form)
    between = [one for one in others if form.printed_on < one <= visit.date]
    if between:
        yield (
            f"the form was printed on {day(form.printed_on)}, before the visit of "
            f"{day(max(between))}: its look-ups did not know of that"
        )
