"""The answer: what each leg and foot carries, and how far it may go, as bands."""

from dataclasses import dataclass
from enum import StrEnum

from passport.leveling.loads.frame import Frame
from passport.leveling.loads.wood import Mass
from passport.table import Side


@dataclass(frozen=True)
class Band:
    """What all that is not known of the frame leaves open, and the uncertainty of either end.

    Attributes
    ----------
    low, high : float
        Least and greatest over the cases.
    u : float
        Standard uncertainty of either end, from weight, stiffness and heights.
    """

    low: float
    high: float
    u: float = 0.0


class Bearing(StrEnum):
    """Whether a foot carries."""

    CARRIES = "carries"
    PERHAPS = "may carry nothing"
    NOTHING = "carries nothing"


@dataclass(frozen=True)
class FootLoad:
    """One foot.

    Attributes
    ----------
    leg, side : str, Side
        Which foot.
    load_n : Band
        Force on the floor from board and frame. [N]
    bearing : Bearing
        Over all cases.
    marked_slack : bool
        The visit says so.
    down_mm : Band or None
        How far it may go down before it is slack; None: it always carries.
    up_mm : Band or None
        How far up before another foot is slack; None: none ever is.
    """

    leg: str
    side: Side
    load_n: Band
    bearing: Bearing
    marked_slack: bool
    down_mm: Band | None
    up_mm: Band | None


@dataclass(frozen=True)
class LegLoad:
    """One leg: the load on both feet together. [N]."""

    leg: str
    x_mm: float
    load_n: Band
    left: FootLoad
    right: FootLoad

    @property
    def feet(self) -> tuple[FootLoad, FootLoad]:
        """Left, right."""
        return self.left, self.right


@dataclass(frozen=True)
class Follow:
    """How much rise of both ends the weight follows before the centre leg carries nothing.

    Supporting legs clear of the floor. [mm]. None where nothing goes slack.
    """

    bare_mm: float | None
    framed_mm: float | None
    rel_u: float


@dataclass(frozen=True)
class Loads:
    """What a table's legs carry.

    Attributes
    ----------
    mass : Mass
        Of the board alone, for the lifting plan.
    frame : Frame
        The stated frame that the upper cases carry and are stiffened by.
    legs : tuple of LegLoad
        From end A.
    follow : Follow or None
        None without a centre leg between two end legs.
    supporting : bool
        Some legs carry load only, and nobody measures them.
    assumed : tuple of str
        What was not measured.
    """

    mass: Mass
    frame: Frame
    legs: tuple[LegLoad, ...]
    follow: Follow | None
    supporting: bool
    assumed: tuple[str, ...]


@dataclass(frozen=True)
class NoLoads:
    """Why there is no answer, and what to do: one printed line."""

    why: str
