"""What a surface care form means, and which answers mean it."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date

from passport.table import Table
from passport.visit import Doubt
from passport.visits.answers import Answers, of_pages
from passport.visits.kind import Context
from passport.visits.service import ids, remarks
from passport.visits.service.closing import SURFACE
from passport.visits.signature import Arrival, SignedRecord, signed
from passport.visits.surface.form import GLIDE
from scan.reading import Reading, Value

NOTHING_DONE = "nothing about the surface is marked"


@dataclass(frozen=True, kw_only=True)
class SurfaceCare(SignedRecord):
    """One visit for surface care.

    Attributes
    ----------
    surface : mapping of str to True
        What was done and found, as on a service form.
    glide : mapping of str to str
        How a weight glided ``before`` and ``after``: even, slow or stops.
    """

    surface: Mapping[str, str | bool] = field(default_factory=dict)
    glide: Mapping[str, str] = field(default_factory=dict)


def interpret(
    context: Context,
    readings: Mapping[str, Reading],
    *,
    pages_in: Collection[int],
    received_on: date,
) -> SurfaceCare:
    """Turn the readings of a surface care form into a record; see ``Interprets``."""
    answers = of_pages(context.layout, readings, pages_in)
    words = {when: answers.word(field_id) for when, field_id in GLIDE.items()}
    record = SurfaceCare(
        form=context.layout.form,
        kind=context.layout.kind,
        table=context.table.number,
        surface=remarks.surface(answers),
        glide={when: word for when, word in words.items() if word is not None},
        doubts=_nothing_done(answers),
    )
    return signed(record, answers, context, Arrival(pages_in, received_on))


def _nothing_done(answers: Answers) -> tuple[Doubt, ...]:
    fields = [ids.surface(key) for key in SURFACE]
    if all(answers.empty(one) for one in fields):
        return (answers.doubt(fields[0], NOTHING_DONE),)
    return ()


def answers(record: SurfaceCare, *, printed_on: date | None = None) -> dict[str, Value]:
    """Give the answers whose reading is this record; see ``Answers``."""
    given: dict[str, Value] = {ids.surface(key): True for key in record.surface}
    given |= {GLIDE[when]: word for when, word in record.glide.items()}
    return given | remarks.signed(record, printed_on)


def tell(table: Table, record: SurfaceCare) -> tuple[str, ...]:
    """Say what was done, how the board glides, and whether it must stay out of use."""
    done = [SURFACE[key] for key in SURFACE if key in record.surface]
    lines = ["OUT OF USE until checked"] if record.unsafe else []
    lines += [f"surface: {', '.join(done)}"] if done else []
    return (*lines, *(f"glide {when}: {word}" for when, word in record.glide.items()))
