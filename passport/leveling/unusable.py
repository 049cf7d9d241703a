"""What makes a description useless for the calculator, as one line that says what to do."""

import math
from collections.abc import Iterator
from itertools import pairwise

from passport.leveling.errors import TableUnusable
from passport.leveling.supports import end_legs
from passport.table import Leg, Role, Table

LEAST_APART_MM = 1.0  # two legs, or two feet of one, nearer than this are one place
LEAST_MM, MOST_MM = 1.0, 100_000.0  # of a board's side; beyond them a unit is wrong


def must_be_usable(table: Table) -> None:
    """Refuse a table that no advice can be given on.

    Parameters
    ----------
    table : Table
        As a program may make it; a description is looked at when it is read.

    Raises
    ------
    TableUnusable
        With the first thing that is wrong, and what to do.
    """
    why = next(_all_reasons(table), "")
    if why:
        raise TableUnusable(table.number, why)


def unusable(table: Table) -> str:
    """Say why a table's loads can't be computed; nothing where they can."""
    return next(_reasons(table), "")


def _all_reasons(table: Table) -> Iterator[str]:
    yield from _reasons(table)
    yield from _centre(table)
    yield from _kit(table)
    yield from _targets(table)


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


def _centre(table: Table) -> Iterator[str]:
    """Ask for a way from each end leg to the centre leg: the rise is made over it."""
    ends, middle = end_legs(table) or (), table.board.length_mm / 2
    if not any(leg.role is Role.CENTRE for leg in table.legs):
        return
    for leg in ends:
        if abs(leg.x_mm - middle) < LEAST_APART_MM:
            yield (
                f"End leg {leg.name} stands at the middle of the board, at {leg.x_mm:g} mm. "
                "Correct its place."
            )


def _kit(table: Table) -> Iterator[str]:
    for words, size in (
        ("card", table.kit.card_mm),
        ("level, by its bearing length,", table.kit.bearing_length_mm),
    ):
        if not (math.isfinite(size) and size > 0):
            yield f"The kit's {words} is given as {size:g} mm. Measure it and correct it."


def _targets(table: Table) -> Iterator[str]:
    asked = table.targets
    named = {"hollow": asked.hollow_mm, "cross level": asked.cross_mm_per_m, "rise": asked.rise_mm}
    for words, target in named.items():
        if target is None:
            continue
        if not (math.isfinite(target.value) and math.isfinite(target.tolerance)):
            bad = f"{target.value:g} ± {target.tolerance:g}"
            yield f"The {words} is asked to be {bad}. Give a number and its tolerance."
        elif target.tolerance <= 0:
            yield f"The {words}'s tolerance is {target.tolerance:g}. Give one above nought."
