"""What all sheets together say: errors, doubts, pages given up, and what a confidence is worth.

As a program::

    python -m reading.report LINES.jsonl
"""

import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, fields
from pathlib import Path

import numpy as np
from reading.sheets import ASSERTED, GRADES, Outcome, Sheet, lines_of
from scipy.stats import beta

from passport.booth.grades import Span

EDGES = (0.0, 0.55, 0.65, 0.99, 0.9985, 0.9995, 1.0)  # of the bins of confidence
RESAMPLES = 300
NO_MEANING = ("TwoMarks", "ScribbledOut")  # slips that leave nothing to be right about
Line = Callable[[str], None]


@dataclass(frozen=True)
class Count:
    """Fields of one kind in one grade.

    ``doubted`` counts those that wait, of ``clean`` ones: plausible and without a slip. Fields of
    a page that was given up all wait.
    """

    grade: str
    kind: str
    fields: int
    asserted: int
    silent: int
    clean: int
    doubted: int

    @property
    def doubt_share(self) -> float:
        return self.doubted / max(self.clean, 1)

    @property
    def silent_at_most(self) -> float:
        return upper(self.silent, self.asserted)


def upper(found: int, of: int) -> float:
    """Upper 95 % bound of a share, exact (Clopper and Pearson 1934)."""
    return 1.0 if found >= of else float(beta.ppf(0.95, found + 1, of - found))


def count(sheets: Sequence[Sheet], grade: str, kind: str) -> Count:
    pairs = [
        (sheet, one)
        for sheet in sheets
        if sheet.grade == grade
        for one in sheet.outcomes
        if one.kind == kind
    ]
    clean = [one for sheet, one in pairs if not sheet.anything and not one.slip]
    asserted = sum(one.status in ASSERTED for _, one in pairs)
    silent = sum(one.silent for _, one in pairs)
    doubted = sum(one.status not in ASSERTED for one in clean)
    return Count(grade, kind, len(pairs), asserted, silent, len(clean), doubted)


def causes(sheets: Iterable[Sheet], grade: str) -> list[str]:
    """Count why fields of a grade wait that are plausible and without a slip, most frequent first.

    A field that waits because it is not in the picture, or of a page given up, says only that.
    """
    waits = Counter(
        f"{one.kind} {one.why or one.status}"
        for sheet in sheets
        if sheet.grade == grade and not sheet.anything
        for one in sheet.outcomes
        if not one.slip and one.status not in ASSERTED
    )
    return [f"{cause} {count}" for cause, count in waits.most_common()]


def given_up(sheets: Iterable[Sheet], grade: str) -> tuple[int, int]:
    """Count the pages of a grade that were not read, and all of them."""
    mine = [sheet for sheet in sheets if sheet.grade == grade]
    return sum(not sheet.read for sheet in mine), len(mine)


@dataclass(frozen=True)
class Bin:
    """Readings of about one confidence: ``low`` is a 95 % bound by resampling writers."""

    edge: float
    count: int
    said: float
    right: float
    low: float


def reliability(sheets: Sequence[Sheet]) -> tuple[Bin, ...]:
    """Compare confidence with how often it was right, doubtful guesses included."""
    rows = np.array(
        [(s.writer, one.confidence, one.right) for s in sheets for one in judged(s)], dtype=float
    ).reshape(-1, 3)
    which = np.digitize(rows[:, 1], EDGES[1:-1])
    return tuple(_bin(EDGES[number], rows[which == number]) for number in np.unique(which))


def judged(sheet: Sheet) -> Iterator[Outcome]:
    """Pick what makes a claim: no page given up, no ink without one meaning."""
    known = ("sure", "empty", "doubtful")
    return (o for o in sheet.outcomes if o.status in known and o.slip not in NO_MEANING)


def _bin(edge: float, rows: np.ndarray) -> Bin:
    """Resample writers, each with all their photos: readings of one hand are not independent."""
    writers = np.unique(rows[:, 0])
    per = np.array([(rows[rows[:, 0] == w, 2].sum(), (rows[:, 0] == w).sum()) for w in writers])
    rng = np.random.default_rng(1)
    picks = per[rng.integers(len(per), size=(RESAMPLES, len(per)))].sum(axis=1)
    low = float(np.quantile(picks[:, 0] / picks[:, 1], 0.05))
    return Bin(edge, len(rows), float(rows[:, 1].mean()), float(rows[:, 2].mean()), low)


def log_loss(sheets: Sequence[Sheet]) -> tuple[float, float]:
    """Mean surprise of the confidences, and of the best constant in their place [nat]."""
    rows = [(one.confidence, one.right) for sheet in sheets for one in judged(sheet)]
    said, right = (np.array(column, float) for column in zip(*rows, strict=True))
    said = np.clip(said, 1e-6, 1 - 1e-6)
    base = np.clip(right.mean(), 1e-9, 1 - 1e-9)
    own = -(right * np.log(said) + (1 - right) * np.log(1 - said)).mean()
    constant = -(base * np.log(base) + (1 - base) * np.log(1 - base))
    return float(own), float(constant)


