"""What all sheets together say: errors, doubts, pages given up, and what a confidence is worth.

As a program::

    python -m reading.report LINES.jsonl…

Lines of ``reading.sheets`` and of ``reading.numbers`` may be told together.
"""

import sys
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields
from pathlib import Path

from reading.sheets import ASSERTED, GRADES, Outcome, Sheet, lines_of
from reading.trust import ENOUGH, log_loss, reliability
from scipy.stats import beta

from passport.booth.grades import BAD, Span
from passport.booth.troubles import some_troubles

MOST_USES = 20  # of one picture of a real digit
LEAST_ANYTHING = 0.2  # share of photos that are filled over the whole range
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

    @property
    def doubted_at_most(self) -> float:
        return upper(self.doubted, self.clean)


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


def has_true_advice(sheet: Sheet) -> bool:
    """Tell whether what is said first of a page given up was done to it.

    Blur, movement and curl are in every photo of the grade *bad*; light is as the booth drew it.
    """
    said = sheet.problems[0] if sheet.problems else ""
    if said in ("blurred", "moved", "page bent"):
        return sheet.grade == BAD.name
    grade = next(one for one in GRADES if one.name == sheet.grade)
    troubles = some_troubles(grade, sheet.number)
    return {"glare": troubles.glare, "shadow": troubles.shadow}.get(said) is not None


def given_up(sheets: Iterable[Sheet], grade: str) -> tuple[int, int]:
    """Count the pages of a grade that were not read, and all of them."""
    mine = [sheet for sheet in sheets if sheet.grade == grade]
    return sum(not sheet.read for sheet in mine), len(mine)


def tell(sheets: Sequence[Sheet], line: Line) -> None:
    """Print everything."""
    _tell_who(sheets, line)
    for grade in GRADES:
        spans = ((f.name, getattr(grade, f.name)) for f in fields(grade))
        numbers = ", ".join(f"{n} {s.low:g}–{s.high:g}" for n, s in spans if isinstance(s, Span))
        lost, pages = given_up(sheets, grade.name)
        line(f"{grade.name}: {numbers}")
        line(f"  pages {pages}, given up {lost} (at most {upper(lost, pages):.2%} at 95 %)")
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
    for sheet in (one for one in sheets if not one.read):
        said = ", ".join(sheet.problems) or "nothing"
        true = "true" if has_true_advice(sheet) else "not what was done to it"
        line(f"given up, {sheet.grade}, sheet {sheet.number}, page {sheet.page}: {said}; {true}")


def _tell_who(sheets: Sequence[Sheet], line: Line) -> None:
    glyphs = Counter(name for sheet in sheets for name in sheet.glyphs)
    writers, models = {s.writer for s in sheets}, Counter(s.model for s in sheets)
    line(f"{len(sheets)} photos, {len(writers)} writers; photos by model: {dict(models)}")
    kinds = Counter(one.kind for sheet in sheets for one in sheet.outcomes)
    line(f"fields: {', '.join(f'{kind} {of}' for kind, of in kinds.items())}")
    line(f"pens: {dict(Counter(s.pen for s in sheets))}")
    line(f"printers: {dict(Counter(s.printer for s in sheets))}")
    most = max(glyphs.values(), default=0)
    line(
        f"pictures of real digits: {len(glyphs)}, none used more than {most} times "
        f"({_met(most <= MOST_USES)}: at most {MOST_USES})"
    )
    whole = sum(sheet.anything for sheet in sheets)
    line(
        f"filled at random over the whole range: {whole} photos, {whole / max(len(sheets), 1):.1%} "
        f"({_met(whole >= LEAST_ANYTHING * len(sheets))}: at least {LEAST_ANYTHING:.0%})"
    )


def _met(holds: bool) -> str:
    return "holds" if holds else "does not hold"


def _tell_count(found: Count, line: Line) -> None:
    line(
        f"  {found.kind}: {found.fields} fields, {found.asserted} sure or empty, {found.silent} "
        f"silent errors (at most {found.silent_at_most:.3%} at 95 %); of {found.clean} plausible "
        f"ones without a slip {found.doubted}, {found.doubt_share:.2%}, wait (at most "
        f"{found.doubted_at_most:.2%})"
    )


def _tell_confidence(sheets: Sequence[Sheet], line: Line) -> None:
    bins = reliability(sheets)
    full = sum(one.count >= ENOUGH for one in bins)
    line(f"confidence, marks and numbers together: {full} bins of {ENOUGH} readings or more")
    for one in bins:
        line(
            f"  confidence from {one.edge:.4f}: {one.count} readings, said {one.said:.4f}, right "
            f"{one.right:.4f} (at least {one.low:.4f}, by writer and by photo)"
        )
    own, constant = log_loss(sheets)
    line(f"log loss {own:.4f}; best constant {constant:.4f} ({_met(own < constant)})")


if __name__ == "__main__":
    tell([sheet for name in sys.argv[1:] for sheet in lines_of(Path(name))], print)
