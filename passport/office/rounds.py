"""The day's round: a numbered cover list, then each table's papers, as one PDF."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from forms.layout import Layout
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.pdf import joined, page_count, pdf_date
from passport.documents.round import Sheet, Stop, cover_pdf, in_order, stop_of
from passport.errors import PassportError
from passport.office import Office
from passport.office.acting import incomplete
from passport.office.copies import print_cards
from passport.office.due import due_list
from passport.office.history import story
from passport.office.printing import print_actions, print_form
from passport.visits import card

AT_ONCE = 200  # tables asked of the due list at a time
Told = Callable[[int], object]


class RoundEmpty(PassportError):
    """A round without a table."""

    exit_code = 2

    def __init__(self) -> None:
        super().__init__("No table was chosen for the round. Choose at least one, then print.")


class _Bundle(NamedTuple):
    """One stop and its papers, ready to be put behind the cover."""

    stop: Stop
    papers: tuple[bytes, ...]


def print_round(
    office: Office,
    numbers: Sequence[str],
    *,
    kinds: Sequence[str] = ("service",),
    paper: Paper | None = None,
    told: Told = bool,
) -> bytes:
    """Print the papers of several tables in the order of the round, a cover list before them.

    The actions of a table whose forms are not complete wait; its form is printed all the same.

    Parameters
    ----------
    office : Office
        Whose tables.
    numbers : sequence of str
        The tables; each once.
    kinds : sequence of str
        What forms each gets; next actions come along with a service form.
    paper : Paper, optional
        As the settings say if left out.
    told : callable
        Is called with 1 whenever a table's papers are ready, for a progress bar.

    Returns
    -------
    bytes
        One PDF, without tags; it says so itself.

    Raises
    ------
    RoundEmpty
    TableUnknown, NumberUnusable
    """
    if not numbers:
        raise RoundEmpty
    size = paper or office.paper
    bundles: dict[str, _Bundle] = {}
    for number in dict.fromkeys(numbers):
        bundle = _bundle(office, number, kinds, size)
        bundles[bundle.stop.table] = bundle
        told(1)
    stops = in_order([one.stop for one in bundles.values()])
    now = office.now()
    papers = (one for stop in stops for one in bundles[stop.table].papers)
    count = f"{len(stops)} table{'' if len(stops) == 1 else 's'}"
    title = f"Round of {office.today.isoformat()}, {count}"
    return joined((cover_pdf(stops, size, now), *papers), title, pdf_date(now))


def due_numbers(office: Office) -> tuple[str, ...]:
    """Give the numbers of all tables whose visit is due today or was before."""
    found, skip = list[str](), 0
    while listed := due_list(office, AT_ONCE, skip):
        found += [
            one.table
            for one in listed
            if one.unsafe or (one.on is not None and one.on <= office.today)
        ]
        skip += AT_ONCE
    return tuple(found)


def _bundle(office: Office, number: str, kinds: Sequence[str], paper: Paper) -> _Bundle:
    told = story(office, number)
    sheets, papers = list[Sheet](), list[bytes]()
    if "service" in kinds and not incomplete(office, told.table.number):
        papers.append(print_actions(office, number, paper))
        sheets.append(Sheet("Next actions", "", page_count(papers[0])))
    for kind in kinds:
        pdf, printed = _printed(office, number, kind, paper)
        papers.append(pdf)
        sheets += printed
    return _Bundle(stop_of(told, sheets), tuple(papers))


def _printed(office: Office, number: str, kind: str, paper: Paper) -> tuple[bytes, list[Sheet]]:
    """Print one kind of form with what comes along; check cards come four to a sheet."""
    if kind == card.KIND:
        cards = print_cards(office, number, paper)
        names = ", ".join(str(FormNumber.parse(layout.form)) for layout in cards.layouts)
        return cards.pdf, [Sheet("Check cards to cut", names, page_count(cards.pdf))]
    form = print_form(office, kind, number, paper)
    return form.pdf, [_sheet(one) for one in (form.layout, form.along) if one]


def _sheet(layout: Layout) -> Sheet:
    """Say of a form on the cover what it is, its number, its pages."""
    name = f"{layout.kind.capitalize()} form"
    return Sheet(name, str(FormNumber.parse(layout.form)), len(layout.pages))
