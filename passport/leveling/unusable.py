"""What makes a description useless for the calculator, as one line that says what to do."""

from collections.abc import Iterator, Sequence
from itertools import chain, pairwise

from passport.leveling.errors import TableUnusable
from passport.leveling.supports import end_legs
from passport.leveling.unusable_kit import kit_reasons
from passport.table import Bracket, Leg, Role, Table
from passport.visit import Visit

LEAST_APART_MM = 1.0  # two legs, or two feet of one, nearer than this are one place
LEAST_PITCH_MM, MOST_PITCH_MM = 0.05, 50.0
MOST_ASKED = 1000.0  # mm or mm/m
LEAST_MM, MOST_MM = 1.0, 100_000.0  # of a board's side; beyond them a unit is wrong


def must_be_usable(table: Table, visits: Sequence[Visit] = ()) -> None:
    """Refuse a table that no advice can be given on.

    Parameters
    ----------
    table : Table
        As a program may make it; a description is looked at when it is read.
    visits : sequence of Visit
        Each was read with a kit of its own.

    Raises
    ------
    TableUnusable
        With the first thing that is wrong, and what to do.
    """
    why = why_unusable(table, visits)
    if why:
        raise TableUnusable(table.number, why)


def why_unusable(table: Table, visits: Sequence[Visit] = ()) -> str:
    """Say why no advice can be given on a table after these visits; nothing where it can."""
    of_visits = (
        f"On form {visit.form}: {why}" for visit in visits for why in kit_reasons(visit.kit)
    )
    return next(chain(_all_reasons(table), of_visits), "")


def _all_reasons(table: Table) -> Iterator[str]:
    yield from _reasons(table)
    yield from _centre(table)
    yield from kit_reasons(table.kit)
    yield from _targets(table)
    yield from _parts(table)


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


def _parts(table: Table) -> Iterator[str]:
    """Ask for brackets on the board, threads that are threads, and one name for each part."""
    for bracket in table.brackets:
        if not 0 <= bracket.x_mm <= table.board.length_mm:
            yield (
                f"Bracket {bracket.name} stands at {bracket.x_mm:g} mm, the board runs from 0 to "
                f"{table.board.length_mm:g} mm. Correct its place."
            )
    parts: list[Leg | Bracket] = [*table.legs, *table.brackets]
    for part in parts:
        if part.thread is not None and not LEAST_PITCH_MM <= part.thread.pitch_mm <= MOST_PITCH_MM:
            yield (
                f"The thread of {part.name} is given a pitch of {part.thread.pitch_mm:g} mm. "
                "Correct it, or leave the thread out."
            )
    for leg in table.legs:
        if leg.thread_left_mm is not None and not 0 <= leg.thread_left_mm <= MOST_MM:
            yield (
                f"Leg {leg.name} has {leg.thread_left_mm:g} mm of thread left. Measure it, or "
                "leave it out."
            )
    names = [part.name for part in parts]
    for name in sorted({one for one in names if names.count(one) > 1}):
        yield f"Two parts are called {name}. Give each its own name."


def _targets(table: Table) -> Iterator[str]:
    asked = table.targets
    named = {"hollow": asked.hollow_mm, "cross level": asked.cross_mm_per_m, "rise": asked.rise_mm}
    for words, target in named.items():
        if target is None:
            continue
        if not (abs(target.value) <= MOST_ASKED and abs(target.tolerance) <= MOST_ASKED):
            bad = f"{target.value:g} ± {target.tolerance:g}"
            yield f"The {words} is asked to be {bad}. Give a number and its tolerance."
        elif target.tolerance <= 0:
            yield f"The {words}'s tolerance is {target.tolerance:g}. Give one above nought."
