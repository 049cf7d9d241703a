"""Tolerances that a table's own steps, cards or level can't serve, before anything is printed."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from passport.leveling.advice import Quantity
from passport.leveling.lookup import cross_turns, hollow_turns
from passport.leveling.nut_prior import NUT_QUARTER_MM
from passport.leveling.readings import cross_step_mm_per_m
from passport.leveling.supports import end_legs
from passport.table import Leg, Reads, Table, Ways
from passport.visit import Count

FURTHEST_CARDS = 60  # counts looked at, either way
CARD_STEP_MM = 0.0127  # 0.0005 in


class Cause(StrEnum):
    """Why a tolerance can't be served."""

    STEP = "one step of a foot or nut is too coarse"
    CARD = "no count of cards lies wholly within tolerance"
    FEELERS = "no two neighbours of the kit's feelers lie within tolerance"
    SCALE = "no box of the level's scale lies wholly within tolerance"
    DISPLAY = "one step of the level's display is more than the tolerance"
    ZERO = "read one way round, the level's zero is too unsure"


@dataclass(frozen=True)
class Infeasible:
    """One tolerance that can't be served; mm for hollow and rise, mm/m for cross levels.

    Attributes
    ----------
    cause : Cause
        What stands in the way.
    quantity : Quantity
        Whose tolerance it is.
    stations : tuple of str
        Legs or brackets concerned.
    tolerance : float
        As described.
    least : float or None
        The smallest tolerance that could be served: half a step, or one step of the display; the
        slope of one box where the scale is the cause; None where cards are.
    card_mm : float or None
        The card as described, where cards are the cause.
    deciding_card_mm : float or None
        The thickest card below it that could decide; None where none can. Where the scale is the
        cause: the kit's card, if the same level with it could decide.
    """

    cause: Cause
    quantity: Quantity
    stations: tuple[str, ...]
    tolerance: float
    least: float | None = None
    card_mm: float | None = None
    deciding_card_mm: float | None = None


def unreachable(table: Table) -> list[Infeasible]:
    """List the tolerances of a table that its steps or its kit can't serve.

    Parameters
    ----------
    table : Table
        Targets, threads, foot spacings, kit.

    Returns
    -------
    list of Infeasible
        Empty when every tolerance can be reached and decided. The rise is judged by the mean of
        both ends and not by one count, so its cards are not looked at.
    """
    return [*_steps(table), *_displays(table), *_cards(table)]


def _steps(table: Table) -> Iterator[Infeasible]:
    """Half a step is the nearest that a target can be met for sure."""
    cross, hollow = table.targets.cross_mm_per_m, table.targets.hollow_mm
    coarse = {
        leg.name: least
        for leg in table.adjusted_legs()
        if (least := 1000 * _step_mm(leg) / 2 / leg.foot_spacing_mm) > cross.tolerance
    }
    if coarse:
        yield _coarse(Quantity.CROSS, tuple(coarse), cross.tolerance, max(coarse.values()))
    least = NUT_QUARTER_MM * table.nuts_by.quarters / 2
    if hollow.tolerance < least and table.brackets:
        names = tuple(bracket.name for bracket in table.brackets)
        yield _coarse(Quantity.HOLLOW, names, hollow.tolerance, least)
    yield from _rise_step(table)


def _rise_step(table: Table) -> Iterator[Infeasible]:
    """Both feet of one end by a quarter move the mean of both ends by half of it."""
    rise, ends = table.targets.rise_mm, end_legs(table)
    if rise is None or ends is None:
        return
    least = max(_step_mm(leg) for leg in ends) / 4
    if rise.tolerance < least:
        yield _coarse(Quantity.RISE, tuple(leg.name for leg in ends), rise.tolerance, least)


def _displays(table: Table) -> Iterator[Infeasible]:
    cross, step = table.targets.cross_mm_per_m, display_step_mm_per_m(table)
    if step is not None and step > cross.tolerance:
        names = tuple(leg.name for leg in table.adjusted_legs())
        yield Infeasible(Cause.DISPLAY, Quantity.CROSS, names, cross.tolerance, step)


