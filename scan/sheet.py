"""Which page this is: squares and QR code must name the same page of a form that is known."""

from collections.abc import Callable, Sequence

import numpy as np

from forms.field import Box
from forms.layout import Code, Layout, Page
from forms.marks import MODULE, NotAFormCode, page_marks, parse_page_code
from forms.numbers import FormNumber
from forms.paper import FORMATS, Format
from scan.codes import Placed, placed_codes, read_flat_code
from scan.errors import (
    CodeDisagrees,
    CodeForeign,
    CodeUnreadable,
    FormUnknown,
    LayoutForeign,
    PageTwice,
    PageUnknown,
)
from scan.fiducials import Fiducial, Pyramid
from scan.guards import GUARDS, Guards, Held
from scan.page import Flat, located

CODE_SIDE_MM = 25 * MODULE  # room for versions 1 and 2 (ISO/IEC 18004)

LayoutOf = Callable[[str], Layout | None]


def blank_page(paper: Format, number: int) -> Page:
    """Squares and code of a page as this program prints them, before its form is known."""
    code = Code("", Box(*paper.code, CODE_SIDE_MM, CODE_SIDE_MM))
    return Page(number, paper.width, paper.height, code, page_marks(paper, number), ())


def identify(
    levels: Pyramid,
    found: Sequence[Fiducial],
    typed: FormNumber | None = None,
    *,
    guards: Guards = GUARDS,
) -> tuple[FormNumber, int]:
    """Read the QR code of the page that these squares stand on.

    Parameters
    ----------
    levels : sequence of ndarray
        The picture, its half, quarter and eighth.
    found : sequence of Fiducial
        The squares of one page.
    typed : FormNumber, optional
        The form's number as a person reads it, in case the code can't be read.
    guards : Guards, optional
        Whether code and squares are held against each other, and the squares among themselves.

    Returns
    -------
    FormNumber, int
        The form and the page, on which code and squares agree.

    Raises
    ------
    PageTwice, CodeUnreadable, CodeForeign, CodeDisagrees
        Why the page has no name. EdgeMissing and MarksDisagree come from ``flatten``.
    """
    number = found[0].page
    if len({one.id for one in found}) < len(found):
        raise PageTwice(number)
    text = _code_text(levels, found, number, guards.stray_mm)
    if text is None and typed is not None:
        return typed, number
    if text is None:
        raise CodeUnreadable(number)
    try:
        form, code_page = parse_page_code(text)
    except NotAFormCode as error:
        raise CodeForeign(number, text) from error
    if code_page != number and guards.codes is Held.TOGETHER:
        raise CodeDisagrees(number, str(form), code_page)
    return form, number


def _code_text(
    levels: Pyramid, found: Sequence[Fiducial], number: int, stray_mm: float
) -> str | None:
    """Read the code on the flattened page, or close to where it should lie.

    Another sheet's code elsewhere in the picture says nothing of this one.
    """
    places = []
    for paper in FORMATS:  # seen from their squares alone, they differ in where the code stands
        page = blank_page(paper, number)
        flat = located(found, page, stray_mm=stray_mm)
        text = read_flat_code(levels[0], flat, page.code.box)
        if text is not None:
            return text
        places.append((flat, page.code.box))
    texts = {
        code.text
        for code in placed_codes(levels[0])
        if _names_page(code.text, number) and any(_is_at(code, *place) for place in places)
    }
    return texts.pop() if len(texts) == 1 else None


def _is_at(code: Placed, flat: Flat, box: Box) -> bool:
    """Tell whether a code lies less than its own width from where it should."""
    left, middle, right = (
        flat.px((box.x + share * box.width, box.y + box.height / 2)) for share in (0, 0.5, 1)
    )
    return bool(np.linalg.norm(code.middle - middle) < np.linalg.norm(right - left))


def _names_page(text: str, number: int) -> bool:
    try:
        return parse_page_code(text)[1] == number
    except NotAFormCode:
        return False


def printed_page(form: FormNumber, number: int, layout_of: LayoutOf) -> Page:
    """Look up where everything was printed.

    Raises
    ------
    FormUnknown, PageUnknown, LayoutForeign
        The layout has to be brought in first.
    """
    layout = layout_of(form.code)
    if layout is None:
        raise FormUnknown(str(form), number)
    page = layout.page(number)
    if page is None:
        raise PageUnknown(str(form), number, len(layout.pages))
    try:
        parse_page_code(page.code.text)
    except NotAFormCode as error:
        raise LayoutForeign(str(form), number, page.code.text) from error
    return page


def check_code(levels: Pyramid, flat: Flat, page: Page, *, guards: Guards = GUARDS) -> None:
    """Make sure that a page's own code stands where it was printed.

    Raises
    ------
    CodeDisagrees
        Another code lies there.
    """
    if guards.codes is Held.APART:
        return
    text = read_flat_code(levels[0], flat, page.code.box)
    if text is not None and text != page.code.text:
        form, number = parse_page_code(page.code.text)
        raise CodeDisagrees(page.page, str(form), number)
