"""What a confidence is worth: one table over marks and numbers, doubtful guesses included."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from reading.sheets import Outcome, Sheet

EDGES = (0.0, 0.65, 0.9, 0.995, 0.9985, 0.9995)  # where bins of confidence begin
ENOUGH = 300  # readings of a bin; one with fewer is joined to the next below
RESAMPLES = 1000
NO_MEANING = ("TwoMarks", "ScribbledOut")  # slips that leave nothing to be right about
KNOWN = ("sure", "empty", "doubtful")

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Bin:
    """Readings of about one confidence, from ``edge`` on.

    ``low`` is a lower 95 % bound of the share that is right: the lower one of resampling writers,
    each with all their photos, and of resampling photos; readings of one hand are not independent.
    """

    edge: float
    count: int
    said: float
    right: float
    low: float


@dataclass(frozen=True)
class Judged:
    """Readings that make a claim: (N,) confidence, whether right, writer, photo."""

    said: Floats
    right: Floats
    writer: NDArray[np.int64]
    photo: NDArray[np.int64]

    def __len__(self) -> int:
        return len(self.said)

    def where(self, chosen: NDArray[np.bool_]) -> "Judged":
        return Judged(
            self.said[chosen], self.right[chosen], self.writer[chosen], self.photo[chosen]
        )


def judged(sheet: Sheet) -> Iterator[Outcome]:
    """Pick what makes a claim: no page given up, no ink without one meaning."""
    return (o for o in sheet.outcomes if o.status in KNOWN and o.slip not in NO_MEANING)


def all_judged(sheets: Sequence[Sheet]) -> Judged:
    """Put the readings of all photos side by side; a photo is told by its place in the list."""
    rows = [
        (one.confidence, one.right, sheet.writer, at)
        for at, sheet in enumerate(sheets)
        for one in judged(sheet)
    ]
    said, right, writer, photo = np.array(rows, np.float64).reshape(-1, 4).T
    return Judged(said, right, writer.astype(np.int64), photo.astype(np.int64))


def reliability(sheets: Sequence[Sheet]) -> tuple[Bin, ...]:
    """Compare confidence with how often it was right."""
    rows = all_judged(sheets)
    which = np.digitize(rows.said, EDGES[1:])
    starts = _joined([int((which == number).sum()) for number in range(len(EDGES))])
    ends = [*starts[1:], len(EDGES)]
    return tuple(
        _bin(EDGES[start], rows.where((which >= start) & (which < end)))
        for start, end in zip(starts, ends, strict=True)
        if ((which >= start) & (which < end)).any()
    )


def _joined(counts: Sequence[int]) -> list[int]:
    """Numbers of the bins where one begins that holds enough, together with those behind it."""
    starts, held = [], 0
    for number in reversed(range(len(counts))):
        held += counts[number]
        if held >= ENOUGH or number == 0:
            starts.append(number)
            held = 0
    starts.reverse()
    small = len(starts) > 1 and sum(counts[: starts[1]]) < ENOUGH
    return [0, *starts[2:]] if small else starts


def _bin(edge: float, rows: Judged) -> Bin:
    low = min(_lowest(rows.right, of) for of in (rows.writer, rows.photo))
    return Bin(edge, len(rows), float(rows.said.mean()), float(rows.right.mean()), low)


def _lowest(right: Floats, of: NDArray[np.int64]) -> float:
    """Lower 95 % bound of the share that is right, by resampling whole clusters."""
    _, which = np.unique(of, return_inverse=True)
    counts, hits = np.bincount(which), np.bincount(which, right)
    picks = np.random.default_rng(1).multinomial(
        len(counts), np.full(len(counts), 1 / len(counts)), size=RESAMPLES
    )
    return float(np.quantile((picks @ hits) / (picks @ counts), 0.05))


def log_loss(sheets: Sequence[Sheet]) -> tuple[float, float]:
    """Mean surprise of the confidences, and of the best constant in their place [nat]."""
    rows = all_judged(sheets)
    said = np.clip(rows.said, 1e-6, 1 - 1e-6)
    base = np.clip(rows.right.mean(), 1e-9, 1 - 1e-9)
    own = -(rows.right * np.log(said) + (1 - rows.right) * np.log(1 - said)).mean()
    constant = -(base * np.log(base) + (1 - base) * np.log(1 - base))
    return float(own), float(constant)
