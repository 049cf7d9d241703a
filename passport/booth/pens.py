"""What people write with: width, colour and how evenly the ink or graphite comes off.

Widths and shades are common practice (no source): a 1.0 mm ball writes a line of about 0.4 mm.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Pen:
    """One writing tool.

    Attributes
    ----------
    width_mm : float
        Width of the line at normal pressure. [mm]
    colour : tuple of float
        Share of light that a full line lets through: blue, green, red. [1]
    grain : float
        How much of the line the paper's texture eats away, 0 none to 1 all. [1]
    skipping : float
        Share of the line's length where the ink fails. [1]
    spread : float
        How strongly pressure changes the width: 0 not at all (felt), 1 fully. [1]
    """

    name: str
    width_mm: float
    colour: tuple[float, float, float]
    grain: float = 0.0
    skipping: float = 0.0
    spread: float = 0.5


BALLPOINT_BLUE = Pen("ballpoint blue", 0.42, (0.60, 0.22, 0.14), grain=0.15, skipping=0.03)
BALLPOINT_BLACK = Pen("ballpoint black", 0.42, (0.17, 0.15, 0.15), grain=0.15, skipping=0.03)
PENCIL_HARD = Pen("hard pencil", 0.34, (0.56, 0.55, 0.55), grain=0.45, spread=0.2)
PENCIL_SOFT = Pen("soft pencil", 0.60, (0.26, 0.25, 0.25), grain=0.40, spread=0.4)
FELT_TIP = Pen("felt tip", 0.90, (0.10, 0.09, 0.10), spread=0.15)

PENS = (BALLPOINT_BLUE, BALLPOINT_BLACK, PENCIL_HARD, PENCIL_SOFT, FELT_TIP)

CARPENTERS_PENCIL = Pen("carpenter's pencil", 1.1, (0.34, 0.33, 0.33), grain=0.5, spread=0.6)
WET_INK = Pen("wet ink", 0.75, (0.30, 0.14, 0.12), spread=0.9)
ON_WAX = Pen("ballpoint on wax", 0.42, (0.60, 0.22, 0.14), grain=0.25, skipping=0.22)
BALLPOINT_DRY = Pen("ballpoint running dry", 0.32, (0.45, 0.42, 0.42), grain=0.4, skipping=0.12)

ALL_PENS = (*PENS, CARPENTERS_PENCIL, WET_INK, ON_WAX, BALLPOINT_DRY)
