"""What hands do besides answering: the slips and corrections that a reader must doubt.

Fields are named by their id; ``value`` is an option's value, or True for a tick's only box.
"""

from dataclasses import dataclass

Value = int | str | bool


@dataclass(frozen=True)
class TwoMarks:
    """Two boxes of one row marked alike."""

    field: str
    first: Value
    second: Value


@dataclass(frozen=True)
class ScribbledOut:
    """The wrong box marked, scribbled out, and the right one marked.

    Without ``right`` nothing is marked instead.
    """

    field: str
    wrong: Value
    right: Value | None = None


@dataclass(frozen=True)
class Faint:
    """A mark made with hardly any pressure: 1 is normal, 0 nothing."""

    field: str
    value: Value
    pressure: float = 0.25


@dataclass(frozen=True)
class Erased:
    """A mark rubbed out, so that ``left`` of its darkness stays; then perhaps another."""

    field: str
    value: Value
    then: Value | None = None
    left: float = 0.15


@dataclass(frozen=True)
class Filled:
    """A box filled solid."""

    field: str
    value: Value


@dataclass(frozen=True)
class StrokeThrough:
    """One stroke from the first box given to the last, through all between."""

    boxes: tuple[tuple[str, Value], ...]


@dataclass(frozen=True)
class Stray:
    """A line that belongs to nothing: ends in millimetres of the page."""

    start: tuple[float, float]
    end: tuple[float, float]


@dataclass(frozen=True)
class Overwritten:
    """A digit written over another in the same box; boxes count from 0 at the left."""

    field: str
    box: int
    first: str
    second: str


@dataclass(frozen=True)
class StruckOut:
    """A digit struck out and the right one squeezed in above it."""

    field: str
    box: int
    wrong: str
    right: str


@dataclass(frozen=True)
class Ditto:
    """Two short strokes in a box: "as above"."""

    field: str
    value: Value


Act = (
    TwoMarks
    | ScribbledOut
    | Faint
    | Erased
    | Filled
    | StrokeThrough
    | Stray
    | Overwritten
    | StruckOut
    | Ditto
)
