"""The day's round: for each table to visit its next actions and a fresh form, as one PDF."""

from collections.abc import Sequence
from io import BytesIO

import pypdfium2

from passport.errors import PassportError
from passport.office import Office
from passport.office.acting import incomplete
from passport.office.printing import print_actions, print_form


class RoundEmpty(PassportError):
    """A round without a table."""

    exit_code = 2

    def __init__(self) -> None:
        super().__init__("No table was chosen for the round. Choose at least one, then print.")


def print_round(office: Office, numbers: Sequence[str]) -> bytes:
    """Print next actions and a service form for each table, in the order of the round.

    The actions of a table whose forms are not complete wait; its form is printed all the same.

    Raises
    ------
    RoundEmpty
    TableUnknown, NumberUnusable
    """
    if not numbers:
        raise RoundEmpty
    papers = []
    for number in numbers:
        if not incomplete(office, number):
            papers.append(print_actions(office, number))
        papers.append(print_form(office, "service", number).pdf)
    return _one(papers)


def _one(papers: Sequence[bytes]) -> bytes:
    """Put PDFs behind one another."""
    whole, out = pypdfium2.PdfDocument.new(), BytesIO()
    for content in papers:
        part = pypdfium2.PdfDocument(content)
        whole.import_pages(part)
        part.close()
    whole.save(out)
    whole.close()
    return out.getvalue()
