"""A table drawn to scale: board, legs, feet, brackets, both ends, and how far each is from end A.

Used by the form's header, the passport and the label, each in a box of its own size. End A is at
the left, so that left as seen from A is up.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from forms.form import Stroke, Text
from forms.typeface import line_mm, width_mm
from passport.quantity_text import Resolution, decimal_text
from passport.table import Bracket, Leg, Role, Table

INCH_MM = 25.4  # exact: international yard and pound agreement, 1959
_END = 5.0  # [mm] room beside the board for an end's letter, left and right
_FOOT = 1.1  # [mm] a foot's side, drawn larger than to scale where it would vanish
_TAPE = Resolution(Fraction(1, 10), Fraction(1))  # [in, mm] as read off a tape
_GREY = 0.35


@dataclass(frozen=True)
class Drawing:
    """A picture in a box: strokes and texts from its top left corner [mm]."""

    width: float
    height: float
    strokes: tuple[Stroke, ...]
    texts: tuple[Text, ...]


@dataclass(frozen=True)
class _Plan:
    """Where the board stands in the box: its left and upper edge and its scale."""

    table: Table
    left: float
    top: float
    scale: float
    size_pt: float

    @property
    def width(self) -> float:
        return self.table.board.length_mm * self.scale

    @property
    def depth(self) -> float:
        return self.table.board.width_mm * self.scale

    @property
    def middle(self) -> float:
        return self.top + self.depth / 2

    def x(self, x_mm: float) -> float:
        return self.left + x_mm * self.scale

    def y(self, y_mm: float) -> float:
        return self.middle - y_mm * self.scale


def draw(table: Table, width: float, height: float, *, size_pt: float = 7.0) -> Drawing:
    """Draw a table to scale, with its stations named and their distance from end A.

    Parameters
    ----------
    table : Table
        What to draw.
    width, height : float
        The box that the drawing fills at most. [mm]
    size_pt : float
        Size of the stations' names and distances. [pt]

    Returns
    -------
    Drawing
        Brackets are named above the board and legs below; where neighbours' distances would run
        into each other they are left out, the names never.
    """
    plan = _plan(table, width, height, size_pt)
    strokes = (*_board(plan), *_legs(plan), *_brackets(plan))
    above, below = _above(plan), _below(plan)
    return Drawing(width, height, strokes, (*_ends(plan), *above, *below))


def from_a(table: Table, x_mm: float) -> str:
    """Say a distance from end A as a tape shows it, without its unit: ``31.5`` or ``800``."""
    if table.units == "metric":
        return decimal_text(Fraction(x_mm), _TAPE.metric)
    return decimal_text(Fraction(x_mm) / Fraction(254, 10), _TAPE.imperial)


def tape_unit(table: Table) -> str:
    """Name the unit of ``from_a``."""
    return "mm" if table.units == "metric" else "in"


def _plan(table: Table, width: float, height: float, size_pt: float) -> _Plan:
    rows = 2 * 2 * line_mm(size_pt) + 1.6  # names and distances, above and below
    board = table.board
    scale = min(
        (width - 2 * _END - 2 * line_mm(size_pt)) / board.length_mm,
        max(2.0, height - rows) / _deepest(table),
    )
    left = (width - board.length_mm * scale) / 2
    return _Plan(table, left, (height - board.width_mm * scale) / 2, scale, size_pt)


def _deepest(table: Table) -> float:
    return max([table.board.width_mm, *(leg.foot_spacing_mm for leg in table.legs)])


def _board(plan: _Plan) -> tuple[Stroke, ...]:
    outline = _rectangle(plan.left, plan.top, plan.width, plan.depth)
    line = f"M{plan.left:.3f} {plan.middle:.3f}H{plan.left + plan.width:.3f}"
    return Stroke(line, 0.1, grey=0.7), Stroke(outline, 0.35)


def _legs(plan: _Plan) -> tuple[Stroke, ...]:
    return tuple(stroke for leg in plan.table.legs for stroke in _leg(plan, leg))


def _leg(plan: _Plan, leg: Leg) -> tuple[Stroke, ...]:
    """Two feet joined by a line; a supporting leg's feet are open."""
    x, half = plan.x(leg.x_mm), leg.foot_spacing_mm / 2
    left, right = plan.y(half), plan.y(-half)
    fill = 1.0 if leg.role is Role.SUPPORTING else 0.0
    feet = "".join(_rectangle(x - _FOOT / 2, y - _FOOT / 2, _FOOT, _FOOT) for y in (left, right))
    return Stroke(f"M{x:.3f} {left:.3f}V{right:.3f}", 0.3), Stroke(feet, 0.2, fill=fill)


