"""A spare form finds its table: by the number that was written on it, once that number is sure."""

from forms.numbers import NumberUnusable, TableNumber
from passport.office import Office
from passport.records.errors import TableUnknown
from passport.records.form_state import FormRecord
from passport.table import Table
from passport.visits import spare

NOT_A_NUMBER = "the check digits do not fit, so a digit is wrong or two are swapped"
NO_TABLE = "the check digits fit, but no table here has this number"


def bind(office: Office, number: str) -> None:
    """Bind a spare form to the table whose number stands on it; any other form stays as it is.

    A number that is not sure, does not check or that no table has binds nothing and loses nothing:
    its field waits for a person.
    """
    form = office.store.form(number)
    written = spare.written_number(form.readings)
    if form.kind != spare.KIND or written is None or written == form.table:
        return
    if trouble(office, form) is None:
        office.store.bind_form(form.number, written, office.now())


def trouble(office: Office, form: FormRecord) -> str | None:
    """Say why the number on a spare form, read surely, names no table; None where it does."""
    written = spare.written_number(form.readings)
    if written is None:
        return None
    try:
        office.store.table(TableNumber.parse(written).code)
    except NumberUnusable:
        return NOT_A_NUMBER
    except TableUnknown:
        return NO_TABLE
    return None


def unbound(form: FormRecord) -> Table | None:
    """Stand in for the table of a form that is bound to none; None for one that has its table."""
    return None if form.table else spare.blank_table("imperial")
