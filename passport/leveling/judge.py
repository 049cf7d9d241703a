"""Verdict per station: in, out, or undecided with the reading that would settle it.

References
----------
JCGM 106:2012: a value is in tolerance when the probability of that is at least a stated level.
"""

from dataclasses import dataclass

from passport.leveling.advice import Quantity, StationState, Verdict
from passport.leveling.lines import (
    count_words,
    hollow_count_words,
    percent_words,
    rise_count_words,
    sense_words,
    target_words,
)
from passport.leveling.rises import PLACES
from passport.leveling.spread import Spread
from passport.leveling.surface import Estimate
from passport.table import Reads, RiseBy, Table

IN_FROM = 0.95  # probability of being in tolerance
OUT_UPTO = 0.05
_ONE_SIDED = 1.959964  # standard deviations that leave 2.5 % beyond

SETTLED_BY = {
    Quantity.CROSS: "Read it both ways round and use the middle.",
    Quantity.HOLLOW: "Measure the gap under the middle with feeler gauges.",
    Quantity.RISE: "Read both ends again with thinner cards, the level the same way round.",
}
SETTLED_BOTH_WAYS = {
    Reads.CARDS: "Read it again with thinner cards, both ways round.",
    Reads.DIVISIONS: "Read it again with a finer level, both ways round.",
    Reads.DISPLAY: "Read it again with a finer level, both ways round.",
}
SETTLED_RISE = {
    RiseBy.LEVEL: SETTLED_BY[Quantity.RISE],
    RiseBy.STEPS: "Step along both ends again with thinner cards, the level the same way round.",
    RiseBy.LINE: "Read the gap again with feelers; weigh the line and what hangs on it.",
    RiseBy.LASER: "Step a level along both ends, or read a taut line with its sag.",
}
SETTLED_BOUND = {
    Quantity.CROSS: "Turn until the bubble is centred and write the quarter turns.",
    Quantity.HOLLOW: "Turn by the look-up and measure again.",
    Quantity.RISE: "Turn by the look-up and measure both ends again.",
}


def judge(table: Table, estimate: Estimate) -> StationState:
    """Judge one station.

    Parameters
    ----------
    table : Table
        For its units.
    estimate : Estimate
        Value with its uncertainty, a bound, or a gap.

    Returns
    -------
    StationState
        With the probability of being in tolerance; without one for a bound, which says at most
        where to look.
    """
    if estimate.gap is not None:
        return _gap(estimate)
    return _bound(table, estimate) if estimate.spread is None else _value(table, estimate)


def is_in(estimate: Estimate) -> bool:
    """Say whether a station is in tolerance, as ``judge`` does."""
    if estimate.gap is not None or estimate.spread is None:
        return False
    return verdict_of(_chance_in(estimate.spread, estimate)) is Verdict.IN


def _chance_in(spread: Spread, estimate: Estimate) -> float:
    target = estimate.station.target
    return spread.within(target.value - target.tolerance, target.value + target.tolerance)


def verdict_of(p_in: float) -> Verdict:
    """Turn a probability of being in tolerance into a verdict."""
    if p_in >= IN_FROM:
        return Verdict.IN
    return Verdict.OUT if p_in <= OUT_UPTO else Verdict.UNDECIDED


def table_verdict(states: tuple[StationState, ...]) -> Verdict:
    """Judge the table: out by one station out, in by all in, else undecided or not measured."""
    verdicts = {state.verdict for state in states}
    if Verdict.OUT in verdicts:
        return Verdict.OUT
    if verdicts <= {Verdict.UNKNOWN}:
        return Verdict.UNKNOWN
    return Verdict.IN if verdicts == {Verdict.IN} else Verdict.UNDECIDED


def _value(table: Table, estimate: Estimate) -> StationState:
    spread = estimate.spread
    assert spread is not None
    p_in = _chance_in(spread, estimate)
    low, high = spread.interval()
    verdict = verdict_of(p_in)
    quantity = estimate.station.quantity
    said = sense_words(table, quantity, spread.value, (high - low) / 2)
    why = f"{_read(table, estimate)}: {said} (95 %); {_asked(table, estimate)}."
    if verdict is Verdict.UNDECIDED:
        settled = _settled_by(estimate, table.kit.cross_by)
        why += f" Chance of being within: {percent_words(p_in)}. {settled}"
    known = _Known(spread.value, spread.u, (low, high), p_in)
    return _state(estimate, known, verdict, why)


def _settled_by(estimate: Estimate, by: Reads) -> str:
    """Name the reading that would settle it; a level already reversed needs finer counts."""
    quantity = estimate.station.quantity
    if quantity is Quantity.RISE and estimate.kit is not None:
        return SETTLED_RISE[estimate.kit.rise_by]
    if quantity is Quantity.CROSS and estimate.reversed_already:
        return SETTLED_BOTH_WAYS[by]
    return SETTLED_BY[quantity]


def _bound(table: Table, estimate: Estimate) -> StationState:
    """Judge an open count: it decides nothing, however far it is from the target."""
    known = _Known(None, None, _open_ends(estimate, estimate.normal), None)
    return _state(estimate, known, Verdict.UNDECIDED, _bound_why(table, estimate))


def _open_ends(estimate: Estimate, normal: float) -> tuple[float | None, float | None]:
    reach = _ONE_SIDED * normal
    low = None if estimate.low is None else estimate.low - reach
    return low, None if estimate.high is None else estimate.high + reach


def _bound_why(table: Table, estimate: Estimate) -> str:
    quantity = estimate.station.quantity
    return f"{_read(table, estimate)}; {_asked(table, estimate)}. {SETTLED_BOUND[quantity]}"


def _gap(estimate: Estimate) -> StationState:
    known = _Known(None, None, (None, None), None)
    return _state(estimate, known, Verdict.UNKNOWN, f"{str(estimate.gap).capitalize()}.")


@dataclass(frozen=True)
class _Known:
    """Value, standard uncertainty, 95 % ends, probability of being in tolerance."""

    value: float | None
    u: float | None
    ends: tuple[float | None, float | None]
    p_in: float | None


def _state(estimate: Estimate, known: _Known, verdict: Verdict, why: str) -> StationState:
    station = estimate.station
    return StationState(
        station.name,
        station.x_mm,
        station.quantity,
        known.value,
        known.u,
        *known.ends,
        station.target.value,
        station.target.tolerance,
        known.p_in,
        verdict,
        why,
    )


def _read(table: Table, estimate: Estimate) -> str:
    """Say the counts; those of a rise with their ends."""
    quantity = estimate.station.quantity
    kit = estimate.kit or table.kit
    if quantity is Quantity.RISE:
        pairs = zip(PLACES[kit.rise_by], estimate.counts, strict=True)
        return "; ".join(f"{at}: {rise_count_words(table, kit, count)}" for at, count in pairs)
    if quantity is Quantity.HOLLOW:
        return hollow_count_words(table, kit, estimate.counts[0])
    said = [count_words(quantity, count, kit.cross_by) for count in estimate.counts]
    if quantity is Quantity.CROSS and len(said) > 1:
        return f"{said[0]}; turned round {said[1]}"
    return said[0]


def _asked(table: Table, estimate: Estimate) -> str:
    quantity, target = estimate.station.quantity, estimate.station.target
    return f"asked {target_words(table, quantity, target)}"