def display_step_mm_per_m(table: Table) -> float | None:
    """Give one step of a digital level as a slope, in mm/m; None for a bubble."""
    step = table.kit.display_step_deg
    return None if step is None else 1000 * math.tan(math.radians(step))


def _cards(table: Table) -> Iterator[Infeasible]:
    """Look for a count whose whole interval is in tolerance."""
    if table.adjusted_legs() and not any(_displays(table)) and not _cross_decides(table):
        yield _blind(table)
    if table.brackets and not _hollow_decides(table):
        names = tuple(bracket.name for bracket in table.brackets)
        if table.kit.feelers_mm:
            tolerance = table.targets.hollow_mm.tolerance
            yield Infeasible(Cause.FEELERS, Quantity.HOLLOW, names, tolerance)
        else:
            yield _thick(table, Quantity.HOLLOW, names, _hollow_decides)


def _blind(table: Table) -> Infeasible:
    """Say why no count of a cross level decides: the zero, the cards or the scale."""
    names = tuple(leg.name for leg in table.adjusted_legs())
    if _zero_hides(table):
        tolerance = table.targets.cross_mm_per_m.tolerance
        return Infeasible(Cause.ZERO, Quantity.CROSS, names, tolerance)
    if table.kit.cross_by is Reads.CARDS:
        return _thick(table, Quantity.CROSS, names, _cross_decides)
    return _scale(table)


def _zero_hides(table: Table) -> bool:
    """Whether the same kit could decide if every leg were read both ways round."""
    return _cross_decides(replace(table, kit=replace(table.kit, cross_read=Ways.BOTH)))


def decides(table: Table, quantity: Quantity) -> bool:
    """Say whether some count of the kit lies wholly within a tolerance, cross level or hollow."""
    return _cross_decides(table) if quantity is Quantity.CROSS else _hollow_decides(table)


def _scale(table: Table) -> Infeasible:
    """Say what one box stands for, and whether cards under the same level could decide."""
    kit, tolerance = table.kit, table.targets.cross_mm_per_m.tolerance
    names = tuple(leg.name for leg in table.adjusted_legs())
    carded = replace(table, kit=replace(kit, cross_by=Reads.CARDS))
    card = kit.card_mm if _cross_decides(carded) else None
    step = cross_step_mm_per_m(kit)
    return Infeasible(Cause.SCALE, Quantity.CROSS, names, tolerance, step, None, card)


def _cross_decides(table: Table) -> bool:
    leg = table.adjusted_legs()[0]
    return any(cross_turns(table, leg, count).ok for count in _counts())


def _hollow_decides(table: Table) -> bool:
    return any(hollow_turns(table, table.brackets[0], count).ok for count in _counts())


def _counts() -> Iterator[Count]:
    return (Count(cards) for cards in range(-FURTHEST_CARDS, FURTHEST_CARDS + 1))


def _thick(
    table: Table, quantity: Quantity, names: tuple[str, ...], decides: Callable[[Table], bool]
) -> Infeasible:
    targets = table.targets
    target = targets.cross_mm_per_m if quantity is Quantity.CROSS else targets.hollow_mm
    deciding = _deciding_card(table, decides)
    card = table.kit.card_mm
    return Infeasible(Cause.CARD, quantity, names, target.tolerance, None, card, deciding)


def _deciding_card(table: Table, decides: Callable[[Table], bool]) -> float | None:
    """Find the thickest card in half thousandths of an inch that decides, like uncertainty kept."""
    relative = table.kit.card_u_mm / table.kit.card_mm
    for steps in range(int(table.kit.card_mm / CARD_STEP_MM), 1, -1):
        card = steps * CARD_STEP_MM
        kit = replace(table.kit, card_mm=card, card_u_mm=card * relative)
        if card < table.kit.card_mm and decides(replace(table, kit=kit)):
            return round(card, 4)
    return None


def _step_mm(leg: Leg) -> float:
    return 0.0 if leg.thread is None else leg.thread.pitch_mm / 4


def _coarse(
    quantity: Quantity, names: tuple[str, ...], tolerance: float, least: float
) -> Infeasible:
    return Infeasible(Cause.STEP, quantity, names, tolerance, least)
