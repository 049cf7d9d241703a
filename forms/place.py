"""From a form to pages: stack the blocks, check that all fits, say where every box stands."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain
from typing import TypeVar

from forms import furniture
from forms.checks import check_boxes, check_ids, named_boxes
from forms.drawing import SLACK, fitted, fitted_strokes
from forms.field import Box, Digits, Field, boxes_of, with_boxes
from forms.form import Block, Form, Stroke, Text
from forms.furniture import Leaf
from forms.layout import Layout, Mark, Page
from forms.marks import MOST_PAGES, page_code, page_marks
from forms.misfits import BlocksTooHigh, TooManyPages
from forms.numbers import FormNumber
from forms.paper import Format, Paper

_T = TypeVar("_T")
_POINT_MM = 0.5  # radius of the printed decimal point


@dataclass(frozen=True, eq=False)
class Ground:
    """What all copies of a form have on one page, in millimetres from its top left corner.

    ``height`` is the page's, ``body`` where the form's blocks are. Texts are already broken into
    lines. ``outlines`` are printed light, ``frames`` heavily.
    """

    page: int
    height: float
    body: Box
    marks: tuple[Mark, ...]
    title: Text
    texts: tuple[Text, ...]
    strokes: tuple[Stroke, ...]
    outlines: tuple[Box, ...]
    frames: tuple[Box, ...]


@dataclass(frozen=True)
class Sheet:
    """What is drawn on one page of one copy: its ground, its code, and the texts that name it."""

    page: Page
    ground: Ground
    naming: tuple[Text, ...]

    @property
    def texts(self) -> tuple[Text, ...]:
        """All texts but the title, those that name the copy first."""
        return self.naming + self.ground.texts


@dataclass(frozen=True)
class Placed:
    """A form on its pages: what is drawn, and its layout file."""

    form: Form
    paper: Format
    number: FormNumber
    layout: Layout
    sheets: tuple[Sheet, ...]
    address: str | None = None


@dataclass(frozen=True)
class _Standing:
    """A block and the area that it takes on its page [mm]."""

    block: Block
    area: Box

    @property
    def name(self) -> str:
        return f"block “{self.block.name}”"

    @cached_property
    def fields(self) -> tuple[Field, ...]:
        return tuple(with_boxes(field, self.on_page) for field in self.block.fields)

    def on_page(self, box: Box) -> Box:
        """Move a box to its place on the page, in whole micrometres as in the layout file."""
        x, y = round(box.x + self.area.x, 3), round(box.y + self.area.y, 3)
        return Box(x, y, round(box.width, 3), round(box.height, 3))


def place(form: Form, paper: Paper, number: FormNumber, address: str | None = None) -> Placed:
    """Stack a form's blocks on pages and place every text, stroke and box.

    A card goes on the card that is cut from the paper. ``address`` is where photos of the form can
    be brought; it then stands in each page's code.

    Raises
    ------
    BlocksTooHigh, TooManyPages
        The blocks do not fit on their pages.
    TextOutside, DrawingOutside, BoxOutside, BoxesOverlap
        Something would leave its block, the header or the foot, or lie over another box.
    FieldTwice, OptionTwice, FieldUnknown, BoxUnknown
        Ids and answers that do not name exactly one field or box.
    """
    check_ids(form.blocks)
    size = paper.card if form.card else paper
    pages = _stacked(form.blocks, size)
    sheets = tuple(
        _sheet(form, Leaf(size, number, index, len(pages), address), standing)
        for index, standing in enumerate(pages, start=1)
    )
    layout = Layout(number.code, form.kind, form.subject, tuple(sheet.page for sheet in sheets))
    return Placed(form, size, number, layout, sheets, address)


def copied(placed: Placed, number: FormNumber) -> Placed:
    """Give another copy of a placed form, with a number of its own; all else stands as it stood."""
    sheets = tuple(_copy(placed, sheet, number) for sheet in placed.sheets)
    pages = tuple(sheet.page for sheet in sheets)
    layout = replace(placed.layout, form=number.code, pages=pages)
    return replace(placed, number=number, layout=layout, sheets=sheets)


def _copy(placed: Placed, sheet: Sheet, number: FormNumber) -> Sheet:
    page = sheet.page.page
    leaf = Leaf(placed.paper, number, page, len(placed.sheets), placed.address)
    code = page_code(number, page, placed.address, on=placed.paper)
    return Sheet(replace(sheet.page, code=code), sheet.ground, furniture.naming(leaf))


def _stacked(blocks: Sequence[Block], paper: Format) -> list[list[_Standing]]:
    body = paper.body
    pages: list[list[_Standing]] = [[]]
    y = body.y
    for group in _groups(blocks):
        height = sum(block.height for block in group)
        if height > body.height + SLACK:
            raise BlocksTooHigh([block.name for block in group], height, body.height)
        full = y + height > body.y + body.height + SLACK
        if pages[-1] and (full or group[0].new_page):
            pages.append([])
            y = body.y
        for block in group:
            pages[-1].append(_Standing(block, Box(body.x, y, body.width, block.height)))
            y += block.height
    if len(pages) > MOST_PAGES:
        raise TooManyPages(len(pages), MOST_PAGES)
    return pages


def _groups(blocks: Sequence[Block]) -> Iterator[list[Block]]:
    """Blocks that stay together; ``new_page`` parts even what wanted to be kept."""
    group: list[Block] = []
    for block in blocks:
        if group and block.new_page:
            yield group
            group = []
        group.append(block)
        if not block.keep_with_next:
            yield group
            group = []
    if group:
        yield group


def _sheet(form: Form, leaf: Leaf, standing: Sequence[_Standing]) -> Sheet:
    for stand in standing:
        check_boxes(stand.block, stand.name, stand.area)
    page = _page(leaf, standing)
    ground = Ground(
        page=page.page,
        height=page.height,
        body=leaf.paper.body,
        marks=page.marks,
        title=furniture.title(form, leaf.paper),
        texts=furniture.texts(_said_on(form, standing), leaf.paper) + _flat(map(_texts, standing)),
        strokes=furniture.strokes(form, leaf.paper) + _flat(map(_strokes, standing)),
        outlines=_flat(map(_outlines, standing)),
        frames=_flat(map(_frames, standing)),
    )
    return Sheet(page, ground, furniture.naming(leaf))


def _said_on(form: Form, standing: Sequence[_Standing]) -> Form:
    """Leave the line on how to mark off a page that asks for nothing."""
    return form if any(stand.block.fields for stand in standing) else replace(form, footer="")


def _flat(parts: Iterable[Iterable[_T]]) -> tuple[_T, ...]:
    return tuple(chain.from_iterable(parts))


def _page(leaf: Leaf, standing: Sequence[_Standing]) -> Page:
    paper = leaf.paper
    return Page(
        leaf.page,
        paper.width,
        paper.height,
        page_code(leaf.number, leaf.page, leaf.address, on=paper),
        page_marks(paper, leaf.page),
        _flat(stand.fields for stand in standing),
    )


def _texts(stand: _Standing) -> tuple[Text, ...]:
    return tuple(fitted(text, stand.area, stand.name) for text in stand.block.texts)


def _strokes(stand: _Standing) -> tuple[Stroke, ...]:
    points = _flat(_point(field) for field in stand.fields)
    return fitted_strokes(stand.block.strokes, stand.area, stand.name) + points


def _point(field: Field) -> tuple[Stroke, ...]:
    """Draw the decimal point between two digit boxes; leave it 2 mm for looks."""
    if not (isinstance(field, Digits) and 0 < field.decimals < len(field.boxes)):
        return ()
    before, after = field.boxes[-field.decimals - 1], field.boxes[-field.decimals]
    x, y = (before.x + before.width + after.x) / 2, before.y + before.height
    arc = f"A{_POINT_MM} {_POINT_MM} 0 1 1"
    left, right = x - _POINT_MM, x + _POINT_MM
    return (Stroke(f"M{left} {y}{arc} {right} {y}{arc} {left} {y}Z", 0, fill=0.0),)


def _frames(stand: _Standing) -> tuple[Box, ...]:
    names = named_boxes(stand.block)
    boxes = dict.fromkeys(box for name in sorted(stand.block.heavy) for box in names[name])
    return tuple(stand.on_page(box) for box in boxes)


def _outlines(stand: _Standing) -> tuple[Box, ...]:
    framed = set(_frames(stand))
    return tuple(box for field in stand.fields for box in boxes_of(field) if box not in framed)
