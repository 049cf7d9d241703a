"""One line of the plan: where a station stands, what a turn does, what to expect after it."""

import math
from dataclasses import dataclass

from passport.leveling.advice import Move
from passport.leveling.lines import percent_words, sense_words, target_words
from passport.leveling.spread import Spread
from passport.leveling.surface import Estimate
from passport.table import Steps, Table


@dataclass(frozen=True)
class Line:
    """What a move's line is made of: the station, what to expect there, why."""

    estimate: Estimate
    value: float
    u: float
    why: str
    note: str = ""  # of a part turn that another one follows: what that one is for
    by: Steps = Steps.QUARTERS


def move_of(station: str, part: str, steps: int, condition: str, line: Line) -> Move:
    """Put a turn into a line of work: steps of what, on what finding, and why."""
    estimate = line.estimate
    after, p_in = afterwards(estimate, line.value, line.u)
    end = line.note or f"Chance of being within afterwards: {percent_words(p_in)}"
    quantity = estimate.station.quantity
    return Move(
        station, quantity, part, steps, condition, f"{line.why}. {end}.", after.value, after.u,
        line.by,
    )  # fmt: skip


def afterwards(estimate: Estimate, value: float, u: float) -> tuple[Spread, float]:
    """Give what to expect of a station after the turns, and the chance that it is within."""
    target, even = estimate.station.target, estimate.spread.half if estimate.spread else 0.0
    after = Spread(value, even, math.sqrt(max(0.0, u**2 - even**2 / 3)))
    return after, after.within(target.value - target.tolerance, target.value + target.tolerance)


def stands(table: Table, estimate: Estimate) -> str:
    """Say where a station stands, with its 95 % interval, and what is asked."""
    station, spread = estimate.station, estimate.spread
    asked = f"asked {target_words(table, station.quantity, station.target)}"
    if spread is None:
        return f"As left beyond the cards; {asked}"
    low, high = spread.interval()
    return (
        f"As left {sense_words(table, station.quantity, spread.value, (high - low) / 2)}; {asked}"
    )