def tell(sheets: Sequence[Sheet], line: Line) -> None:
    """Print everything."""
    _tell_who(sheets, line)
    for grade in GRADES:
        spans = ((f.name, getattr(grade, f.name)) for f in fields(grade))
        numbers = ", ".join(f"{n} {s.low:g}–{s.high:g}" for n, s in spans if isinstance(s, Span))
        lost, pages = given_up(sheets, grade.name)
        line(f"{grade.name}: {numbers}")
        line(f"  pages {pages}, given up {lost}")
        for kind in ("mark", "digits"):
            _tell_count(count(sheets, grade.name, kind), line)
    _tell_confidence(sheets, line)
    for model in sorted({sheet.model for sheet in sheets}):
        _tell_model([sheet for sheet in sheets if sheet.model == model], model, line)
    _tell_slips(sheets, line)
    _tell_causes(sheets, line)


def written(sheets: Iterable[Sheet]) -> list[tuple[Sheet, Outcome]]:
    """Numbers that were written, however."""
    return [
        (sheet, one)
        for sheet in sheets
        for one in sheet.outcomes
        if one.kind == "digits" and one.meant != "None"
    ]


def _tell_model(sheets: Sequence[Sheet], model: str, line: Line) -> None:
    """Numbers by who wrote them: "people" are open data of another origin than the training's."""
    plain = [(sheet, one) for sheet, one in written(sheets) if not one.slip]
    if plain:
        line(f"numbers by {model}: {_in_words([one for _, one in plain])}")
        for name in (grade.name for grade in GRADES):
            line(f"  {name}: {_in_words([one for sheet, one in plain if sheet.grade == name])}")


def _in_words(numbers: Sequence[Outcome]) -> str:
    said = [one for one in numbers if one.status in ASSERTED]
    silent = sum(one.silent for one in said)
    right = sum(one.right for one in numbers)
    left = 1 - len(said) / max(len(numbers), 1)
    return (
        f"{len(numbers)} written, best guess right {right}, left to a person {left:.1%}, sure "
        f"{len(said)}, of those wrong {silent} (at most {upper(silent, len(said)):.3%} at 95 %)"
    )


def _tell_slips(sheets: Sequence[Sheet], line: Line) -> None:
    every = [one for _, one in written(sheets)]
    for slip in sorted({one.slip for one in every} - {""}):
        line(f"numbers with a digit {slip}: {_in_words([o for o in every if o.slip == slip])}")


def _tell_causes(sheets: Sequence[Sheet], line: Line) -> None:
    every = [one for sheet in sheets for one in sheet.outcomes]
    for grade in GRADES:
        waits = causes(sheets, grade.name)
        line(f"why plain plausible fields wait, {grade.name}: " + ", ".join(waits))
    slips = Counter(one.slip for one in every if one.slip and one.status not in ASSERTED)
    line(f"slips that wait: {dict(slips)} of {dict(Counter(o.slip for o in every if o.slip))}")
    wrong = Counter(one.slip or "no slip" for one in every if one.silent)
    line(f"silent errors by how the hand slipped: {dict(wrong)}")
    lost = Counter(code for sheet in sheets if not sheet.read for code in sheet.problems)
    line(f"why pages were given up: {dict(lost)}")


def _tell_who(sheets: Sequence[Sheet], line: Line) -> None:
    glyphs = Counter(name for sheet in sheets for name in sheet.glyphs)
    writers, models = {s.writer for s in sheets}, Counter(s.model for s in sheets)
    line(f"{len(sheets)} photos, {len(writers)} writers; photos by model: {dict(models)}")
    line(f"pens: {dict(Counter(s.pen for s in sheets))}")
    line(f"printers: {dict(Counter(s.printer for s in sheets))}")
    most = max(glyphs.values(), default=0)
    line(f"pictures of real digits: {len(glyphs)}, none used more than {most} times")
    whole = sum(sheet.anything for sheet in sheets)
    line(f"filled at random over the whole range: {whole} photos")


def _tell_count(found: Count, line: Line) -> None:
    line(
        f"  {found.kind}: {found.fields} fields, {found.asserted} sure or empty, {found.silent} "
        f"silent errors (at most {found.silent_at_most:.2%} at 95 %); of {found.clean} plausible "
        f"ones without a slip {found.doubt_share:.1%} wait"
    )


def _tell_confidence(sheets: Sequence[Sheet], line: Line) -> None:
    for one in reliability(sheets):
        line(
            f"  confidence from {one.edge:.4f}: {one.count} readings, said {one.said:.4f}, right "
            f"{one.right:.4f} (at least {one.low:.4f}, by writer)"
        )
    own, constant = log_loss(sheets)
    line(f"log loss {own:.4f}; best constant {constant:.4f}")


if __name__ == "__main__":
    tell(list(lines_of(Path(sys.argv[1]))), print)
