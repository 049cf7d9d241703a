"""What makes a description useless for loads, as one printed line that says what to do."""

from collections.abc import Iterator
from itertools import pairwise

from passport.table import Leg, Table

LEAST_APART_MM = 1.0  # two legs, or two feet of one, nearer than this are one place
LEAST_MM, MOST_MM = 1.0, 100_000.0  # of a board's side; beyond them a unit is wrong


def unusable(table: Table) -> str:
    """Say why a table's loads can't be computed; nothing where they can."""
    return next(_reasons(table), "")


def _reasons(table: Table) -> Iterator[str]:
    board = table.board
    sizes = (board.length_mm, board.width_mm, board.thickness_mm)
    if not all(LEAST_MM <= size <= MOST_MM for size in sizes):
        said = " × ".join(f"{size:g}" for size in sizes)
        yield (
            f"The board is described as {said} mm. Give length, width and thickness, each from "
            f"{LEAST_MM:g} mm to {MOST_MM / 1000:g} m."
        )
    if len(table.legs) < 2:
        yield f"Legs described: {len(table.legs)}. A board stands on two or more; add them."
    yield from (line for leg in table.legs for line in _leg(leg, board.length_mm))
    for first, second in pairwise(sorted(table.legs, key=lambda leg: leg.x_mm)):
        if second.x_mm - first.x_mm < LEAST_APART_MM:
            yield (
                f"Legs {first.name} and {second.name} both stand at {first.x_mm:g} mm. "
                "Correct the place of one."
            )


def _leg(leg: Leg, length_mm: float) -> Iterator[str]:
    if not 0 <= leg.x_mm <= length_mm:
        yield (
            f"Leg {leg.name} stands at {leg.x_mm:g} mm, the board runs from 0 to {length_mm:g} mm. "
            "Correct its place."
        )
    if not LEAST_APART_MM <= leg.foot_spacing_mm <= MOST_MM:
        yield (
            f"The feet of leg {leg.name} are described as {leg.foot_spacing_mm:g} mm apart. "
            "Measure from foot to foot and correct it."
        )
