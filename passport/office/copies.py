"""Many copies of one form at once: spare forms, and a table's check cards for months."""

from dataclasses import dataclass

from forms.cutting import ON_A_SHEET
from forms.cutting import print_cards as cards_pdf
from forms.form import Form
from forms.layout import Layout
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Placed, copied, place
from forms.sheet import print_forms
from passport.office import Office
from passport.office.printing import dated, form_of, optional_pages
from passport.office.registering import table as find_table
from passport.visits import card, spare


@dataclass(frozen=True)
class PrintedCopies:
    """Copies of one form in one PDF, and of each its layout; each has a number of its own."""

    pdf: bytes
    layouts: tuple[Layout, ...]


def print_spares(
    office: Office, units: str = "imperial", paper: Paper | None = None, *, copies: int = 1
) -> PrintedCopies:
    """Print spare forms, for tables whose own paper was left behind; remember that they are out.

    Parameters
    ----------
    office : Office
        Whose technicians they name.
    units : str
        ``imperial`` or ``metric``, for their boxes and their conversion.
    paper : Paper, optional
        As the settings say if left out.
    copies : int
        How many; what they share is drawn once.
    """
    blank, names = spare.blank_table(units), office.settings.technicians
    form = spare.form(blank, printed_on=office.today, last_visit=None, technicians=names)
    placed = _copies(office, form, paper or office.paper, copies)
    layouts = dated(office, placed)
    for layout in layouts:
        office.store.print_spare(layout, office.today, office.now(), spare.TABLE)
    return PrintedCopies(print_forms(placed, office.now()), layouts)


def print_cards(
    office: Office, number: str, paper: Paper | None = None, *, copies: int = ON_A_SHEET
) -> PrintedCopies:
    """Print a table's check cards on sheets to be cut, and remember that they are out.

    Parameters
    ----------
    office : Office
        Whose table it is.
    number : str
        The table.
    paper : Paper, optional
        The sheets, as the settings say if left out; four cards each, fronts, then backs.
    copies : int
        How many cards: one a month.

    Raises
    ------
    TableUnknown, NumberUnusable
        There is no such table.
    """
    table, size = find_table(office, number), paper or office.paper
    placed = _copies(office, form_of(office, card.KIND, table), size, copies)
    layouts = dated(office, placed)
    for layout in layouts:
        office.store.print_form(layout, office.today, office.now(), optional_pages(layout))
    return PrintedCopies(cards_pdf(placed, size, office.now()), layouts)


def _copies(office: Office, form: Form, paper: Paper, count: int) -> tuple[Placed, ...]:
    """Place a form, and copy it; each has a number of its own."""
    first = place(form, paper, FormNumber.new(office.bits), office.settings.desk_address)
    more = (copied(first, FormNumber.new(office.bits)) for _ in range(count - 1))
    return (first, *more)
