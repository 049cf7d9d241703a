"""What stands on every page around the body: header, foot, check bar, where to punch and staple."""

from collections.abc import Sequence
from dataclasses import dataclass

from forms.drawing import fitted, fitted_strokes
from forms.field import Box
from forms.form import HEADER_DRAWING_MM, Form, Stroke, Text
from forms.marks import CODE_CORNER, MODULE, QUIET
from forms.numbers import FormNumber
from forms.paper import HEADER_BOTTOM, INSET, MARGIN, MARK, RIM, Paper
from forms.typeface import line_mm, width_mm, wrap

BAR_MM = 100.0
_CODE_SIDE = 21 * MODULE  # [mm] version 1
_TEXT_LEFT = 48.0  # [mm] right of the code's quiet zone
_DRAWING_TOP = 18.5
_STRIP_TOP = 9.0  # [mm] between the corner's fiducial and the middle's
_LINES_TOP = 20.0
_HEADER_SIZES = 7.5, 7.0  # [pt] as a rule, and for long names
_LIGHT = 0.55
_NUMBER_ROOM = _TEXT_LEFT - 10.5  # [mm] for the copy's number under its code


@dataclass(frozen=True)
class Leaf:
    """Which copy, which page of how many, on what paper."""

    paper: Paper
    number: FormNumber
    page: int
    pages: int
    address: str | None = None  # of whoever takes photos in; stands in the code

    @property
    def name(self) -> str:
        """What a person reads at the head of the page."""
        return f"Page {self.page} of {self.pages}"


def title(form: Form, paper: Paper) -> Text:
    """Title between the upper fiducials.

    Raises
    ------
    TextOutside
        It is longer than two lines.
    """
    area = _left_strip(paper)
    text = Text(0, 0, form.title, 12.5, bold=True, width=area.width)
    return fitted(text, area, "the header")


def texts(form: Form, paper: Paper) -> tuple[Text, ...]:
    """All other texts around the body but those that name the copy.

    Raises
    ------
    TextOutside
        A line of the header, the foot or the drawing has no room.
    """
    return (
        *_header_lines(form, paper),
        *_foot(form, paper),
        *_margin_labels(paper),
        *(fitted(text, _drawing(paper), "the header's drawing") for text in form.drawing_texts),
    )


def naming(leaf: Leaf) -> tuple[Text, ...]:
    """Texts that name the copy and its page: under the code, at the head, in the foot.

    Raises
    ------
    TextOutside
        The foot has no room.
    """
    foot, words = _own_foot(leaf.paper), f"{leaf.number} · page {leaf.page} of {leaf.pages}"
    name = Text(foot.width, 0, words, 8, bold=True, align="right")
    return *_names(leaf), fitted(name, foot, "the foot")


def strokes(form: Form, paper: Paper) -> tuple[Stroke, ...]:
    """Drawing of the header, check bar, punch and staple places.

    Raises
    ------
    DrawingOutside
        The drawing is larger than ``HEADER_DRAWING_MM``.
    """
    drawing = fitted_strokes(form.drawing, _drawing(paper), "the header's drawing")
    return (*drawing, _bar(paper), *_punches(paper), _staple())


def _left_strip(paper: Paper) -> Box:
    right = paper.width / 2 - MARK / 2 - RIM
    return Box(_TEXT_LEFT, _STRIP_TOP, right - _TEXT_LEFT, _LINES_TOP - _STRIP_TOP)


def _drawing(paper: Paper) -> Box:
    width, height = HEADER_DRAWING_MM
    return Box(paper.width - INSET - width, _DRAWING_TOP, width, height)


def _header_lines(form: Form, paper: Paper) -> list[Text]:
    right = _drawing(paper).x - 2 if form.drawing else paper.width - INSET
    area = Box(_TEXT_LEFT, _LINES_TOP, right - _TEXT_LEFT, HEADER_BOTTOM - _LINES_TOP)
    usual, least = _HEADER_SIZES
    size = usual if _high(form.header, area, usual) <= area.height else least
    return _stacked(form.header, area, size, "the header")


def _high(lines: Sequence[str], area: Box, size: float) -> float:
    return sum(len(wrap(line, area.width, size)) for line in lines) * line_mm(size)


def _stacked(lines: Sequence[str], area: Box, size: float, place: str) -> list[Text]:
    placed, y = list[Text](), 0.0
    for line in lines:
        placed.append(fitted(Text(0, y, line, size, width=area.width), area, place))
        y += len(wrap(line, area.width, size)) * line_mm(size)
    return placed


def _names(leaf: Leaf) -> tuple[Text, Text]:
    under = CODE_CORNER[1] + _CODE_SIDE + QUIET * MODULE
    middle = CODE_CORNER[0] + _CODE_SIDE / 2
    number, usual = str(leaf.number), width_mm(str(leaf.number), 9, bold=True)
    size = 9 if usual <= _NUMBER_ROOM else 8  # the widest numbers
    wide = usual * size / 9
    middle = min(middle, _TEXT_LEFT - 0.5 - wide / 2)  # the header's lines may reach down beside it
    return (
        Text(middle, under - 0.6, number, size, bold=True, align="center"),
        Text(leaf.paper.width - INSET - 1, _STRIP_TOP, leaf.name, 11.5, bold=True, align="right"),
    )


def _foot(form: Form, paper: Paper) -> list[Text]:
    """Give the form's own line at the left, its revision under the copy's name at the right."""
    own = _own_foot(paper)
    area = own._replace(x=INSET + 1)
    revision = f"{form.title} · revision {form.revision}"
    return [
        *_stacked([form.footer] if form.footer else [], area, 7, "the foot"),
        fitted(Text(own.width, 3.6, revision, 7, align="right"), own, "the foot"),
    ]


def _own_foot(paper: Paper) -> Box:
    """Right half of the foot."""
    width = paper.width / 2 - MARK / 2 - RIM - INSET - 1
    left = paper.width - INSET - 1 - width
    return Box(left, paper.height - INSET + 2.5, width, INSET - MARGIN - 2)


def _bar(paper: Paper) -> Stroke:
    x, top = paper.width - 13.0, 24.0
    ticks = (f"M{x - _tick(mark)} {top + mark}H{x}" for mark in range(0, int(BAR_MM) + 1, 10))
    return Stroke("".join((f"M{x} {top}V{top + BAR_MM}", *ticks)), 0.2)


def _tick(mark: int) -> float:
    return 3.0 if mark % 50 == 0 else 1.5


def _punches(paper: Paper) -> tuple[Stroke, ...]:
    """Circles of 6 mm, their centres 12 mm from the edge, even about the middle (ISO 838:1974)."""
    middles = (paper.height / 2 - paper.punch / 2, paper.height / 2 + paper.punch / 2)
    paths = (f"M9 {y}A3 3 0 1 1 15 {y}A3 3 0 1 1 9 {y}Z" for y in middles)
    return tuple(Stroke(path, 0.15, _LIGHT) for path in paths)


def _staple() -> Stroke:
    return Stroke("M12 40V52M11 40H13M11 52H13", 0.15, _LIGHT)


def _margin_labels(paper: Paper) -> tuple[Text, ...]:
    low = paper.height / 2 + paper.punch / 2 + 3.4
    high = paper.height / 2 - paper.punch / 2 + 3.4
    return (
        Text(paper.width - 13.5, 125, f"{BAR_MM:.0f} mm", 7, align="center"),
        Text(13, 53, "staple", 7, align="center", grey=_LIGHT),
        Text(13, low, "punch", 7, align="center", grey=_LIGHT),
        Text(13, high, "punch", 7, align="center", grey=_LIGHT),
    )
