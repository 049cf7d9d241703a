"""Handwritten digits: one a box, joined to a number, checked against its witnesses."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import prod

import numpy as np

from forms.field import Digits
from scan.cells import Cell
from scan.expected import expected_chances
from scan.guards import GUARDS, Guards, Held
from scan.network import Guess
from scan.reading import Reading, Status, Value, Why

STRANGE = 0.75  # share of numbers with a shape unlike a digit that are right all the same


def read_number(
    field: Digits, cells: Sequence[Cell], guesses: Sequence[Guess], guards: Guards = GUARDS
) -> Reading:
    """Join the boxes of a number, without its sign.

    Parameters
    ----------
    field : Digits
        How many stand behind the point, and in which bounds it lies.
    cells : sequence of Cell
        Most significant first.
    guesses : sequence of Guess
        One for each cell that holds a shape, in the same order.
    guards : Guards, optional
        The least chance of each digit.
    """
    if all(cell.is_blank for cell in cells):
        return Reading(Status.EMPTY, None, 0.9995)
    hole = _hole(cells)
    if hole is not None:
        return Reading(Status.DOUBTFUL, None, 0.5, hole)
    value = number(guesses, field.decimals)
    chance = prod(guess.chance for guess in guesses)
    if not all(guess.like_a_digit for guess in guesses):
        return Reading(Status.DOUBTFUL, value, min(STRANGE, chance), Why.SHAPE_UNKNOWN)
    if min(guess.chance for guess in guesses) < guards.digit_chance:
        return Reading(Status.DOUBTFUL, value, chance, Why.DIGIT_UNCLEAR)
    return Reading(Status.SURE, value, chance)


def _hole(cells: Sequence[Cell]) -> Why | None:
    """Say why boxes make no number: one behind a written one is empty, or too faint to tell."""
    written = [at for at, cell in enumerate(cells) if not cell.is_blank]
    if written != list(range(written[0], len(cells))):
        return Why.GAP
    return Why.FAINT if any(cells[at].glyph is None for at in written) else None


def number(guesses: Sequence[Guess], decimals: int) -> Decimal:
    """Set digits to a number with ``decimals`` of them behind the point."""
    return Decimal((0, tuple(guess.digit for guess in guesses), -decimals))


def checked(
    field: Digits,
    reading: Reading,
    others: Mapping[str, Reading],
    guards: Guards = GUARDS,
    guesses: Sequence[Guess] = (),
) -> Reading:
    """Hold a number against its sign, bounds, witness and expectation.

    None of them picks a digit: they confirm, or turn what was sure into a doubt. ``guesses`` are
    those of its digits; without them an unclear digit stays a doubt.
    """
    if reading.status is Status.OUTSIDE:
        return reading
    if reading.status is Status.EMPTY or reading.value is None:
        return _unless_witnessed(field, reading, others)
    signed = _signed(field, reading, others)
    faults = (
        _range_fault(field, signed),
        _witness_fault(field, signed, others) if guards.witness is Held.TOGETHER else None,
        _expectation_fault(field, signed, guards.expectation),
    )
    why = next((fault for fault in faults if fault is not None), None)
    if why is not None:
        return doubted(signed, why)
    return _confirmed(field, signed, guesses, _witness_of(field, signed, others), guards)


def doubted(reading: Reading, why: Why) -> Reading:
    """Turn a sure reading into a doubt; a doubt keeps its first reason."""
    if reading.status is not Status.SURE:
        return reading
    return replace(
        reading, status=Status.DOUBTFUL, why=why, confidence=min(reading.confidence, 0.5)
    )


def _unless_witnessed(field: Digits, reading: Reading, others: Mapping[str, Reading]) -> Reading:
    """Take empty boxes for empty, unless the witness or the sign says that something was meant."""
    named = [others[name] for name in (field.witness, field.sign) if name and name in others]
    if reading.status is Status.EMPTY and any(_is_written(other) for other in named):
        return Reading(Status.DOUBTFUL, None, 0.5, Why.WITNESS)
    return reading


def _is_written(reading: Reading) -> bool:
    return reading.status not in (Status.EMPTY, Status.OUTSIDE)


def _signed(field: Digits, reading: Reading, others: Mapping[str, Reading]) -> Reading:
    sign = others.get(field.sign) if field.sign else None
    if sign is None or not isinstance(reading.value, Decimal) or reading.value == 0:
        return reading
    signed = replace(reading, value=-reading.value) if sign.value == "-" else reading
    if sign.status is Status.SURE:
        return replace(signed, confidence=signed.confidence * sign.confidence)
    why = Why.NO_SIGN if sign.status in (Status.EMPTY, Status.OUTSIDE) else sign.why
    return doubted(signed, why or Why.NO_SIGN)


def _range_fault(field: Digits, reading: Reading) -> Why | None:
    value = reading.value
    bounded = field.low < field.high and isinstance(value, Decimal)
    if bounded and not field.low <= float(value) <= field.high:  # type: ignore[arg-type]
        return Why.OUT_OF_RANGE
    return None


def _witness_fault(field: Digits, reading: Reading, others: Mapping[str, Reading]) -> Why | None:
    witness = others.get(field.witness) if field.witness else None
    if witness is not None and witness.status is Status.SURE:
        return None if says_the_same(reading.value, witness.value) else Why.WITNESS
    if witness is not None:
        return Why.WITNESS
    return _sum_fault(field, reading, others)


def _sum_fault(field: Digits, reading: Reading, others: Mapping[str, Reading]) -> Why | None:
    total = sum_of(field, others)
    return None if total is None or total == reading.value else Why.WITNESS


def _expectation_fault(field: Digits, reading: Reading, most: float) -> Why | None:
    if field.expect is None or not isinstance(reading.value, Decimal):
        return None
    away = abs(float(reading.value) - field.expect.value)
    step = 10.0**-field.decimals
    return Why.UNEXPECTED if away > most * float(np.hypot(field.expect.u, step)) else None


def says_the_same(value: Value, witness: Value) -> bool:
    """Compare a number with its witness.

    A witness that is text is a ladder: its value is the number's last digit.
    """
    if isinstance(witness, str) and len(witness) == 1 and isinstance(value, Decimal):
        return str(abs(value).as_tuple().digits[-1]) == witness
    try:
        return Decimal(str(witness)) == value
    except ArithmeticError:
        return False


def sum_of(field: Digits, others: Mapping[str, Reading]) -> Decimal | None:
    """Add up the fields that must make this one; None if one of them has no value."""
    parts = [others[name].value for name in field.sum_of if name in others]
    numbers = [Decimal(str(part)) for part in parts if isinstance(part, int | Decimal)]
    whole = field.sum_of and len(numbers) == len(field.sum_of)
    return sum(numbers, Decimal(0)) if whole else None


@dataclass(frozen=True)
class _Witness:
    """What agrees with a number: the chance that it is wrong, and how many last digits it shows."""

    error: float
    digits: int


def _witness_of(field: Digits, reading: Reading, others: Mapping[str, Reading]) -> _Witness | None:
    """Find what says the same as a number and is sure itself."""
    witness = others.get(field.witness) if field.witness else None
    if witness is not None and witness.status is Status.SURE:
        is_ladder = isinstance(witness.value, str)
        return _Witness(1 - witness.confidence, 1 if is_ladder else len(field.boxes))
    parts = [others[name] for name in field.sum_of if name in others]
    agrees = sum_of(field, others) == reading.value
    if agrees and parts and all(part.status is Status.SURE for part in parts):
        return _Witness(1 - prod(part.confidence for part in parts), len(field.boxes))
    return None


def _confirmed(
    field: Digits,
    reading: Reading,
    guesses: Sequence[Guess],
    witness: _Witness | None,
    guards: Guards,
) -> Reading:
    """Let what agrees with a number lift its digits, if each passes a gate of its own."""
    if reading.why is not Why.DIGIT_UNCLEAR or not guesses:
        return reading
    alone = [guess.chance for guess in guesses]
    sign = -1 if isinstance(reading.value, Decimal) and reading.value < 0 else 1
    known = expected_chances(field, guesses, sign)
    shown = _shown(alone, witness, guards)
    chances = [
        own if own >= guards.digit_chance else max(by, also if own >= guards.expected_chance else 0)
        for own, by, also in zip(alone, shown, known, strict=True)
    ]
    if min(chances) < guards.digit_chance:
        return reading
    return replace(reading, status=Status.SURE, why=None, confidence=prod(chances))


def _shown(alone: Sequence[float], witness: _Witness | None, guards: Guards) -> list[float]:
    """Chance of each digit with a witness; 0 for mere guesses and what the witness does not show.

    Digit and witness err apart from each other: both show the same wrong digit only if the witness
    is wrong too, and then in one of nine cases.
    """
    if witness is None:
        return [0.0] * len(alone)
    first = len(alone) - witness.digits
    return [
        own / (own + (1 - own) * witness.error / 9)
        if at >= first and own >= guards.witnessed_chance
        else 0.0
        for at, own in enumerate(alone)
    ]
