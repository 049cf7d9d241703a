"""Halls beside the one of the measures: other legs, cards, tolerances, boards; a stranger's."""

from leveling.hall import STRANGER, World
from leveling.tables import five_legs, kit, three_legs, tightened

BENT = World(shape=(0.0, 1.0))
VARIANTS = {
    "three legs, five brackets": (three_legs(), World()),
    "cards of 0.005 in": (five_legs(kit(0.005)), World()),
    "cards of 0.0091 in": (five_legs(kit(0.0091)), World()),
    "hollow ± 0.005 in": (tightened(five_legs(), hollow_in=0.005), World()),
    "cross ± 0.5 mm/m": (tightened(five_legs(), cross=0.5), World()),
    "board between straight and bent": (five_legs(), BENT),
    "stranger": (five_legs(), STRANGER),
}
FRESH_SEED, KNOWN_SEED, PAPER_SEED = 41, 42, 43
