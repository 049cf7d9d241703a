"""Papers out of the store: forms, passports, labels, next actions, care pages."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import Enum
from pathlib import Path

from forms.form import Form
from forms.layout import Layout
from forms.numbers import CareToken, FormNumber
from forms.paper import Paper
from forms.place import Placed, place
from forms.sheet import print_forms
from passport.documents.actions import actions_pdf
from passport.documents.care import Use, Written, care_html, write_care
from passport.documents.codes import care_address
from passport.documents.handover import handover_pdf
from passport.documents.label import Label, LabelSheet, label_pdf
from passport.documents.passport import booklet_pdf, passport_pdf
from passport.errors import PassportError
from passport.leveling.response import taught
from passport.office import Office
from passport.office.acting import incomplete, still_open
from passport.office.history import code_text, phone, stands_of, story
from passport.office.registering import table as find_table
from passport.records import TablePaper
from passport.table import Table
from passport.visits import KINDS, installation, service
from passport.visits.kind import NOTHING_OPEN

PAPER_LABELS = {Paper.A4: LabelSheet.A4_8, Paper.LETTER: LabelSheet.LETTER_6}


class FormIncomplete(PassportError):
    """Next actions would rest on half a form."""

    exit_code = 3

    def __init__(self, form: str, missing: Sequence[int]):
        self.form, self.missing = form, tuple(missing)
        pages = ", ".join(map(str, missing))
        super().__init__(
            f"Of form {form} these pages are missing: {pages}. Take them in, then print again; if "
            f"they will not come: table-passport close --form {form} --who … --why …"
        )


@dataclass(frozen=True)
class PrintedForm:
    """A printed form: its PDF and where everything stands on it.

    ``along`` is the layout of a form that comes in the same PDF, with a number of its own.
    """

    pdf: bytes
    layout: Layout
    along: Layout | None = None


def print_form(office: Office, kind: str, number: str, paper: Paper | None = None) -> PrintedForm:
    """Print a new form for one table and remember that it is out.

    With an installation comes the service form that takes its counts, with two pass sheets.

    Raises
    ------
    TableUnknown, NumberUnusable
        There is no such table.
    """
    table, size = find_table(office, number), paper or office.paper
    placed = tuple(
        place(form, size, FormNumber.new(office.bits), office.settings.desk_address)
        for form in _drawn(office, kind, table)
    )
    pdf = print_forms(placed, office.now())
    layouts = dated(office, placed)
    for one in layouts:
        office.store.print_form(one, office.today, office.now(), optional_pages(one))
    return PrintedForm(pdf, *layouts)


def _drawn(office: Office, kind: str, table: Table) -> tuple[Form, ...]:
    form = form_of(office, kind, table)
    if kind != installation.KIND:
        return (form,)
    return form, service.with_third_pass(form_of(office, service.KIND, table), table)


def form_of(office: Office, kind: str, table: Table) -> Form:
    """Draw up a kind's form for a table as it is known today."""
    built, visits, _ = stands_of(office, table.number)
    known = taught(built, visits)
    return KINDS[kind].form(
        replace(known, office_phone=phone(office, table), office_email=office.settings.email),
        printed_on=office.today,
        last_visit=visits[-1] if visits else None,
        technicians=office.settings.technicians,
        look_first=still_open(office, table.number) if kind == service.KIND else NOTHING_OPEN,
    )


def dated(office: Office, placed: Sequence[Placed]) -> tuple[Layout, ...]:
    """Give the layouts of forms that are printed today."""
    return tuple(replace(one.layout, printed_on=office.today) for one in placed)


class Fold(Enum):
    """How a passport lies on its paper."""

    FLAT = "flat"
    BOOKLET = "booklet"


_PASSPORTS = {
    Fold.FLAT: (passport_pdf, TablePaper.PASSPORT),
    Fold.BOOKLET: (booklet_pdf, TablePaper.BOOKLET),
}


def print_passport(
    office: Office,
    number: str,
    paper: Paper | None = None,
    *,
    fold: Fold = Fold.FLAT,
    since: date | None = None,
) -> bytes:
    """Print a table's passport as it is now, and remember that it was printed.

    ``since`` is the date of the passport that it replaces; without it, what changed at the newest
    visit is marked.
    """
    told = story(office, number, since)
    draw, named = _PASSPORTS[fold]
    return _kept(office, told.table, named, draw(told, paper or office.paper, office.now()))


def _kept(office: Office, table: Table, paper: TablePaper, pdf: bytes) -> bytes:
    """Remember that a paper was printed."""
    office.store.paper_printed(table.number, paper, office.today, office.now())
    return pdf


def print_actions(office: Office, number: str, paper: Paper | None = None) -> bytes:
    """Print a table's next actions, and remember that they were printed.

    Raises
    ------
    FormIncomplete
        Pages of a form are still missing, and nobody has closed it.
    """
    for form in incomplete(office, find_table(office, number).number):
        raise FormIncomplete(form.number, form.missing)
    told = story(office, number)
    pdf = actions_pdf(told, paper or office.paper, office.now())
    return _kept(office, told.table, TablePaper.ACTIONS, pdf)


def print_handover(office: Office, number: str, paper: Paper | None = None) -> bytes:
    """Print the hand-over sheet for the people at a table, and remember that it was printed."""
    told = story(office, number)
    pdf = handover_pdf(told, paper or office.paper, office.now())
    return _kept(office, told.table, TablePaper.HANDOVER, pdf)


def print_label(
    office: Office, number: str, sheet: LabelSheet | None = None, start: int = 1
) -> bytes:
    """Print a table's label on a label sheet, and remember that it was printed."""
    table = find_table(office, number)
    labels, size = (_label(office, table),), sheet or PAPER_LABELS[office.paper]
    pdf = label_pdf(labels, size, office.now(), start=start)
    return _kept(office, table, TablePaper.LABEL, pdf)


def care_pages(office: Office, folder: Path) -> Written:
    """Write the customers' pages of all tables below a folder, where they say something new."""
    tokens = office.store.care_tokens()
    pages = ((CareToken.parse(tokens[number]), _care_page(office, number)) for number in tokens)
    return write_care(folder, pages)


def _care_page(office: Office, number: str) -> str:
    told = story(office, number)
    use = Use.STOPPED if told.unsafe else Use.OPEN
    return care_html(told.table, told.advice, office.settings, today=office.today, use=use)


def _label(office: Office, table: Table) -> Label:
    host, token = office.settings.care_host, office.store.care_token(table.number)
    address = care_address(host, token) if host and token else None
    return Label(table.number, table.name, code_text(office, table), address, phone(office, table))


def optional_pages(layout: Layout) -> tuple[int, ...]:
    """Name the pages that need not come back: what would be missing if no page came in, is not."""
    needed = KINDS[layout.kind].missing_pages(layout, ())
    return tuple(page.page for page in layout.pages if page.page not in needed)
