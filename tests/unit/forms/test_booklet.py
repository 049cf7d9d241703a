"""Pages on folded sheets: their order, their place, their tags, their bytes."""

from io import BytesIO

import pikepdf
import pypdfium2
import pytest

from forms.booklet import NotFourfold, folded, pairs
from forms.pdf import laid_out

DATE = '<meta name="dcterms.created" content="2026-11-24T09:30:00+00:00">'


def numbered(count: int) -> bytes:
    """Half letter pages, each with a heading that numbers it and a short text."""
    body = "".join(
        f"<section><h1>Page {n}</h1><p>Text {n}</p></section>" for n in range(1, count + 1)
    )
    style = "@page { size: 5.5in 8.5in } section + section { break-before: page }"
    head = f'<html lang="en"><head><title>Numbered</title>{DATE}</head>'
    return laid_out(f"{head}<body>{body}</body></html>", style, "1").pdf()


def left_and_right(pdf: bytes) -> list[tuple[str, str]]:
    """Words on the left and right half of each side."""
    found = []
    for side in pypdfium2.PdfDocument(BytesIO(pdf)):
        width, height = side.get_size()
        text = side.get_textpage()
        halves = ((0, width / 2), (width / 2, width))
        found.append(
            tuple(
                " ".join(text.get_text_bounded(left, 0, right, height).split())
                for left, right in halves
            )
        )
    return found


def read_aloud(pdf: bytes) -> list[tuple[str, str]]:
    """Text of each side's marked contents in the order of the structure tree, by kind."""
    with pikepdf.open(BytesIO(pdf)) as document:
        words = [_marked_text(page) for page in document.pages]
        spots = {page.obj.objgen: number for number, page in enumerate(document.pages)}
        return list(_walk(document.Root.StructTreeRoot, "", spots, words))


def _walk(element, kind, spots, words):
    kind = str(element.get("/S", "")).strip("/") if "/S" in element else kind
    for child in element.get("/K", []):
        if isinstance(child, int):
            yield kind, words[spots[element.Pg.objgen]][child]
        else:
            yield from _walk(child, kind, spots, words)


def _marked_text(page):
    """List what the page shows for each mark: glyph strings as they stand in the file."""
    found, number = {}, None
    for one in pikepdf.parse_content_stream(page):
        operator = str(one.operator)
        if operator == "BDC" and "/MCID" in one.operands[1]:
            number = int(one.operands[1].MCID)
            assert number not in found
            found[number] = ""
        elif operator == "EMC":
            number = None
        elif operator == "TJ" and number is not None:
            found[number] += "".join(
                bytes(part).hex() for part in one.operands[0] if isinstance(part, pikepdf.String)
            )
    return found


def test_pages_of_two_folded_sheets_lie_in_their_order():
    """Fold it: outside 8 and 1, behind them 2 and 7, inside 6 and 3, then 4 and 5."""
    assert list(pairs(8)) == [(7, 0), (1, 6), (5, 2), (3, 4)]


@pytest.mark.parametrize("pages", [4, 8, 12, 16, 40])
def test_leafing_through_a_folded_pile_meets_the_pages_in_their_order(pages):
    """Fold by hand: each sheet gives a right front, its back, and further on the other two."""
    sides = list(pairs(pages))
    sheets = list(zip(sides[::2], sides[1::2], strict=True))
    first_half = [page for front, back in sheets for page in (front[1], back[0])]
    second_half = [page for front, back in reversed(sheets) for page in (back[1], front[0])]

    assert first_half + second_half == list(range(pages))


def test_words_stand_on_the_half_where_their_page_belongs():
    found = left_and_right(folded(numbered(8)))

    assert found == [
        (f"Page {left} Text {left}", f"Page {right} Text {right}")
        for left, right in [(8, 1), (2, 7), (6, 3), (4, 5)]
    ]


def test_a_side_is_as_wide_as_two_pages():
    (side,) = {tuple(page.get_size()) for page in pypdfium2.PdfDocument(folded(numbered(4)))}

    assert side == pytest.approx((792, 612))


def test_folded_sheets_are_read_aloud_in_the_order_of_their_pages():
    pages = numbered(8)

    assert read_aloud(folded(pages)) == read_aloud(pages)


def test_each_mark_of_a_side_belongs_to_the_element_that_names_it():
    """ISO 32000-1:2008, 14.7.4.4: the parent tree leads from a mark to its structure element."""
    with pikepdf.open(BytesIO(folded(numbered(8)))) as document:
        tree = list(document.Root.StructTreeRoot.ParentTree.Nums)
        owners = dict(zip(map(int, tree[::2]), tree[1::2], strict=True))
        strays = [
            number
            for page in document.pages
            for number, owner in enumerate(owners[int(page.obj.StructParents)])
            if owner.Pg.objgen != page.obj.objgen or number not in list(owner.K)
        ]

    assert strays == []


def test_bookmarks_lead_to_the_sides():
    with pikepdf.open(BytesIO(folded(numbered(4)))) as document, document.open_outline() as outline:
        sides = [page.obj.objgen for page in document.pages]
        led = [sides.index(item.destination[0].objgen) for item in outline.root]

    assert led == [0, 1, 1, 0]


def test_same_pages_give_the_same_bytes():
    pages = numbered(4)

    assert folded(pages) == folded(pages)


def test_pages_that_fill_no_sheet_are_refused():
    with pytest.raises(NotFourfold) as refused:
        folded(numbered(3))

    assert str(refused.value) == (
        "The booklet has 3 pages; folded sheets hold four each. Add 1 or leave out 3."
    )
