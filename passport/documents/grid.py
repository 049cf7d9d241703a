"""The measurement grid: each station with target, last found, last left and what changed."""

from dataclasses import dataclass

from passport.documents import wording
from passport.documents.gauge import gauge_svg
from passport.documents.house import Story, picture
from passport.leveling.advice import Advice, Quantity, StationState
from passport.table import Table


@dataclass(frozen=True)
class Value:
    """What is known of a station at one time, and the verdict, in words."""

    said: str
    verdict: str


@dataclass(frozen=True)
class Row:
    """One station, ready to print; ``was`` is what the visit before left, where that differs."""

    station: str
    place: str
    target: str
    tolerance: str
    found: Value | None
    left: Value
    was: str | None
    gauge: str


@dataclass(frozen=True)
class Grid:
    """All stations of one quantity, with its unit."""

    title: str
    unit: str
    note: str
    rows: tuple[Row, ...]


_NOTES = {
    Quantity.CROSS: "Left and right as seen from end A. The picture shows left high at the left.",
    Quantity.HOLLOW: "Over the board's full width.",
    Quantity.RISE: "Mean of both ends, over the board's middle.",
}


def grids(story: Story) -> tuple[Grid, ...]:
    """Measurement grid of each quantity, stations in the order of the table."""
    return tuple(
        Grid(
            wording.QUANTITIES[quantity],
            wording.unit(story.table, quantity),
            _NOTES[quantity],
            tuple(_row(story, s) for s in story.advice.state if s.quantity is quantity),
        )
        for quantity in Quantity
        if any(s.quantity is quantity for s in story.advice.state)
    )


def _row(story: Story, left: StationState) -> Row:
    table = story.table
    found, former = _same(story.found, left), _same(_states(story.before), left)
    now = _value(table, left)
    before = _value(table, former) if former else now
    return Row(
        station=left.station,
        place=wording.short_place(table, left.station),
        target=_target(table, left),
        tolerance=f"± {wording.asked(table, left.quantity, left.tolerance, left.tolerance)}",
        found=_value(table, found) if found else None,
        left=now,
        was=wording.short(table, former) if former and before != now else None,
        gauge=picture(gauge_svg(left)),
    )


def _target(table: Table, state: StationState) -> str:
    sense = wording.cell(table, state.quantity, state.target).partition(" ")[2]
    value = wording.asked(table, state.quantity, state.target, state.tolerance)
    return f"{value} {sense}".strip()


def _value(table: Table, state: StationState) -> Value:
    return Value(wording.measured(table, state), wording.VERDICTS[state.verdict])


def _states(advice: Advice | None) -> tuple[StationState, ...]:
    return advice.state if advice else ()


def _same(states: tuple[StationState, ...], one: StationState) -> StationState | None:
    """Find the same station and quantity among other states."""
    return next((s for s in states if (s.station, s.quantity) == (one.station, one.quantity)), None)
