"""How each station went over time: what every visit found and left, with the grey target band."""

from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from forms.typeface import MM_PER_PT, width_mm
from passport.documents import wording
from passport.documents.house import Story, picture, svg, svg_text
from passport.leveling.advice import Quantity, StationState
from passport.leveling.standing import Passed
from passport.table import Table

WIDTH, HEIGHT = 54.0, 27.0  # [mm]
REACH = 2.5  # tolerances shown on either side of the target
_LEFT, _RIGHT, _TOP, _BOTTOM = 11.5, 53.0, 1.0, 22.0  # [mm] of the plot
_INSET = 2.6  # [mm] from the plot's ends to the first and last visit
_BESIDE = 0.9  # [mm] that found stands before its day, and left after it
_SIZE = 7.0  # [pt]


@dataclass(frozen=True)
class Point:
    """One visit to a station: what it found and what it left."""

    day: date
    found: StationState
    left: StationState


@dataclass(frozen=True)
class Course:
    """One station's chart, ready to print."""

    station: str
    place: str
    picture: str
    words: str


@dataclass(frozen=True)
class Courses:
    """The charts of one quantity."""

    title: str
    unit: str
    up: str  # what lies at the top
    charts: tuple[Course, ...]


_UP = {Quantity.CROSS: "left high", Quantity.HOLLOW: "hollower", Quantity.RISE: "ends higher"}


def courses(story: Story) -> tuple[Courses, ...]:
    """Chart each station over the newest visits; nothing before the first visit."""
    points = _points(story.passed)
    return tuple(
        Courses(
            wording.QUANTITIES[quantity],
            wording.unit(story.table, quantity),
            _UP[quantity],
            tuple(_course(story.table, one) for one in points if _quantity(one) is quantity),
        )
        for quantity in Quantity
        if any(_quantity(one) is quantity for one in points)
    )


def _quantity(points: tuple[Point, ...]) -> Quantity:
    return points[0].left.quantity


def _points(visits: tuple[Passed, ...]) -> list[tuple[Point, ...]]:
    """List each station's points: every visit by all that was known at its end."""
    by_visit = [
        [Point(one.on, *pair) for pair in zip(one.found, one.left, strict=True)]
        for one in visits
        if one.on is not None
    ]
    return list(zip(*by_visit, strict=True))


def _course(table: Table, points: tuple[Point, ...]) -> Course:
    state = points[-1].left
    return Course(
        state.station,
        wording.short_place(table, state.station),
        picture(chart_svg(table, points)),
        _words(table, points),
    )


def _words(table: Table, points: tuple[Point, ...]) -> str:
    said = [
        f"{wording.day(point.day)}: found {wording.measured(table, point.found)}, "
        f"left {wording.measured(table, point.left)}"
        for point in points
    ]
    state = points[-1].left
    band = wording.band(table, state)
    unit = wording.unit(table, state.quantity)
    return f"{state.station} over time, {unit}, target {band}. " + "; ".join(said) + "."


@dataclass(frozen=True)
class _Plot:
    """Where days and values lie on a station's chart."""

    first: date
    last: date
    target: float
    tolerance: float

    def x(self, day: date) -> float:
        whole = (self.last - self.first).days
        share = (day - self.first).days / whole if whole else 0.5
        return _LEFT + _INSET + share * (_RIGHT - _LEFT - 2 * _INSET)

    def y(self, value: float) -> float:
        """Height of a value, held inside the plot."""
        share = (value - self.target) / self.tolerance / REACH
        middle = (_TOP + _BOTTOM) / 2
        return middle - max(-1.0, min(1.0, share)) * (_BOTTOM - _TOP) / 2


def chart_svg(table: Table, points: tuple[Point, ...]) -> str:
    """Draw a station's chart; a value beyond its ends becomes an arrow.

    Parameters
    ----------
    table : Table
        Decides the unit.
    points : tuple of Point
        In the order of their days; at least one.
    """
    state = points[-1].left
    plot = _Plot(points[0].day, points[-1].day, state.target, state.tolerance)
    marks = "".join(_mark(plot, point) for point in points)
    if not any(_seen(state) for point in points for state in (point.found, point.left)):
        marks += svg_text((_LEFT + _RIGHT) / 2, _TOP + 4.0, _SIZE, "no value yet", "middle")
    return svg(
        WIDTH, HEIGHT, _ground(table, plot, state) + _drift(plot, points) + marks + _days(plot)
    )


