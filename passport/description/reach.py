"""Tolerances that steps, cards or a display can't serve, as problems of a description."""

from collections.abc import Callable, Iterator
from fractions import Fraction

from passport.description.errors import (
    CardsTooThick,
    DescriptionProblem,
    DisplayTooCoarse,
    FeelersTooFarApart,
    ScaleTooCoarse,
    StepsTooCoarse,
    ZeroTooUnsure,
)
from passport.description.kit import Aims
from passport.leveling.advice import Quantity
from passport.leveling.feasibility import Cause, Infeasible, unreachable
from passport.leveling.lines import COVERAGE_FACTOR
from passport.leveling.readings import level_zero
from passport.quantity import INCH_MM
from passport.quantity_text import (
    FINE,
    SLOPE,
    Resolution,
    Units,
    length_both,
    length_text,
    slope_text,
)
from passport.table import Steps, Table

KEYS = {
    Quantity.CROSS: "cross_tolerance",
    Quantity.HOLLOW: "hollow_tolerance",
    Quantity.RISE: "rise_tolerance",
}
IN_PER_FT_MM_PER_M = Fraction(1000, 12)


def reach_problems(table: Table, aims: Aims) -> Iterator[DescriptionProblem]:
    """Say of each tolerance that can't be served what stands in its way, and the cure."""
    for found in unreachable(table):
        key = KEYS[found.quantity]
        told = (aims.section.path(key), _tolerance(table, aims, found), _names(found.stations))
        yield _problem(table, found, told)


def _problem(table: Table, found: Infeasible, told: tuple[str, str, str]) -> DescriptionProblem:
    key, tolerance, stations = told
    if found.cause is Cause.ZERO:
        reach = COVERAGE_FACTOR * level_zero(table.kit).u
        return ZeroTooUnsure(key, tolerance, stations, slope_text(reach, Units(table.units), SLOPE))
    if found.cause in (Cause.CARD, Cause.FEELERS):
        return _counts(table, found, told)
    if found.cause is Cause.SCALE:
        step, by = _at_least(found, Units(table.units)), table.kit.cross_by.counted
        return ScaleTooCoarse(key, tolerance, (step, by), _cards(table, found)[1])
    least = _at_least(found, Units(table.units))
    if found.cause is Cause.DISPLAY:
        return DisplayTooCoarse(key, tolerance, least)
    by = table.nuts_by if found.quantity is Quantity.HOLLOW else Steps.QUARTERS
    return StepsTooCoarse(key, tolerance, (by.many, stations), least)


def _counts(table: Table, found: Infeasible, told: tuple[str, str, str]) -> DescriptionProblem:
    if found.cause is Cause.CARD:
        return CardsTooThick(*told, _cards(table, found))
    asked = length_both(table.targets.hollow_mm.value, Units(table.units), FINE)
    return FeelersTooFarApart(*told, asked)


def _tolerance(table: Table, aims: Aims, found: Infeasible) -> str:
    """Show a tolerance as written; as printed where it was assumed from the whole table."""
    key, units = KEYS[found.quantity], Units(table.units)
    if key in aims.section.written:
        return aims.section.quoted(key)
    return f"'{length_text(found.tolerance, units, FINE)}' (assumed)"


def _cards(table: Table, found: Infeasible) -> tuple[str, str | None]:
    """Print the card as described, and one that could decide if there is any."""
    units = Units(table.units)
    card = length_both(table.kit.card_mm, units, FINE)
    thinner = found.deciding_card_mm
    return card, None if thinner is None else length_both(thinner, units, FINE)


def _at_least(found: Infeasible, units: Units) -> str:
    """Print the least tolerance in both systems, rounded up: what is printed can be written."""
    least = Fraction(found.least or 0)
    if found.quantity is Quantity.CROSS:
        return _both_up(least, units, slope_text, (SLOPE, IN_PER_FT_MM_PER_M))
    return _both_up(least, units, length_text, (FINE, INCH_MM))


def _both_up(
    value: Fraction,
    units: Units,
    text: Callable[[Fraction, Units, Resolution], str],
    steps: tuple[Resolution, Fraction],
) -> str:
    resolution, imperial = steps
    size = {Units.METRIC: resolution.metric, Units.IMPERIAL: resolution.imperial * imperial}
    up = {unit: -(-value // step) * step for unit, step in size.items()}
    first, second = (text(up[unit], unit, resolution) for unit in (units, units.other))
    return f"{first} ({second})"


def _names(stations: tuple[str, ...]) -> str:
    """List a few by name; more than three are all brackets of the table, in order."""
    *others, last = stations
    if len(others) > 2:
        return f"{stations[0]} to {last}"
    return f"{', '.join(others)} and {last}" if others else last
