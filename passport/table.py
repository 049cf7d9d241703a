"""What a table is: board, legs, brackets, targets, the measuring kit.

Frame of reference: end A carries the QR label; x runs from A (0) to B, y from the centre line to
the left as seen from A, z up. Millimetres and mm/m throughout.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Role(StrEnum):
    """What a leg is for."""

    END = "end"
    CENTRE = "centre"
    SUPPORTING = "supporting"


class FootType(StrEnum):
    """How a foot's thread is turned."""

    STUD_IN_LEG = "stud in leg"  # a stud turning in the leg: clockwise from above raises
    NUT_ON_STUD = "nut on stud"  # a nut on a fixed stud: clockwise lowers
    UNKNOWN = "unknown"


class Side(StrEnum):
    """As seen from end A along the board."""

    LEFT = "left"
    RIGHT = "right"


class Hand(StrEnum):
    """Which way a thread runs."""

    RIGHT = "right"
    LEFT = "left"


class Steps(StrEnum):
    """The whole steps that a bracket's nut is turned and counted in; feet go by quarters."""

    QUARTERS = "quarters"
    SIXTHS = "sixths"  # flats of a hex nut

    @property
    def per_turn(self) -> int:
        """Count the steps of one turn."""
        return 4 if self is Steps.QUARTERS else 6

    @property
    def quarters(self) -> float:
        """Give the quarter turns that one step makes."""
        return 4 / self.per_turn

    @property
    def one(self) -> str:
        """Name one step."""
        return "quarter turn" if self is Steps.QUARTERS else "sixth of a turn"

    @property
    def many(self) -> str:
        """Name steps."""
        return "quarter turns" if self is Steps.QUARTERS else "sixths of a turn"

    @property
    def word(self) -> str:
        """Name one step where it is clear that turns are meant."""
        return self.value.removesuffix("s")


@dataclass(frozen=True)
class Thread:
    """A single-start thread; travel per turn is its pitch."""

    designation: str  # as written: "3/8-16 UNC", "M10x1.5"
    pitch_mm: float
    hand: Hand = Hand.RIGHT


@dataclass(frozen=True)
class Board:
    """The playing board, one piece. Lengths in mm."""

    length_mm: float
    width_mm: float
    thickness_mm: float
    wood: str


@dataclass(frozen=True)
class Leg:
    """A leg with two feet, left and right."""

    name: str  # "L1" is nearest end A
    x_mm: float
    role: Role
    foot_spacing_mm: float
    foot_type: FootType
    thread: Thread | None
    thread_left_mm: float | None = None  # thread engagement that may still be screwed out


@dataclass(frozen=True)
class Bracket:
    """A crosswise bracket (the trade also says climatic adjuster) under the board."""

    name: str  # "B1" is nearest end A
    x_mm: float
    thread: Thread | None
    working_side: Side | None  # where the plate stands whose inner nut is counted


@dataclass(frozen=True)
class Target:
    """A target and its tolerance, same unit."""

    value: float
    tolerance: float


@dataclass(frozen=True)
class Targets:
    """What the table should be."""

    hollow_mm: Target
    cross_mm_per_m: Target
    rise_mm: Target | None  # None: two legs have no rise by feet


class Reads(StrEnum):
    """How a cross level is read; a form has one scale of boxes for it."""

    CARDS = "cards"  # under the low end, until the level shows level
    DIVISIONS = "divisions"  # that the bubble stands off
    DISPLAY = "display"  # degrees that a digital level shows

    @property
    def counted(self) -> str:
        """Name what is counted, more than one of them."""
        return "boxes" if self is Reads.DISPLAY else self.value


class Ways(StrEnum):
    """How many ways round the level is laid at a leg for one cross level."""

    ONE = "one way"  # marked end left
    BOTH = "both ways"  # marked end left, then turned round: the level's zero cancels


@dataclass(frozen=True)
class Own:
    """A number of a measuring kit's own, as a check of the kit found it.

    ``u`` is its standard uncertainty, ``on`` the day of the check where it is known.
    """

    value: float
    u: float
    on: date | None = None


class RiseBy(StrEnum):
    """How the rise of the ends is read."""

    LEVEL = "level"  # laid lengthwise over each end leg
    STEPS = "steps"  # a level stepped from the middle to each end leg
    LINE = "line"  # a taut line over both end legs, its gap at the middle
    LASER = "laser"  # heights of a laser's line at both end legs and the middle, as differences


@dataclass(frozen=True)
class TautLine:
    """A line drawn taut over blocks on both end legs.

    ``pull_n`` is the weight hung on it; ``block_mm`` the height of the blocks, both alike, that
    carry it above the board. A gap is read to whole ``step_mm``, ``read_u_mm`` is the standard
    uncertainty of one reading by eye.
    """

    mass_g_per_m: Own
    pull_n: Own
    block_mm: Own
    step_mm: float
    read_u_mm: float


