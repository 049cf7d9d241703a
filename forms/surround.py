"""Where what surrounds a body stands: on a sheet, which is filed, and on a card, which is not."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from forms.field import Box
from forms.form import HEADER_DRAWING_MM, Stroke, Text
from forms.marks import MODULE, QUIET
from forms.paper import RIM, Card, Format, Paper

BAR_MM = 100.0
CODE_SIDE = 21 * MODULE  # [mm] version 1
_LIGHT = 0.55


@dataclass(frozen=True)
class Surround:
    """Areas of a page's head and foot, and what else is printed around its body [mm].

    ``number`` is the middle and the top of the copy's number under its code; None where it stands
    in the foot alone. ``page`` is the right end and the top of the page's name.
    """

    title: Box
    lines: Box
    drawing: Box
    foot: Box
    page: tuple[float, float]
    number: tuple[float, float] | None
    strokes: tuple[Stroke, ...]
    labels: tuple[Text, ...]


@cache
def surround(paper: Format) -> Surround:
    """Say where everything around the body of a paper stands."""
    return _on_a_card(paper) if isinstance(paper, Card) else _on_a_sheet(Paper(paper))


def _on_a_sheet(paper: Paper) -> Surround:
    left, strip, lines = 48.0, 9.0, 20.0  # right of the code's quiet zone; between upper marks
    drawn, high = HEADER_DRAWING_MM
    return Surround(
        title=Box(left, strip, _half(paper) - left, lines - strip),
        lines=Box(left, lines, paper.width - paper.inset - left, paper.body.y - lines),
        drawing=Box(paper.width - paper.inset - drawn, 18.5, drawn, high),
        foot=_foot(paper, 2.5),
        page=(paper.width - paper.inset - 1, strip),
        number=(paper.code[0] + CODE_SIDE / 2, _below_code(paper) - 0.6),
        strokes=(_bar_down(paper.width - 13.0, 24.0), *_punches(paper), _staple()),
        labels=(
            Text(paper.width - 13.5, 125, f"{BAR_MM:.0f} mm", 7, align="center"),
            Text(13, 53, "staple", 7, align="center", grey=_LIGHT),
            *(Text(13, y + 3.4, "punch", 7, align="center", grey=_LIGHT) for y in _holes(paper)),
        ),
    )


def _on_a_card(paper: Card) -> Surround:
    left, top, lines = 45.0, paper.inset, 20.4
    right, bar = paper.width - paper.inset, paper.height - paper.inset - 1.0
    start = paper.width / 2 - BAR_MM / 2
    return Surround(
        title=Box(left, top, right - left, lines - top),
        lines=Box(left, lines, right - left, paper.body.y - lines),
        drawing=Box(left, lines, 0, 0),
        foot=_foot(paper, 1.8),
        page=(right - 1, paper.margin + 1.6),
        number=None,
        strokes=(_bar_across(start, bar),),
        labels=(Text(start + BAR_MM + 1, bar - 2.9, f"{BAR_MM:.0f} mm", 7),),
    )


def _half(paper: Format) -> float:
    """Where the left half of a strip between fiducials ends."""
    return paper.width / 2 - paper.mark / 2 - RIM


def _below_code(paper: Format) -> float:
    return paper.code[1] + CODE_SIDE + QUIET * MODULE


def _foot(paper: Format, gap: float) -> Box:
    """Right half of the foot."""
    width = _half(paper) - paper.inset - 1
    left, top = paper.width - paper.inset - 1 - width, paper.height - paper.inset + gap
    return Box(left, top, width, paper.height - paper.margin + 0.5 - top)


def _bar_down(x: float, top: float) -> Stroke:
    ticks = (f"M{x - _tick(mark)} {top + mark}H{x}" for mark in _marks())
    return Stroke("".join((f"M{x} {top}V{top + BAR_MM}", *ticks)), 0.2)


def _bar_across(left: float, y: float) -> Stroke:
    ticks = (f"M{left + mark} {y - _tick(mark)}V{y}" for mark in _marks())
    return Stroke("".join((f"M{left} {y}H{left + BAR_MM}", *ticks)), 0.2)


def _marks() -> Iterator[int]:
    return iter(range(0, int(BAR_MM) + 1, 10))


def _tick(mark: int) -> float:
    return 3.0 if mark % 50 == 0 else 1.5


def _holes(paper: Paper) -> tuple[float, float]:
    """Heights of the punch holes' centres, even about the middle (ISO 838:1974)."""
    return paper.height / 2 - paper.punch / 2, paper.height / 2 + paper.punch / 2


def _punches(paper: Paper) -> tuple[Stroke, ...]:
    """Circles of 6 mm, their centres 12 mm from the edge (ISO 838:1974)."""
    paths = (f"M9 {y}A3 3 0 1 1 15 {y}A3 3 0 1 1 9 {y}Z" for y in _holes(paper))
    return tuple(Stroke(path, 0.15, _LIGHT) for path in paths)


def _staple() -> Stroke:
    return Stroke("M12 40V52M11 40H13M11 52H13", 0.15, _LIGHT)
