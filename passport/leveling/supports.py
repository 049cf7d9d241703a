"""The board on its legs as a beam: how far its own weight follows raised ends."""

from dataclasses import dataclass

from passport.leveling.gravity import GRAVITY_M_PER_S2
from passport.leveling.loads.wood import listed_density, wood_of
from passport.table import Board, Leg, Role, Table

CARRYING_SHARE = 0.5  # of the floating limit; common practice, no source: "well before"
TRADE_RISE_TURNS = 2.0  # of each foot; common practice, no source
TRADE_RISE_MARGIN = 0.25  # ± of the target; common practice, no source


@dataclass(frozen=True)
class Beam:
    """A board as a beam: weight per length [N/m] and bending stiffness EI [N m²]."""

    weight_n_per_m: float
    stiffness_n_m2: float


def bare_board(board: Board) -> Beam:
    """Take the board without its frame, by its wood at 12 % moisture content.

    A frame adds stiffness, so what follows from the bare board is an estimate: the board alone
    follows its feet further than board and frame together do.

    Parameters
    ----------
    board : Board
        Width and thickness in mm; its wood, where it is not listed taken as sugar maple.

    Returns
    -------
    Beam
        Weight [N/m] and stiffness [N m²].

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), Table 5-3.
    """
    width, thickness = board.width_mm / 1000, board.thickness_mm / 1000
    wood = wood_of(board.wood)
    weight = listed_density(wood) * GRAVITY_M_PER_S2 * width * thickness
    return Beam(weight, wood.modulus_gpa * 1e9 * width * thickness**3 / 12)


def floating_rise_mm(beam: Beam, span_mm: float) -> float:
    """Find the rise of both ends at which the centre leg of three carries nothing.

    Parameters
    ----------
    beam : Beam
        Weight and stiffness.
    span_mm : float
        Distance from end leg to centre leg. [mm]

    Returns
    -------
    float
        d = 5 w L⁴ / (24 E I). [mm]

    References
    ----------
    Two equal spans (AISC beam tables, number from memory) with R_mid = 1.25 w L - 6 E I d / L³.
    """
    span = span_mm / 1000
    return 5 * beam.weight_n_per_m * span**4 / (24 * beam.stiffness_n_m2) * 1000


def end_legs(table: Table) -> tuple[Leg, Leg] | None:
    """Find the end legs, A then B, of a table that also has a centre leg."""
    ends = sorted((leg for leg in table.legs if leg.role is Role.END), key=_position)
    if len(ends) != 2 or not any(leg.role is Role.CENTRE for leg in table.legs):
        return None
    return ends[0], ends[1]


def end_spans_mm(table: Table) -> tuple[float, float] | None:
    """Measure from end legs to the board's middle, in mm, A then B; None without a centre leg."""
    ends = end_legs(table)
    if ends is None:
        return None
    middle = table.board.length_mm / 2
    return middle - ends[0].x_mm, ends[1].x_mm - middle


def spans_mm(table: Table) -> tuple[float, float]:
    """Measure as ``end_spans_mm``; half the board where there is no centre leg."""
    return end_spans_mm(table) or (table.board.length_mm / 2,) * 2


def carrying_rise_mm(table: Table) -> float | None:
    """Give the highest mean end rise asked for, in mm: half of what floats the centre leg."""
    spans = end_spans_mm(table)
    if spans is None:
        return None
    return CARRYING_SHARE * floating_rise_mm(bare_board(table.board), sum(spans) / 2)


def trade_rise_mm(table: Table) -> tuple[float, float] | None:
    """Give mean end rise and tolerance, in mm, where a description is silent.

    Two turns of a foot, no more than leaves the centre leg carrying; ± 25 % (common practice, no
    source). None on a table that has no rise by feet, or whose end legs' thread is unknown.
    """
    limit = carrying_rise_mm(table)
    pitches = [leg.thread.pitch_mm for leg in table.legs if leg.role is Role.END and leg.thread]
    if limit is None or len(pitches) != 2:
        return None
    value = min(TRADE_RISE_TURNS * sum(pitches) / 2, limit)
    return value, TRADE_RISE_MARGIN * value


def _position(leg: Leg) -> float:
    return leg.x_mm