@dataclass(frozen=True)
class LineLaser:
    """A laser that draws a line along the board. Heights are read as a gap of a ``TautLine``.

    ``slope_mm_per_m`` is how far the line is off level, positive where it rises toward end B.
    """

    slope_mm_per_m: Own
    step_mm: float
    read_u_mm: float


@dataclass(frozen=True)
class Kit:
    """The measuring kit that a form is printed for.

    ``sensitivity_mm_per_m`` is the tilt of one division of a bubble, ``display_step_deg`` the step
    of a digital level; one of the two is None. ``card_u_mm`` is the standard uncertainty of a
    card's thickness, common to all cards of the pack. ``cross_by`` says how a cross level is read;
    the rise by a level is always read with cards; ``cross_read`` says how many ways round.
    ``card_on`` is the day on which the card was measured. ``zero`` is what the level shows on
    level ground [mm/m], positive where it shows its marked end high; marked end left, that is the
    sign of the cross level. ``bow`` is how much too hollow the level's edge makes a board look over
    its own length [mm]. Both are None for a kit that nobody checked. ``rise_by`` says how the rise
    of the ends is read; by a line or a laser, that stands in ``line`` or ``laser``. ``feelers_mm``
    are the feelers that the hollow is read with instead of cards, thinnest first, ``feeler_u_mm``
    is the standard uncertainty of each one's thickness, its own; none where cards do.
    """

    name: str
    level_length_mm: float
    bearing_length_mm: float
    sensitivity_mm_per_m: float | None
    display_step_deg: float | None
    card_mm: float
    card_u_mm: float
    cross_by: Reads = Reads.CARDS
    card_on: date | None = None
    zero: Own | None = None
    bow: Own | None = None
    cross_read: Ways = Ways.ONE
    rise_by: RiseBy = RiseBy.LEVEL
    line: TautLine | None = None
    laser: LineLaser | None = None
    feelers_mm: tuple[float, ...] = ()
    feeler_u_mm: float = 0.0


@dataclass(frozen=True)
class Room:
    """The room that a table stands in, where its description says so. Months are 1 to 12.

    ``visit_within_weeks`` is the owner's own longest time between visits.
    """

    heated: bool | None = None
    dry_months: tuple[int, ...] = ()
    damp_months: tuple[int, ...] = ()
    visit_within_weeks: int | None = None


@dataclass(frozen=True)
class BuildNuts:
    """What the nuts of other tables of the same build taught, each with its own turns.

    The hollow per quarter turn of a nut of this build is log-normal: median [mm] and standard
    uncertainty of its logarithm, the nuts' spread in it. ``lost_quarters`` is what a nut loses
    where its direction changes [quarter turns], with the same. ``tables`` says how many tables
    taught it, ``as_of`` the number of the last event of theirs.
    """

    median_mm: float
    log_u: float
    lost_quarters: float
    lost_u: float
    tables: int
    as_of: int


@dataclass(frozen=True)
class Table:
    """One installed table.

    ``assumed`` names what the description left out and common practice filled in, by the
    description's keys ("legs", "targets.hollow", …). ``written`` keeps what the description says
    as it was written, by key ("board.length", "22 ft"). Legs and brackets are counted from end A
    in both ("legs.2.at"). ``learned`` is what a quarter turn at a leg or bracket moves [mm], by
    name, as far as the visits before taught it: never described, set where a form is printed.
    ``nuts_by`` says in which steps its nuts are turned: the only place that does.
    ``office_email`` is the office's, as its settings have it: never described either.
    ``build`` names tables that were built alike; ``build_nuts`` is what the others of them taught:
    never described, set by whoever knows those tables.
    """

    number: str
    name: str
    site: str
    board: Board
    legs: tuple[Leg, ...]
    brackets: tuple[Bracket, ...]
    targets: Targets
    kit: Kit
    units: str = "imperial"  # how lengths are printed first: "imperial" or "metric"
    assumed: tuple[str, ...] = ()
    office_phone: str | None = None
    room: Room = Room()
    written: tuple[tuple[str, str], ...] = ()
    learned: tuple[tuple[str, float], ...] = ()
    nuts_by: Steps = Steps.QUARTERS
    build: str | None = None
    build_nuts: BuildNuts | None = None
    office_email: str | None = None

    def adjusted_legs(self) -> tuple[Leg, ...]:
        """End and centre legs: the ones that leveling turns."""
        return tuple(leg for leg in self.legs if leg.role is not Role.SUPPORTING)
