"""What an installation form means, and which answers mean it."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from passport.table import Table
from passport.visit import Doubt
from passport.visits.answers import Answers, of_pages
from passport.visits.installation.form import done, sign
from passport.visits.installation.stages import stages_of
from passport.visits.kind import Context
from passport.visits.service import remarks
from passport.visits.signature import Arrival, SignedRecord, signed
from scan.reading import Reading, Value

SKIPPED = "a later stage is marked as done, this one is not"
UNSIGNED = "marked as done, but not signed"


@dataclass(frozen=True, kw_only=True)
class Installation(SignedRecord):
    """An installation: the stages that are done, in order; signatures are among the notes."""

    stages: tuple[str, ...] = ()


def interpret(
    context: Context,
    readings: Mapping[str, Reading],
    *,
    pages_in: Collection[int],
    received_on: date,
) -> Installation:
    """Turn the readings of an installation form into a record; see ``Interprets``."""
    answers = of_pages(context.layout, readings, pages_in)
    keys = [stage.key for stage in stages_of(context.table)]
    record = Installation(
        form=context.layout.form,
        kind=context.layout.kind,
        table=context.table.number,
        stages=tuple(key for key in keys if answers.ticked(done(key))),
        doubts=(*_skipped(answers, keys), *_unsigned(answers, keys)),
    )
    return signed(record, answers, context, Arrival(pages_in, received_on))


def _skipped(answers: Answers, keys: list[str]) -> list[Doubt]:
    """Doubt each gate that was passed by: a later one is done."""
    last = max((n for n, key in enumerate(keys) if answers.ticked(done(key))), default=0)
    return [answers.doubt(done(key), SKIPPED) for key in keys[:last] if answers.empty(done(key))]


def _unsigned(answers: Answers, keys: list[str]) -> list[Doubt]:
    return [
        answers.doubt(sign(key), UNSIGNED)
        for key in keys
        if answers.ticked(done(key)) and answers.written(sign(key)) is None
    ]


def answers(record: Installation, *, printed_on: date | None = None) -> dict[str, Value]:
    """Give the answers whose reading is this record; see ``Answers``."""
    given: dict[str, Value] = {done(key): True for key in record.stages}
    return given | remarks.signed(record, printed_on)


def tell(table: Table, record: Installation) -> tuple[str, ...]:
    """Say which stages are done and which are open."""
    stages = stages_of(table)
    opened = [stage.title for stage in stages if stage.key not in record.stages]
    lines = ["OUT OF USE until checked"] if record.unsafe else []
    lines.append(f"stages done: {len(record.stages)} of {len(stages)}")
    return (*lines, *([f"open: {', '.join(opened)}"] if opened else []))
