"""Print placed forms: a PDF file with shapes and texts at their exact places.

Everything on a placed form has its place and every glyph its width, so nothing is left to a layout
engine: the pages are drawn as they are, which takes a tenth of the time.
"""

from collections.abc import Iterable, Iterator
from datetime import datetime

from forms.content import WHOLE, Spot, ground_content, naming_content
from forms.misfits import NothingToPrint
from forms.place import Placed, Sheet
from forms.tagged import Drawn, Part, tagged
from forms.typeface import MM_PER_PT


def print_form(placed: Placed, printed_at: datetime) -> bytes:
    """Print one form.

    Parameters
    ----------
    placed : Placed
        The form on its pages.
    printed_at : datetime
        Written into the file as its date; the same form and time give the same bytes.

    Returns
    -------
    bytes
        A PDF file, tagged.
    """
    return print_forms((placed,), printed_at)


def print_forms(placed: Iterable[Placed], printed_at: datetime) -> bytes:
    """Print several forms one after the other into one file; see ``print_form``.

    Raises
    ------
    NothingToPrint
        There is no form.
    """
    names = list[str]()
    printed = tagged(_pages(placed, names), lambda: "; ".join(names), printed_at)
    if not names:
        raise NothingToPrint
    return printed


def _pages(placed: Iterable[Placed], names: list[str]) -> Iterator[Drawn]:
    """Draw page after page, and write down each form's name."""
    for one in placed:
        names.append(name_of(one))
        yield from (_drawn(one, sheet) for sheet in one.sheets)


def name_of(placed: Placed) -> str:
    """Name a copy in its file's title."""
    return f"{placed.form.title} {placed.number}"


def _drawn(placed: Placed, sheet: Sheet) -> Drawn:
    page = sheet.page
    size = (round(page.width / MM_PER_PT, 3), round(page.height / MM_PER_PT, 3))
    return Drawn(size, (drawn_part(sheet, WHOLE),), f"{name_of(placed)}, page {page.page}")


def drawn_part(sheet: Sheet, spot: Spot) -> Part:
    """Draw a page at its spot."""
    ground = ground_content(sheet.ground, spot)
    behind = spot._replace(first=spot.first + len(ground.pieces))
    return Part(ground, naming_content(sheet, behind))
