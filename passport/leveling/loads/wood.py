"""What a board weighs and how stiff it is, by its wood.

References
----------
Wood Handbook, FPL-GTR-190 (2010): Table 5-3, specific gravity and modulus of elasticity at 12 %
moisture content; Table 5-1, elastic ratios; chapter 4 for density. Sugar maple was read in a copy;
the other woods, the density formula and the coefficients of variation are from memory of it.
"""

from dataclasses import dataclass
from enum import StrEnum

from passport.leveling.gravity import GRAVITY_M_PER_S2
from passport.table import Board

WATER_KG_PER_M3 = 1000.0
LISTED_MOISTURE_PCT = 12.0
FIBRE_SATURATION_PCT = 30.0  # Wood Handbook, chapter 4, from memory
MAPLE_GREEN_GRAVITY = 0.56  # sugar maple, ovendry mass over green volume, Table 5-3

# Single clear pieces vary by 10 % in specific gravity and 22 % in modulus (Wood Handbook, Table
# 5-6, from memory). A board of many strips averages them; half is kept (no source).
GRAVITY_REL_U = 0.05
MODULUS_REL_U = 0.11
UNLISTED_GRAVITY_REL_U = 0.20  # a wood not named here: between poplar and hickory
UNLISTED_MODULUS_REL_U = 0.25

# G / E lengthwise: longitudinal-tangential and longitudinal-radial of sugar maple (Table 5-1). How
# a board's strips lie is not known, so both bound how stiff it is against twist.
SHEAR_RATIOS = (0.063, 0.111)


@dataclass(frozen=True)
class Wood:
    """A wood at 12 % moisture content.

    Attributes
    ----------
    name : str
        As the handbook names it.
    gravity : float
        Specific gravity, ovendry mass over volume at 12 %.
    modulus_gpa : float
        Modulus of elasticity in static bending. [GPa]
    gravity_rel_u, modulus_rel_u : float
        Relative standard uncertainties.
    """

    name: str
    gravity: float
    modulus_gpa: float
    gravity_rel_u: float = GRAVITY_REL_U
    modulus_rel_u: float = MODULUS_REL_U


SUGAR_MAPLE = Wood("sugar maple", 0.63, 12.6)
_LISTED = {  # the longest name that a description holds is taken
    "sugar maple": SUGAR_MAPLE,
    "hard maple": SUGAR_MAPLE,
    "maple": SUGAR_MAPLE,
    "red maple": Wood("red maple", 0.54, 11.3),
    "soft maple": Wood("red maple", 0.54, 11.3),
    "yellow birch": Wood("yellow birch", 0.62, 13.9),
    "birch": Wood("yellow birch", 0.62, 13.9),
    "beech": Wood("American beech", 0.64, 11.9),
    "white oak": Wood("white oak", 0.68, 12.3),
    "oak": Wood("northern red oak", 0.63, 12.5),
    "cherry": Wood("black cherry", 0.50, 10.3),
    "walnut": Wood("black walnut", 0.55, 11.6),
    "ash": Wood("white ash", 0.60, 12.0),
    "hickory": Wood("shagbark hickory", 0.72, 14.9),
}


class Route(StrEnum):
    """How a density was reached: the two differ by 2.5 % for sugar maple."""

    LISTED = "specific gravity listed at 12 % moisture, with its water"
    GREEN = "specific gravity of green wood, shrunk to the board's moisture"


@dataclass(frozen=True)
class Mass:
    """A board's mass and its standard uncertainty, and how it was reached, in kg."""

    kg: float
    u_kg: float
    wood: Wood
    route: Route

    @property
    def most_kg(self) -> float:
        """What to plan a lift with: the mass plus twice its uncertainty, in kg."""
        return self.kg + 2 * self.u_kg

    @property
    def newton(self) -> float:
        """Weight under standard gravity, in newtons."""
        return self.kg * GRAVITY_M_PER_S2


def wood_of(name: str) -> Wood:
    """Find a wood by its name; one that is not listed is taken as sugar maple, far wider."""
    said = f" {' '.join(name.lower().replace(',', ' ').split())} "
    held = [listed for listed in _LISTED if f" {listed} " in said]
    if held:
        return _LISTED[max(held, key=len)]
    return Wood(
        f"{SUGAR_MAPLE.name} in place of {name.strip() or 'a wood not named'}",
        SUGAR_MAPLE.gravity,
        SUGAR_MAPLE.modulus_gpa,
        UNLISTED_GRAVITY_REL_U,
        UNLISTED_MODULUS_REL_U,
    )


def listed_density(wood: Wood) -> float:
    """Give the density at 12 % moisture: G × 1000 × (1 + 12 / 100), in kg/m³."""
    return wood.gravity * WATER_KG_PER_M3 * (1 + LISTED_MOISTURE_PCT / 100)


def green_density(green_gravity: float, moisture_pct: float) -> float:
    """Give the density at a moisture content from the specific gravity of green wood.

    Parameters
    ----------
    green_gravity : float
        Ovendry mass over green volume.
    moisture_pct : float
        Moisture content, 0 to 30. [% of ovendry mass]

    Returns
    -------
    float
        ρ = 1000 G (1 + M / 100), G = Gb / (1 − 0.265 a Gb), a = (30 − M) / 30. [kg/m³]

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), chapter 4 (formula from memory).
    """
    dryness = (FIBRE_SATURATION_PCT - moisture_pct) / FIBRE_SATURATION_PCT
    gravity = green_gravity / (1 - 0.265 * dryness * green_gravity)
    return WATER_KG_PER_M3 * gravity * (1 + moisture_pct / 100)


def board_mass(board: Board) -> Mass:
    """Weigh a board by its wood and size, for the lifting plan.

    Parameters
    ----------
    board : Board
        Length, width, thickness in mm; wood as written.

    Returns
    -------
    Mass
        With its standard uncertainty. [kg]

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), Table 5-3, specific gravity listed at 12 %.
    """
    wood = wood_of(board.wood)
    volume = board.length_mm * board.width_mm * board.thickness_mm * 1e-9
    kg = listed_density(wood) * volume
    return Mass(kg, kg * wood.gravity_rel_u, wood, Route.LISTED)
