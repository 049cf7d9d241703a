"""How an invented table really stands; nobody in the demo sees it but through counted cards."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from passport.leveling.nut_prior import NUT_QUARTER_MM
from passport.leveling.readings import hollow_reading, rise_reading, slope_reading
from passport.leveling.rises import MIDDLE, line_rise_mm, step_reading
from passport.leveling.supports import spans_mm
from passport.table import Kit, Leg, RiseBy, Table
from passport.visit import Count

# Spread of a table that nobody looked after for a while, and of what moves between visits.
SLOPE_SD_MM_PER_M, HOLLOW_SD_MM, RISE_SD_MM = 1.6, 0.2, 0.7
MOST_SLOPE, LEAST_HOLLOW, MOST_HOLLOW, MOST_RISE = 5, -2, 8, 8  # ends of the printed scales


@dataclass(frozen=True)
class Truth:
    """Cross slopes [mm/m] by leg, hollows [mm] by bracket, rises [mm] by end, nuts by bracket.

    ``nuts`` is what a quarter turn of each really does. [mm]
    """

    slopes: Mapping[str, float]
    hollows: Mapping[str, float]
    rises: Mapping[str, float]
    nuts: Mapping[str, float]


def invented(table: Table, rng: np.random.Generator) -> Truth:
    """Draw a truth for a table."""
    targets = table.targets
    rise = targets.rise_mm
    return Truth(
        {leg.name: rng.normal(0, SLOPE_SD_MM_PER_M) for leg in table.legs},
        {one.name: rng.normal(targets.hollow_mm.value, HOLLOW_SD_MM) for one in table.brackets},
        {end: rng.normal(rise.value, RISE_SD_MM) for end in ("A", "B")} if rise else {},
        {one.name: NUT_QUARTER_MM * rng.lognormal(0, 0.3) for one in table.brackets},
    )


def later(truth: Truth, rng: np.random.Generator) -> Truth:
    """Let a season pass: wood moves, floors settle."""
    common = rng.normal(0.05, 0.03)
    return replace(
        truth,
        slopes={name: value + rng.normal(0, 0.4) for name, value in truth.slopes.items()},
        hollows={
            name: value + common + rng.normal(0, 0.03) for name, value in truth.hollows.items()
        },
        rises={end: value + rng.normal(0, 0.1) for end, value in truth.rises.items()},
    )


def slope_count(table: Table, slope_mm_per_m: float) -> Count:
    """Count the cards that centre the bubble."""
    per_card = slope_reading(table.kit, Count(1)).value or 0.0
    return _signed(slope_mm_per_m / per_card, -MOST_SLOPE, MOST_SLOPE)


def hollow_count(table: Table, hollow_mm: float) -> Count:
    """Count the cards that pass under the middle of the level; a crown is counted at its ends."""
    if table.kit.feelers_mm:
        return _feelers(table, hollow_mm)
    step = hollow_reading(table.kit, table.board.width_mm, Count(1)).low or table.kit.card_mm
    return bounded(int(np.floor(hollow_mm / step)), LEAST_HOLLOW, MOST_HOLLOW)


def _feelers(table: Table, hollow_mm: float) -> Count:
    """Name the thickest feeler that passes, or the thinnest that stops a crown."""
    ends = (LEAST_HOLLOW, len(table.kit.feelers_mm))
    for number in range(LEAST_HOLLOW, ends[1]):
        count = Count(number, number in ends)
        high = hollow_reading(table.kit, table.board.width_mm, count).high
        if high is not None and hollow_mm < high:
            return count
    return Count(ends[1], bound=True)


def rise_count(table: Table, end: str, rise_mm: float) -> Count:
    """Count the cards under the inner end of a level that lies lengthwise at an end.

    By steps those of all of them, a sum without a bound.
    """
    leg = end_leg(table, end)
    span = abs(table.board.length_mm / 2 - leg.x_mm)
    if table.kit.rise_by is RiseBy.STEPS:
        return Count(round(rise_mm / step_reading(table.kit, span, 0, Count(1)).value))
    per_card = rise_reading(table.kit, span, Count(1)).value or 1.0
    return _signed(rise_mm / per_card, -2, MOST_RISE)


LASER_HEIGHT_MM = 100.0  # of the line over the board's middle


def looks(table: Table, rises: Mapping[str, float]) -> dict[str, Count]:
    """Read a taut line's gap at the middle, or a laser's heights, in steps of its scale."""
    kit, (a, b) = table.kit, (rises["A"], rises["B"])
    if kit.line is not None:
        spans = spans_mm(table)
        share = spans[0] / sum(spans)
        line = (1 - share) * a + share * b
        return {MIDDLE: Count(round((line - line_rise_mm(kit.line, spans, 0.0)) / _step(kit)))}
    heights = {"A": LASER_HEIGHT_MM - a, MIDDLE: LASER_HEIGHT_MM, "B": LASER_HEIGHT_MM - b}
    return {place: Count(round(height / _step(kit))) for place, height in heights.items()}


def middle_of(found: Mapping[str, Count]) -> Count:
    """Give the one number that is looked up: the gap, or the middle less half of both ends."""
    ends = [found[end].cards for end in ("A", "B") if end in found]
    return Count(round(found[MIDDLE].cards - sum(ends) / 2))


def _step(kit: Kit) -> float:
    gauge = kit.line or kit.laser
    return gauge.step_mm if gauge else 1.0


def turned_foot(table: Table, truth: Truth, leg: Leg, feet: tuple[int, int]) -> Truth:
    """Turn a leg's left and right foot by quarters; up is positive."""
    pitch = leg.thread.pitch_mm if leg.thread else 0.0
    change = (feet[0] - feet[1]) * pitch / 4 / leg.foot_spacing_mm * 1000
    return replace(truth, slopes={**truth.slopes, leg.name: truth.slopes[leg.name] + change})


def turned_nut(truth: Truth, bracket: str, quarters: float) -> Truth:
    """Turn a bracket's inner nut by quarters; hollower is positive."""
    change = quarters * truth.nuts[bracket]
    return replace(truth, hollows={**truth.hollows, bracket: truth.hollows[bracket] + change})


def turned_end(table: Table, truth: Truth, end: str, quarters: int) -> Truth:
    """Turn both feet of an end leg by quarters; up is positive."""
    leg = end_leg(table, end)
    change = quarters * (leg.thread.pitch_mm if leg.thread else 0.0) / 4
    return replace(truth, rises={**truth.rises, end: truth.rises[end] + change})


def end_leg(table: Table, end: str) -> Leg:
    """Find the leg at an end."""
    return table.legs[0] if end == "A" else table.legs[-1]


def _signed(cards: float, low: int, high: int) -> Count:
    return bounded(round(cards), low, high)


def bounded(cards: int, low: int, high: int) -> Count:
    """Hold a count to the boxes of its scale; the outer ones are bounds."""
    held = max(low, min(high, cards))
    return Count(held, held in (low, high))