def _brackets(plan: _Plan) -> tuple[Stroke, ...]:
    return tuple(
        Stroke(_bracket(plan, bracket), 0.3, grey=_GREY) for bracket in plan.table.brackets
    )


def _bracket(plan: _Plan, bracket: Bracket) -> str:
    """Two plates and the rod across."""
    x, half = plan.x(bracket.x_mm), 0.32 * plan.depth
    top, bottom = plan.middle - half, plan.middle + half
    plates = "".join(f"M{x - 0.5:.3f} {y:.3f}H{x + 0.5:.3f}" for y in (top, bottom))
    return f"M{x:.3f} {top:.3f}V{bottom:.3f}{plates}"


def _rectangle(x: float, y: float, width: float, height: float) -> str:
    return f"M{x:.3f} {y:.3f}H{x + width:.3f}V{y + height:.3f}H{x:.3f}Z"


def _ends(plan: _Plan) -> tuple[Text, ...]:
    """Letter both ends; say what is left and right as seen from A, and the unit."""
    size, line = plan.size_pt, line_mm(plan.size_pt)
    big = size + 3
    y = plan.middle - line_mm(big) / 2
    right = plan.left + plan.width
    return (
        Text(plan.left - 1.2, y, "A", big, bold=True, align="right"),
        Text(right + 1.2, y, "B", big, bold=True),
        Text(plan.left - 1.2, plan.middle - line_mm(big) / 2 - line, "left", size, align="right"),
        Text(plan.left - 1.2, plan.middle + line_mm(big) / 2, "right", size, align="right"),
        Text(right + 1.2, plan.middle + line_mm(big) / 2, tape_unit(plan.table), size),
    )


def _above(plan: _Plan) -> tuple[Text, ...]:
    line = line_mm(plan.size_pt)
    top = plan.middle - _deepest(plan.table) * plan.scale / 2 - _FOOT / 2 - 0.2
    return _row(plan, plan.table.brackets, lambda index: top - (2 - index) * line)


def _below(plan: _Plan) -> tuple[Text, ...]:
    bottom = plan.middle + _deepest(plan.table) * plan.scale / 2 + _FOOT / 2 + 0.2
    return _row(plan, plan.table.legs, lambda index: bottom + index * line_mm(plan.size_pt))


def _row(
    plan: _Plan, stations: Sequence[Leg | Bracket], y: Callable[[int], float]
) -> tuple[Text, ...]:
    """Names in one line, distances from A in the next; crowded names take both lines in turn."""
    names = [_named(plan, one, y(0)) for one in stations]
    if len(_apart(names)) < len(names):
        return tuple(_named(plan, one, y(index % 2)) for index, one in enumerate(stations))
    distances = [
        Text(plan.x(s.x_mm), y(1), from_a(plan.table, s.x_mm), plan.size_pt, align="center")
        for s in stations
    ]
    return *names, *_apart(distances)


def _named(plan: _Plan, station: Leg | Bracket, y: float) -> Text:
    return Text(plan.x(station.x_mm), y, station.name, plan.size_pt, bold=True, align="center")


def _apart(texts: Sequence[Text]) -> tuple[Text, ...]:
    """Keep the texts that stand clear of the one kept before."""
    kept: list[Text] = []
    for text in texts:
        if not kept or text.x - kept[-1].x >= (_wide(text) + _wide(kept[-1])) / 2 + 0.6:
            kept.append(text)
    return tuple(kept)


def _wide(text: Text) -> float:
    return width_mm(text.text, text.size_pt, bold=text.bold)
