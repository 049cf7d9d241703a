"""Board and frame as one bar: the bare board, and the board with a stated stiff frame."""

from dataclasses import dataclass

from passport.leveling.gravity import GRAVITY_M_PER_S2
from passport.leveling.loads.moments import Bar
from passport.leveling.loads.wood import SHEAR_RATIOS, board_mass
from passport.table import Board


@dataclass(frozen=True)
class Frame:
    """Two rails along the board that bend with it.

    Attributes
    ----------
    depth_mm, thickness_mm : float
        Of one rail, upright. [mm]
    modulus_gpa : float
        Modulus of elasticity. [GPa]
    density_kg_per_m3 : float
        Density. [kg/m³]
    """

    depth_mm: float
    thickness_mm: float
    modulus_gpa: float
    density_kg_per_m3: float

    @property
    def weight_n_per_m(self) -> float:
        """Weight of both rails per length, in N/m."""
        area = 2 * self.depth_mm * self.thickness_mm * 1e-6
        return area * self.density_kg_per_m3 * GRAVITY_M_PER_S2

    @property
    def bending_n_m2(self) -> float:
        """E I of both rails, in N m²."""
        return 2 * self.modulus_gpa * 1e9 * self.thickness_mm * self.depth_mm**3 / 12 * 1e-12

    @property
    def torsion_n_m2(self) -> float:
        """G J of both rails, in N m²."""
        shear = max(SHEAR_RATIOS) * self.modulus_gpa * 1e9
        return 2 * shear * twist_constant(self.depth_mm, self.thickness_mm) * 1e-12


# A description says nothing of the frame. Stated on every answer; common practice, no source.
STATED_FRAME = Frame(depth_mm=235, thickness_mm=38, modulus_gpa=9.0, density_kg_per_m3=500)


def bare_bar(board: Board, shear_ratio: float = min(SHEAR_RATIOS)) -> Bar:
    """Take the board alone as a bar, by its wood.

    Parameters
    ----------
    board : Board
        Size in mm, wood as written.
    shear_ratio : float
        G / E lengthwise.

    Returns
    -------
    Bar
        Weight, E I and G J.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), Tables 5-1 and 5-3.
    """
    mass = board_mass(board)
    modulus = mass.wood.modulus_gpa * 1e9
    inertia = board.width_mm * board.thickness_mm**3 / 12 * 1e-12
    twist = twist_constant(board.width_mm, board.thickness_mm) * 1e-12
    length = board.length_mm / 1000
    return Bar(length, mass.newton / length, modulus * inertia, shear_ratio * modulus * twist)


def framed_bar(board: Board, frame: Frame) -> Bar:
    """Take board and frame as one bar that bends as one, as stiff against twist as it may be."""
    bare = bare_bar(board, max(SHEAR_RATIOS))
    return Bar(
        bare.length_m,
        bare.weight_n_per_m + frame.weight_n_per_m,
        bare.bending_n_m2 + frame.bending_n_m2,
        bare.torsion_n_m2 + frame.torsion_n_m2,
    )


def twist_constant(wide: float, thin: float) -> float:
    """Give the torsion constant of a rectangle, in the fourth power of its unit.

    J = a b³ [1/3 − 0.21 (b / a) (1 − b⁴ / (12 a⁴))], a the wide side; Saint-Venant, as in Roark's
    Formulas for Stress and Strain (table number from memory: 10.7).
    """
    long, short = max(wide, thin), min(wide, thin)
    share = short / long
    return long * short**3 * (1 / 3 - 0.21 * share * (1 - share**4 / 12))
