"""Pages put two and two on sheets that are folded once and stapled in the fold.

The sheets keep the tags: the text is still read aloud in the order of its pages.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from itertools import chain
from typing import NamedTuple

import pikepdf
from pikepdf import (
    Array,
    ContentStreamInlineImage,
    ContentStreamInstruction,
    Dictionary,
    Name,
    Object,
    Operator,
    Page,
    Pdf,
)

from forms.errors import FormsError

Step = ContentStreamInstruction | ContentStreamInlineImage


class NotFourfold(FormsError):
    """A booklet of folded sheets has four pages a sheet."""

    def __init__(self, pages: int):
        self.pages = pages
        super().__init__(
            f"The booklet has {pages} pages; folded sheets hold four each. "
            f"Add {-pages % 4} or leave out {pages % 4}."
        )


def folded(pdf: bytes) -> bytes:
    """Put the pages of a tagged PDF on sheets for folding.

    Parameters
    ----------
    pdf : bytes
        Pages of one size, a multiple of four of them, each with the same resources.

    Returns
    -------
    bytes
        Sheets twice as wide, to be printed on both sides and turned over the short edge. The
        same pages give the same bytes.

    Raises
    ------
    NotFourfold
        Pages would be missing.
    """
    with Pdf.open(BytesIO(pdf)) as document:
        pages = len(document.pages)
        if pages % 4:
            raise NotFourfold(pages)
        fold = _Fold(document, list(document.pages), _marked(document))
        sheets = [fold.sheet(*pair) for pair in pairs(pages)]
        fold.retag(document.Root.StructTreeRoot)
        fold.retag_margins()
        fold.point(document.Root.get("/Outlines"))
        fold.bind(sheets)
        with BytesIO() as written:
            document.save(written, deterministic_id=True)
            return written.getvalue()


def pairs(pages: int) -> Iterator[tuple[int, int]]:
    """Left and right page of each side, counted from 0, outer sheet first, its outside first."""
    for sheet in range(pages // 4):
        yield pages - 1 - 2 * sheet, 2 * sheet
        yield 2 * sheet + 1, pages - 2 - 2 * sheet


class _Place(NamedTuple):
    """Where a page went: its sheet, and by how much its marked contents count on."""

    sheet: Object
    first: int


@dataclass
class _Fold:
    """A document on its way from pages to sheets; ``marked`` is what each page's marks are of."""

    document: Pdf
    pages: list[Page]
    marked: list[list[Object]]
    places: dict[tuple[int, int], _Place] = field(default_factory=dict)
    owners: list[list[Object]] = field(default_factory=list)

    def sheet(self, left: int, right: int) -> Page:
        """Draw two pages side by side."""
        one, two = self.pages[left], self.pages[right]
        width, height = (float(side) for side in list(one.mediabox)[2:])
        first = len(self.marked[left])
        drawn = _drawn(one, 0.0, 0) + _drawn(two, width, first)
        sheet = self.document.make_indirect(
            Dictionary(
                Type=Name.Page,
                MediaBox=Array([0, 0, 2 * width, height]),
                Resources=one.obj.Resources,
                Contents=self.document.make_stream(pikepdf.unparse_content_stream(drawn)),
                Tabs=Name.S,
                StructParents=len(self.owners),
            )
        )
        self.owners.append(self.marked[left] + self.marked[right])
        self.places |= {one.obj.objgen: _Place(sheet, 0), two.obj.objgen: _Place(sheet, first)}
        return Page(sheet)

    def retag(self, element: Object) -> None:
        """Point a structure element and all below it at the sheets."""
        place = self.places[element.Pg.objgen] if "/Pg" in element else None
        if place:
            element.Pg = place.sheet
        children = element.get("/K", Array([]))
        for spot, child in enumerate(children):
            if isinstance(child, int):
                children[spot] = child + (place.first if place else 0)
            else:
                self.retag(child)

    def retag_margins(self) -> None:
        """Point what stands in the margins at the sheets: it has elements outside the tree."""
        for owner in chain.from_iterable(self.owners):
            element: Object | None = owner
            while element is not None and "/Pg" in element and element.Pg.objgen in self.places:
                place = self.places[element.Pg.objgen]
                element.Pg = place.sheet
                for spot, child in enumerate(element.get("/K", Array([]))):
                    if isinstance(child, int):
                        element.K[spot] = child + place.first
                element = element.get("/P")

    def point(self, item: Object | None) -> None:
        """Point an outline's items at the sheets."""
        while item is not None:
            if "/Dest" in item:
                item.Dest[0] = self.places[item.Dest[0].objgen].sheet
            self.point(item.get("/First"))
            item = item.get("/Next")

    def bind(self, sheets: list[Page]) -> None:
        """Put the sheets in the pages' place."""
        numbered = Array([])
        for number, owners in enumerate(self.owners):
            numbered.append(number)
            numbered.append(self.document.make_indirect(Array(owners)))
        self.document.Root.StructTreeRoot.ParentTree = Dictionary(Nums=numbered)
        del self.document.pages[:]
        self.document.pages.extend(sheets)


def _marked(document: Pdf) -> list[list[Object]]:
    """List, page by page, the structure elements that the marked contents are of."""
    numbers = list(document.Root.StructTreeRoot.ParentTree.Nums)
    by_number = {int(key): list(owners) for key, owners in _pairs(numbers)}
    return [by_number[int(page.obj.StructParents)] for page in document.pages]


def _pairs(numbers: list[Object]) -> Iterator[tuple[Object, Object]]:
    """Pair keys and values of a number tree."""
    return zip(numbers[::2], numbers[1::2], strict=True)


def _drawn(page: Page, x: float, first: int) -> list[Step]:
    """Move a page's drawing to the right [pt], and count its marked contents on from a number."""
    box: list[Object | float] = [0, 0, *(float(side) for side in list(page.mediabox)[2:])]
    before = [
        _step([], "q"),
        _step([1, 0, 0, 1, x, 0], "cm"),
        _step(box, "re"),
        _step([], "W"),
        _step([], "n"),
    ]
    marks = [_counted(one, first) for one in pikepdf.parse_content_stream(page)]
    return [*before, *marks, _step([], "Q")]


def _counted(one: Step, first: int) -> Step:
    if str(one.operator) != "BDC" or "/MCID" not in one.operands[1]:
        return one
    return _step([one.operands[0], Dictionary(MCID=int(one.operands[1].MCID) + first)], "BDC")


def _step(operands: list[Object | float], operator: str) -> ContentStreamInstruction:
    return ContentStreamInstruction(operands, Operator(operator))
