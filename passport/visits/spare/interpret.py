"""What a spare form means once it is bound to a table: a visit like any service form's."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from forms.layout import Layout
from passport.table import Reads, RiseBy, Role, Side, Steps, Table, Ways
from passport.visit import Doubt, Visit
from passport.visits import service
from passport.visits.answers import Answers, of_pages
from passport.visits.kind import Context, all_pages, once
from passport.visits.service import ids
from passport.visits.spare.form import MOST_BRACKETS, MOST_LEGS, TABLE
from scan.reading import Reading, Status, Value

NO_STATION = "marked, but the table of this number has no such station"
NO_TURNS = "turns are marked at a supporting leg, which only carries"


def written_number(readings: Mapping[str, Reading]) -> str | None:
    """Give the nine digits of the table number as they stand on the form; None while not sure."""
    reading = readings.get(TABLE)
    if reading is None or reading.status is not Status.SURE or reading.value is None:
        return None
    return f"{int(reading.value):09d}"


def interpret(
    context: Context,
    readings: Mapping[str, Reading],
    *,
    pages_in: Collection[int],
    received_on: date,
) -> Visit:
    """Turn the readings into a visit to the table that the form was bound to; see ``Interprets``.

    What is marked at stations that this table does not have is not lost: it is a doubt.
    """
    # The form knows no kit: its level check is read as for a level whose zero nobody knows. Hollows
    # are counted in cards on it and turns of nuts are quarters, whatever the table's own forms say.
    kit = replace(
        context.table.kit,
        zero=None,
        cross_by=Reads.CARDS,
        cross_read=Ways.ONE,
        rise_by=RiseBy.LEVEL,
        feelers_mm=(),
        feeler_u_mm=0.0,
    )
    table = replace(context.table, units=_units(context.layout), kit=kit, nuts_by=Steps.QUARTERS)
    here = replace(context, table=table)
    visit = service.interpret(here, readings, pages_in=pages_in, received_on=received_on)
    answers = of_pages(context.layout, readings, pages_in)
    strange = _strange(answers, context.table)
    missing = all_pages(context.layout, pages_in)
    return replace(visit, doubts=once([*visit.doubts, *strange]), missing_pages=missing)


def answers(visit: Visit, *, printed_on: date | None = None) -> dict[str, Value]:
    """Give the answers whose reading is this visit, the table's number among them."""
    given = service.answers(visit, printed_on=printed_on)
    return {TABLE: Decimal(visit.table), **given}


def _units(layout: Layout) -> str:
    """Say in which units the form was printed: its boxes tell, not its table."""
    named = {field.id for page in layout.pages for field in page.fields}
    return "metric" if ids.CELSIUS in named else "imperial"


def _strange(answers: Answers, table: Table) -> Iterator[Doubt]:
    known = {leg.name for leg in table.legs} | {one.name for one in table.brackets}
    most = {"L": MOST_LEGS, "B": MOST_BRACKETS}
    printed = [f"{letter}{n + 1}" for letter, count in most.items() for n in range(count)]
    for name in printed:
        if name not in known:
            marked = [one for one in answers.fields if one.startswith(f"{name}.")]
            yield from _marked(answers, marked, NO_STATION)
    for leg in table.legs:
        if leg.role is Role.SUPPORTING:
            turned = [ids.foot(ids.FIRST, leg.name, side) for side in Side]
            yield from _marked(answers, turned, NO_TURNS)


def _marked(answers: Answers, fields: Collection[str], why: str) -> Iterator[Doubt]:
    marked = (one for one in fields if answers.value(one) not in (None, False))
    return (answers.doubt(one, why) for one in marked)
