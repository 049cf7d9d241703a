"""What the readings of a kit form mean."""

from collections.abc import Collection, Mapping, Sequence
from datetime import date
from decimal import Decimal

from passport.quantity import INCH_MM
from passport.visit import Count, Doubt
from passport.visits.answers import Answers, of_pages
from passport.visits.kind import Context, all_pages, once
from passport.visits.kit import ids
from passport.visits.kit.numbers import Gap
from passport.visits.kit.record import KitCheck, Pair
from passport.visits.service import ids as shared
from passport.visits.service import opening, remarks
from scan.reading import Reading

PARTLY = "nothing is marked here, yet what belongs to it is"
BOUND = "“more” is no count: level the spot better, then turn the level again"
NO_ZERO = "not marked that the closed micrometer shows zero: the cards’ thickness is not taken"
CROSSED = "the feeler that stops is not thicker than the one that passes"
STEP_MM = {"0.001 mm": 0.001, "0.01 mm": 0.01, "0.0001 in": 0.00254, "0.001 in": 0.0254}
UNIT_MM = {"metric": Decimal(1), "imperial": Decimal(str(float(INCH_MM)))}
FEELER_MM = {"metric": Decimal("0.01"), "imperial": Decimal("0.0254")}


def interpret(
    context: Context,
    readings: Mapping[str, Reading],
    *,
    pages_in: Collection[int],
    received_on: date,
) -> KitCheck:
    """Turn the readings of a kit form into a check of sure values; see ``Interprets``."""
    answers, table = of_pages(context.layout, readings, pages_in), context.table
    when, date_doubts = remarks.visit_date(answers, context.printed_on, received_on)
    unsafe, unsafe_doubts = remarks.unsafe(answers)
    stacks, stack_doubts = _stacks(answers, table.units)
    reversals, reversal_doubts = _reversals(answers)
    gaps, gap_doubts = _gaps(answers, table.units)
    step = answers.word(ids.STEP)
    return KitCheck(
        context.layout.form,
        context.layout.kind,
        table.number,
        when,
        table.kit,
        answers.word(shared.TECHNICIAN),
        opening.temperature_c(answers),
        opening.humidity_pct(answers),
        stacks,
        None if step is None else STEP_MM[step],
        answers.ticked(ids.ZERO),
        reversals,
        gaps,
        answers.ticked(shared.OFFICE_MUST_READ),
        unsafe,
        remarks.notes(answers),
        once([*unsafe_doubts, *answers.doubts(), *date_doubts, *stack_doubts, *reversal_doubts,
              *gap_doubts]),
        all_pages(context.layout, pages_in),
    )  # fmt: skip


def _partly(answers: Answers, fields: Sequence[str]) -> list[Doubt]:
    """Doubt what is empty among fields that belong together and are not all empty."""
    given = [field for field in fields if answers.value(field) is not None]
    empty = [field for field in fields if answers.empty(field)]
    return [answers.doubt(field, PARTLY) for field in empty] if given else []


def _stacks(answers: Answers, units: str) -> tuple[tuple[float, ...], list[Doubt]]:
    fields = [ids.stack(place, units) for place in ids.PLACES]
    doubts = _partly(answers, [*fields, ids.STEP])
    written = [answers.decimal(field) for field in fields]
    if any(one is not None for one in written) and answers.empty(ids.ZERO):
        doubts.append(answers.doubt(ids.ZERO, NO_ZERO))
    sure = [float(one * UNIT_MM[units]) for one in written if one is not None]
    return tuple(sure) if len(sure) == len(fields) else (), doubts


def _reversals(answers: Answers) -> tuple[tuple[tuple[Count, Count], ...], list[Doubt]]:
    pairs, doubts = [], list[Doubt]()
    for pair in ids.PAIRS:
        fields = ids.reversal(pair)
        counts = [count for field in fields if (count := answers.count(field)) is not None]
        doubts += _partly(answers, fields)
        doubts += [
            answers.doubt(field, BOUND)
            for field in fields
            if (count := answers.count(field)) is not None and count.bound
        ]
        if len(counts) == 2:
            pairs.append((counts[0], counts[1]))
    return tuple(pairs), doubts


def _gaps(answers: Answers, units: str) -> tuple[dict[Pair, Gap], list[Doubt]]:
    gaps, doubts = {}, list[Doubt]()
    for pair in Pair:
        fields = (ids.passes(pair, units), ids.stops(pair, units), ids.side(pair))
        doubts += _partly(answers, fields)
        passes, stops = (answers.decimal(field) for field in fields[:2])
        side = answers.word(fields[2])
        if passes is None or stops is None or side is None:
            continue
        if stops <= passes:
            doubts.append(answers.doubt(fields[1], CROSSED))
            continue
        thin, thick = (float(one * FEELER_MM[units]) for one in (passes, stops))
        gaps[pair] = Gap(thin, thick, 1 if side == "middle" else -1)
    return gaps, doubts
