"""Several photos of one page become one reading per field, whatever order they came in.

Sure and empty are assertions: both say what stands on the paper. Photos of the same sheet may help
each other: an assertion beats a doubt, a doubt beats a field outside the picture. When two photos
assert different things about any field of a page, they may show two different sheets with the same
number; then they can't help each other any more, and only what all of them assert alike stays sure.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import fsum

from scan.reading import Reading, Status, Value, Why

Readings = Mapping[str, Reading]
Claim = tuple[str, str, bool | None]  # kind of value, value, ink of a note

_RANK = {Status.SURE: 3, Status.EMPTY: 3, Status.DOUBTFUL: 2, Status.OUTSIDE: 1}


@dataclass(frozen=True)
class Merged:
    """One page from all its photos."""

    readings: Readings
    conflicts: tuple[str, ...]  # fields about which two photos assert different things


def merged(photos: Sequence[Readings]) -> Merged:
    """Bring the photos of one page together; the order of ``photos`` does not matter.

    Parameters
    ----------
    photos : sequence of mappings
        The readings of each photo, by field.

    Returns
    -------
    Merged
        One reading per field, and the fields in conflict, sorted.
    """
    fields = sorted({field for photo in photos for field in photo})
    by_field = {field: [photo[field] for photo in photos if field in photo] for field in fields}
    conflicts = tuple(field for field in fields if len(_asserted(by_field[field])) > 1)
    choose = _of_two_sheets if conflicts else best
    return Merged({field: choose(by_field[field]) for field in fields}, conflicts)


def best(readings: Iterable[Reading]) -> Reading:
    """Choose the reading that says most; equal ones are told apart by their content only."""
    first, *others = readings
    return max(first, *others, key=_order) if others else first


def asserts(reading: Reading) -> bool:
    """Say whether a reading states what stands on the paper."""
    return reading.status in (Status.SURE, Status.EMPTY)


def claim(reading: Reading) -> Claim:
    """Make what a reading says comparable: ``2`` is not ``True``, ``2.50`` is ``2.5``."""
    kind = "empty" if reading.status is Status.EMPTY else type(reading.value).__name__
    return (kind, _plain(reading.value), reading.ink)


def same_ink(one: Readings, other: Readings) -> bool:
    """Say whether two merged pages say the same, field by field."""
    return one.keys() == other.keys() and all(
        one[field].status == other[field].status and claim(one[field]) == claim(other[field])
        for field in one
    )


def _of_two_sheets(readings: Sequence[Reading]) -> Reading:
    """Keep what all assert alike; anything else is a doubt that a person must settle."""
    if all(asserts(reading) for reading in readings) and len(_asserted(readings)) == 1:
        return best(readings)
    guess = best(readings)
    doubt = replace(guess, status=Status.DOUBTFUL, confidence=_shared(readings, guess))
    return replace(doubt, why=Why.FILLS_DIFFER)


def _shared(readings: Sequence[Reading], guess: Reading) -> float:
    """Confidence of the guess when each sheet may be the one that was meant."""
    weights: dict[Claim, float] = {}
    for reading in readings:
        key = claim(reading)
        weights[key] = max(weights.get(key, 0.0), reading.confidence)
    return weights[claim(guess)] / max(1.0, fsum(weights.values()))  # fsum: in any order the same


def _asserted(readings: Iterable[Reading]) -> set[Claim]:
    return {claim(reading) for reading in readings if asserts(reading)}


def _order(reading: Reading) -> tuple[int, float, str]:
    return (_RANK[reading.status], reading.confidence, repr(reading))


def _plain(value: Value) -> str:
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    return repr(value)
