"""How much wood moves across the grain, and how far a difference between its faces bends it."""

from dataclasses import astuple, dataclass

from passport.climate.bending import linear_curvature, sagitta
from passport.table import Board


@dataclass(frozen=True)
class Band:
    """Change of width per % MC between growth rings upright (radial) and flat (tangential)."""

    radial: float
    tangential: float


# Dimensional change coefficients, 6 to 14 % MC: Wood Handbook, FPL-GTR-190 (2010), Table 13-5.
SUGAR_MAPLE = Band(0.00165, 0.00353)
RED_MAPLE = Band(0.00137, 0.00289)
MAPLE = Band(RED_MAPLE.radial, SUGAR_MAPLE.tangential)  # of either kind
HARDWOOD = Band(0.0012, 0.0044)  # common hardwoods of the same table, from memory
_HARD = ("hard", "sugar", "rock", "black")
_SOFT = ("soft", "red", "silver")


def band_of(wood: str) -> Band:
    """Movement of a wood by its name; a wide band where the name says little.

    A board of edge-glued strips moves by whatever mix its strips are, so the answer is a band.
    """
    name = wood.lower()
    if "maple" not in name:
        return HARDWOOD
    if any(word in name for word in _HARD):
        return SUGAR_MAPLE
    return RED_MAPLE if any(word in name for word in _SOFT) else MAPLE


def width_change_mm(board: Board, moisture_change_pct: float) -> tuple[float, float]:
    """Change of a board's width for an even change of moisture, radial and tangential. [mm]."""
    band = band_of(board.wood)
    size = board.width_mm * moisture_change_pct
    return band.radial * size, band.tangential * size


def hollow_per_pct(board: Board) -> tuple[float, float]:
    """Hollow of a free board per % MC of face difference, radial and tangential. [mm/% MC].

    The wetter face becomes convex: a board wetter below is hollow above. Frame and brackets hold
    part of this back.
    """
    band = band_of(board.wood)
    little = 0.01  # % MC: an arc's depth grows in proportion only while it is shallow
    bends = (linear_curvature(little * c, board.thickness_mm) for c in astuple(band))
    radial, tangential = (sagitta(bend, board.width_mm) / little for bend in bends)
    return radial, tangential
