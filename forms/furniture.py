"""What stands on every page around the body: header, foot, check bar, where to punch and staple."""

from collections.abc import Sequence
from dataclasses import dataclass

from forms.drawing import fitted, fitted_strokes
from forms.field import Box
from forms.form import Form, Stroke, Text
from forms.numbers import FormNumber
from forms.paper import Format
from forms.surround import Surround, surround
from forms.typeface import line_mm, width_mm, wrap

_HEADER_SIZES = 7.5, 7.0  # [pt] as a rule, and for long names


@dataclass(frozen=True)
class Leaf:
    """Which copy, which page of how many, on what paper."""

    paper: Format
    number: FormNumber
    page: int
    pages: int
    address: str | None = None  # of whoever takes photos in; stands in the code

    @property
    def name(self) -> str:
        """What a person reads at the head of the page."""
        return f"Page {self.page} of {self.pages}"


def title(form: Form, paper: Format) -> Text:
    """Title at the head of the page.

    Raises
    ------
    TextOutside
        It has no room.
    """
    area = surround(paper).title
    text = Text(0, 0, form.title, 12.5, bold=True, width=area.width)
    return fitted(text, area, "the header")


def texts(form: Form, paper: Format) -> tuple[Text, ...]:
    """All other texts around the body but those that name the copy.

    Raises
    ------
    TextOutside
        A line of the header, the foot or the drawing has no room.
    """
    around = surround(paper)
    return (
        *_header_lines(form, around),
        *_foot(form, around.foot, paper),
        *around.labels,
        *(fitted(text, around.drawing, "the header's drawing") for text in form.drawing_texts),
    )


def naming(leaf: Leaf) -> tuple[Text, ...]:
    """Texts that name the copy and its page: under the code, at the head, in the foot.

    Raises
    ------
    TextOutside
        The foot has no room.
    """
    around, words = surround(leaf.paper), f"{leaf.number} · page {leaf.page} of {leaf.pages}"
    x, y = around.page
    page = Text(x, y, leaf.name, 11.5, bold=True, align="right")
    size = 8 if width_mm(words, 8, bold=True) <= around.foot.width else 7  # the widest on a card
    name = Text(around.foot.width, 0, words, size, bold=True, align="right")
    return *_under_code(leaf, around), page, fitted(name, around.foot, "the foot")


def strokes(form: Form, paper: Format) -> tuple[Stroke, ...]:
    """Drawing of the header, check bar, punch and staple places.

    Raises
    ------
    DrawingOutside
        The drawing is larger than ``HEADER_DRAWING_MM``.
    """
    around = surround(paper)
    drawing = fitted_strokes(form.drawing, around.drawing, "the header's drawing")
    return (*drawing, *around.strokes)


def _header_lines(form: Form, around: Surround) -> list[Text]:
    area = around.lines
    if form.drawing:
        area = area._replace(width=around.drawing.x - 2 - area.x)
    usual, least = _HEADER_SIZES
    if _high(form.header, area, usual) <= area.height:
        return _stacked(form.header, area, usual, "the header")
    lines = form.header
    if _high(lines, area, least) > area.height:  # the widest names: one line runs on in the next
        lines = (". ".join(lines),)
    return _stacked(lines, area, least, "the header")


def _high(lines: Sequence[str], area: Box, size: float) -> float:
    return sum(len(wrap(line, area.width, size)) for line in lines) * line_mm(size)


def _stacked(lines: Sequence[str], area: Box, size: float, place: str) -> list[Text]:
    placed, y = list[Text](), 0.0
    for line in lines:
        placed.append(fitted(Text(0, y, line, size, width=area.width), area, place))
        y += len(wrap(line, area.width, size)) * line_mm(size)
    return placed


def _under_code(leaf: Leaf, around: Surround) -> tuple[Text, ...]:
    """Give the copy's number under its code; the widest is set smaller and moved left."""
    if around.number is None:
        return ()
    middle, top = around.number
    right = around.lines.x - 0.5  # the header's lines may reach down beside it
    number, usual = str(leaf.number), width_mm(str(leaf.number), 9, bold=True)
    size = 9 if usual <= right - 10.0 else 8
    middle = min(middle, right - usual * size / 18)
    return (Text(middle, top, number, size, bold=True, align="center"),)


def _foot(form: Form, own: Box, paper: Format) -> list[Text]:
    """Give the form's own line at the left, its revision under the copy's name at the right."""
    area = own._replace(x=paper.inset + 1)
    revision = f"{form.title} · revision {form.revision}"
    return [
        *_stacked([form.footer] if form.footer else [], area, 7, "the foot"),
        fitted(Text(own.width, 3.6, revision, 7, align="right"), own, "the foot"),
    ]
