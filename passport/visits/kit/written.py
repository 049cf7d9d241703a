"""The answers that give a kit's check, and what the check says in lines."""

from datetime import date
from decimal import Decimal

from passport.quantity_text import (
    FINE,
    SLOPE,
    Resolution,
    Units,
    length_text,
    measured_length,
    measured_slope,
    slope_text,
)
from passport.table import Table
from passport.visits.kit import ids
from passport.visits.kit.interpret import FEELER_MM, STEP_MM, UNIT_MM
from passport.visits.kit.numbers import Measured
from passport.visits.kit.record import KitCheck, Pair
from passport.visits.service import opening, remarks
from scan.reading import Value

LENGTH_FINE = Resolution(FINE.imperial / 10, FINE.metric / 10)
SLOPE_FINE = Resolution(SLOPE.imperial / 10, SLOPE.metric / 10)
PLACES = {"metric": Decimal("0.001"), "imperial": Decimal("0.0001")}
ALONE = (
    "That holds where level and twin bow alike; equal and opposite bows show no gap. A third edge "
    "tells."
)


def answers(check: KitCheck, *, printed_on: date | None = None) -> dict[str, Value]:
    """Give the answers whose reading is this check, in both units; see ``Answers``."""
    given: dict[str, Value] = {**opening.air_answers(check), **remarks.signed(check, printed_on)}
    for units in UNIT_MM:
        for place, mm in zip(ids.PLACES, check.stacks_mm, strict=False):
            written = Decimal(str(mm)) / UNIT_MM[units]
            given[ids.stack(place, units)] = written.quantize(PLACES[units])
        given |= _gaps(check, units)
    for pair, counts in zip(ids.PAIRS, check.reversals, strict=False):
        cards = (count.cards for count in counts)
        given |= dict(zip(ids.reversal(pair), cards, strict=True))
    steps = [word for word, mm in STEP_MM.items() if mm == check.micrometer_step_mm]
    given |= {ids.STEP: steps[0]} if steps else {}
    return given | ({ids.ZERO: True} if check.zero_shown else {})


def _gaps(check: KitCheck, units: str) -> dict[str, Value]:
    given: dict[str, Value] = {}
    for pair, gap in check.gaps.items():
        given[ids.side(pair)] = "middle" if gap.sign > 0 else "ends"
        feelers = (ids.passes(pair, units), gap.passes_mm), (ids.stops(pair, units), gap.stops_mm)
        for field, mm in feelers:
            given[field] = Decimal(str(round(mm, 6)) if mm else "0") / FEELER_MM[units]
            given[field] = given[field].quantize(Decimal(1))  # type: ignore[union-attr]
    return given


def tell(table: Table, check: KitCheck) -> tuple[str, ...]:
    """Say the kit's numbers with their 95 % intervals, and what to write into the description."""
    units = Units(table.units)
    lines = [f"kit: {check.kit.name}; tables that it looks after use these numbers from now on"]
    if check.card is not None:
        lines += _card_lines(check, check.card, units)
    if check.zero is not None:
        way = "right" if check.zero.value >= 0 else "left"
        shown = measured_slope(abs(check.zero.value), check.zero.half_width(), units)
        lines.append(f"level’s zero: shows the {way} low by {shown}, marked end left")
    if check.bow is not None:
        lines.append(f"level’s edge: makes a board look {_bow(check.bow, units)}")
        lines += [] if set(check.gaps) == set(Pair) else [ALONE]
    keys = _described(check, units)
    return (*lines, f"for the table’s description: {keys}") if keys else tuple(lines)


def _described(check: KitCheck, units: Units) -> str:
    """Say the numbers as a description's keys, so that the file says what the store knows."""
    parts = list[str]()
    for key, named, own, text in (
        ("card", "card_uncertainty", check.card, length_text),
        ("level_zero", "level_zero_uncertainty", check.zero, slope_text),
        ("edge_bow", "edge_bow_uncertainty", check.bow, length_text),
    ):
        if own is not None:
            fine = SLOPE_FINE if text is slope_text else LENGTH_FINE
            parts += [f'{key} = "{text(own.value, units, fine)}"']
            parts += [f'{named} = "{text(own.u, units, fine)}"']
    parts += [f"checked = {check.date.isoformat()}"] if parts and check.date else []
    return ", ".join(parts)


def _card_lines(check: KitCheck, card: Measured, units: Units) -> list[str]:
    value = measured_length(card.value, card.half_width(), units, LENGTH_FINE)
    described = length_text(check.kit.card_mm, units, FINE)
    return [f"one card: {value}; described as {described}"]


def _bow(bow: Measured, units: Units) -> str:
    way = "hollower" if bow.value >= 0 else "flatter"
    return f"{way} by {measured_length(abs(bow.value), bow.half_width(), units)}"
