"""One visit as plain numbers: what was found, turned and left, in the technician's counts.

Counts stay counts here; the calculator turns them into millimetres with the kit they were taken
with. A value that is doubtful or missing is None, and stands in ``doubts``.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from passport.table import Kit, Steps


@dataclass(frozen=True)
class Count:
    """A count of cards; ``bound`` means "this many or more" in the direction of its sign.

    Cross level: positive when the RIGHT end is low (cards under the right, so left is high).
    Hollow: cards that pass under the middle; negative for a crown: -n is "crown n".
    Rise: cards under the level's end toward the centre; positive when the outer end is high. By a
    line or a laser: whole steps of the scale that a gap or a height is read on.
    """

    cards: int
    bound: bool = False


@dataclass(frozen=True)
class LegPass:
    """One leg in one pass.

    Turns are in whole quarter turns, positive where the board goes up; beside a count of "more"
    they are those until the bubble was centred. ``found`` and ``after`` are read with the marked
    end of the level left, ``found_turned`` and ``after_turned`` on the same spot with the level
    turned round; their sides are the table's, too.
    """

    found: Count | None = None
    turns_left: int | None = None
    turns_right: int | None = None
    after: Count | None = None
    bears_left: bool | None = None
    bears_right: bool | None = None
    jam_nut_locked: bool | None = None
    untouched: bool = False  # "OK, as is"
    found_turned: Count | None = None
    after_turned: Count | None = None


@dataclass(frozen=True)
class BracketPass:
    """One bracket in one pass. Turns of the inner nut in the visit's steps, positive hollower."""

    found: Count | None = None
    turns: int | None = None
    after: Count | None = None
    locked: bool | None = None
    untouched: bool = False


class Walk(StrEnum):
    """In which order a pass was made."""

    STATION_BY_STATION = "each station read, turned and read again before the next"
    READ_FIRST = "all stations read, then all turned, then all read again"


@dataclass(frozen=True)
class Pass:
    """One walk along the table."""

    legs: Mapping[str, LegPass] = field(default_factory=dict)
    brackets: Mapping[str, BracketPass] = field(default_factory=dict)
    rise: Mapping[str, Count] = field(default_factory=dict)  # by place: "A", "B", "middle"
    rise_after: Mapping[str, Count] = field(default_factory=dict)
    rise_turns: Mapping[str, int] = field(default_factory=dict)  # quarter turns per foot, "A", "B"
    minutes_to_after: int | None = None
    walk: Walk | None = None  # None: the rows tell


@dataclass(frozen=True)
class Shot:
    """The middle one of three test shots: where the weight came to rest."""

    lane: str  # "left", "middle", "right" as seen from A
    from_end: str  # "A" or "B"
    off_line_in: int  # inches, positive to the left as seen from A
    bound: bool = False


@dataclass(frozen=True)
class Glide:
    """A timed glide in the middle lane, to rest."""

    from_end: str
    distance_m: float | None
    seconds: float | None


@dataclass(frozen=True)
class Doubt:
    """A value that a person must settle."""

    field: str
    label: str
    why: str


@dataclass(frozen=True)
class Visit:
    """One visit to one table. ``date`` is None while it is in doubt.

    ``nuts_by`` are the steps that its form counted turns of nuts in.
    """

    form: str
    kind: str
    table: str
    date: date | None
    kit: Kit
    technician: str | None = None
    air_temperature_c: float | None = None
    air_humidity_pct: float | None = None
    level_check: tuple[Count, Count] | None = None
    passes: tuple[Pass, ...] = ()
    shots: tuple[Shot, ...] = ()
    glides: tuple[Glide, ...] = ()
    surface: Mapping[str, str | bool] = field(default_factory=dict)
    changed: frozenset[str] = frozenset()
    nothing_turned: bool = False
    office_must_read: bool = False
    unsafe: bool = False
    notes: Mapping[str, str] = field(default_factory=dict)  # note id -> crop with ink
    doubts: tuple[Doubt, ...] = ()
    missing_pages: tuple[int, ...] = ()
    other_kit: bool = False
    nuts_by: Steps = Steps.QUARTERS
