"""What the calculator says of a table: state, verdicts, plan and what to expect."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from passport.table import Steps
from passport.visit import Doubt


class Verdict(StrEnum):
    """A value against its tolerance (JCGM 106)."""

    IN = "in"
    OUT = "out"
    UNDECIDED = "undecided"
    UNKNOWN = "not measured"


class Quantity(StrEnum):
    """What is measured at a station."""

    CROSS = "cross level"  # mm/m, positive: left high
    HOLLOW = "hollow"  # mm, positive: concave
    RISE = "rise"  # mm, mean of both ends relative to the middle


@dataclass(frozen=True)
class StationState:
    """One station's value with its standard uncertainty, in the unit of its quantity.

    ``low`` and ``high`` bound the value with 95 % probability; None on the side of an open count.
    """

    station: str
    x_mm: float
    quantity: Quantity
    value: float | None
    u: float | None
    low: float | None
    high: float | None
    target: float
    tolerance: float
    p_in: float | None
    verdict: Verdict
    why: str  # one printed line: readings, what they mean, what would settle an open question


@dataclass(frozen=True)
class Move:
    """One line of the plan: where, what, how many steps, and what to expect.

    ``part`` is "left foot", "right foot", "both feet" or "inner nut"; ``steps`` of ``by``,
    positive: the board goes up, or hollower. ``condition`` says for which finding at the next
    visit it holds.
    """

    station: str
    quantity: Quantity
    part: str
    steps: int
    condition: str
    why: str
    expected: float
    expected_u: float
    by: Steps = Steps.QUARTERS


@dataclass(frozen=True)
class Advice:
    """All that is known of a table after its visits."""

    table: str
    as_of: date | None
    state: tuple[StationState, ...]
    verdict: Verdict
    moves: tuple[Move, ...]
    look_again: tuple[str, ...]  # stations turned at the last visit: measure them first
    withheld: tuple[Doubt, ...]  # doubtful or missing values, and so no turns there
    warnings: tuple[str, ...]
    next_visit: date | None
    next_visit_why: str