def _ground(table: Table, plot: _Plot, state: StationState) -> str:
    high, low = plot.target + plot.tolerance, plot.target - plot.tolerance
    band = (
        f'<path fill="#ddd" d="M{_LEFT} {plot.y(high):.2f}H{_RIGHT}V{plot.y(low):.2f}H{_LEFT}Z"/>'
        f'<path stroke="#777" stroke-width="0.12" d="M{_LEFT} {plot.y(plot.target):.2f}H{_RIGHT}"/>'
        f'<path stroke="#000" stroke-width="0.2" d="M{_LEFT} {_BOTTOM}H{_RIGHT}"/>'
    )
    drop = _SIZE * MM_PER_PT * 0.36
    labels = "".join(
        svg_text(_LEFT - 1, plot.y(value) + drop, _SIZE, said, "end")
        for value, said in _scale(table, plot, state.quantity)
    )
    return band + labels


def _scale(table: Table, plot: _Plot, quantity: Quantity) -> list[tuple[float, str]]:
    """Name both ends of the target band."""
    ends = (plot.target + plot.tolerance, plot.target - plot.tolerance)
    return [(end, wording.scale(table, quantity, end)) for end in ends]


def _drift(plot: _Plot, points: tuple[Point, ...]) -> str:
    """Join what one visit left to what the next one found."""
    lines = "".join(
        f"M{plot.x(one.day) + _BESIDE:.2f} {plot.y(one.left.value):.2f}"
        f"L{plot.x(two.day) - _BESIDE:.2f} {plot.y(two.found.value):.2f}"
        for one, two in pairwise(points)
        if one.left.value is not None and two.found.value is not None
    )
    return f'<path fill="none" stroke="#999" stroke-width="0.2" d="{lines}"/>' if lines else ""


def _mark(plot: _Plot, point: Point) -> str:
    x = plot.x(point.day)
    tick = f'<path stroke="#000" stroke-width="0.2" d="M{x:.2f} {_BOTTOM}V{_BOTTOM + 0.9}"/>'
    found = _value(plot, point.found, x - _BESIDE, "#fff")
    return tick + found + _value(plot, point.left, x + _BESIDE, "#000")


def _value(plot: _Plot, state: StationState, x: float, fill: str) -> str:
    """Draw a value with its 95 % interval; an open end runs to the plot's edge."""
    if not _seen(state):
        return ""
    top = _TOP if state.high is None else plot.y(state.high)
    bottom = _BOTTOM if state.low is None else plot.y(state.low)
    bar = f'<path stroke="#000" stroke-width="0.25" d="M{x:.2f} {top:.2f}V{bottom:.2f}"/>'
    return bar + _heads(x, top, bottom) + _dot(plot, state, x, fill)


def _seen(state: StationState) -> bool:
    return state.low is not None or state.high is not None


def _dot(plot: _Plot, state: StationState, x: float, fill: str) -> str:
    if state.value is None or not _TOP < plot.y(state.value) < _BOTTOM:
        return ""
    return (
        f'<circle cx="{x:.2f}" cy="{plot.y(state.value):.2f}" r="0.75" fill="{fill}" '
        'stroke="#000" stroke-width="0.25"/>'
    )


def _heads(x: float, top: float, bottom: float) -> str:
    """Arrow heads where the interval leaves the plot."""
    heads = [(_TOP, 1.5)] if top <= _TOP else []
    heads += [(_BOTTOM, -1.5)] if bottom >= _BOTTOM else []
    paths = "".join(f"M{x:.2f} {y}l-0.7 {back}h1.4Z" for y, back in heads)
    return f'<path d="{paths}"/>' if paths else ""


def _days(plot: _Plot) -> str:
    """Name the first and the last month below the axis."""
    y = _BOTTOM + 1.2 + _SIZE * MM_PER_PT
    ends = dict.fromkeys((wording.short_month(plot.first), wording.short_month(plot.last)))
    if len(ends) == 1:
        middle = (_LEFT + _RIGHT) / 2
        return svg_text(middle, y, _SIZE, next(iter(ends)), "middle")
    first, last = ends
    assert width_mm(first + last, _SIZE) < _RIGHT - _LEFT - 2
    return svg_text(_LEFT, y, _SIZE, first, "start") + svg_text(_RIGHT, y, _SIZE, last, "end")
