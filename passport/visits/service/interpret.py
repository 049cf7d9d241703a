"""What the readings of a service form mean: a visit of sure values, all else in its doubts."""

from collections.abc import Collection, Mapping
from datetime import date
from itertools import chain

from forms.layout import Layout
from passport.table import Role, Table
from passport.visit import Doubt, Pass, Visit
from passport.visits.answers import Answers, of_pages
from passport.visits.kind import Context, once
from passport.visits.service import brackets, ids, legs, opening, remarks, rise, shots
from passport.visits.service.blanks import blank_doubts
from scan.reading import Reading

NOT_DOWN = "raised clear of the floor, but not marked as down to touch again"


def interpret(
    context: Context,
    readings: Mapping[str, Reading],
    *,
    pages_in: Collection[int],
    received_on: date,
) -> Visit:
    """Turn the readings of all pages that are in into a visit.

    Parameters
    ----------
    context : Context
        The table and layout that the form was printed with, and when.
    readings : mapping of field id to Reading
        Of every page that is in.
    pages_in : collection of int
        Pages that came in; the others are missing, but for an unused pass sheet.
    received_on : date
        Day of intake: no later date is taken.

    Returns
    -------
    Visit
        Only sure and empty readings count. What is doubtful, outside the picture or contradicts
        itself is None and stands in ``doubts``.
    """
    answers, table = of_pages(context.layout, readings, pages_in), context.table
    kit, kit_doubts = remarks.kit(answers, table)
    passes, pass_doubts = _passes(answers, table)
    when, date_doubts = remarks.visit_date(answers, context.printed_on, received_on)
    unsafe, unsafe_doubts = remarks.unsafe(answers)
    doubts = chain(
        unsafe_doubts, answers.doubts(), kit_doubts, date_doubts, pass_doubts,
        blank_doubts(answers, table),
    )  # fmt: skip
    return Visit(
        context.layout.form,
        context.layout.kind,
        table.number,
        when,
        kit or table.kit,
        answers.word(ids.TECHNICIAN),
        opening.temperature_c(answers),
        opening.humidity_pct(answers),
        opening.level_check(answers) if kit else None,
        passes if kit else tuple(remarks.without_counts(one) for one in passes),
        shots.read_shots(answers),
        shots.read_glides(answers),
        remarks.surface(answers),
        remarks.changed(answers),
        answers.ticked(ids.NOTHING_TURNED),
        answers.ticked(ids.OFFICE_MUST_READ),
        unsafe,
        remarks.notes(answers),
        once(doubts),
        missing_pages(context.layout, pages_in),
        answers.ticked(ids.OTHER_KIT),
        table.nuts_by,
    )


def missing_pages(layout: Layout, pages_in: Collection[int]) -> tuple[int, ...]:
    """Name the pages that are not in; a pass sheet may stay away."""
    return tuple(
        page.page
        for page in layout.pages
        if page.page not in pages_in
        and any(ids.walk_of(field.id) == ids.FIRST for field in page.fields)
    )


def _passes(answers: Answers, table: Table) -> tuple[tuple[Pass, ...], list[Doubt]]:
    read = [_pass(answers, table, walk) for walk in ids.WALKS]
    passes = tuple(one for one, _ in read if one != Pass())
    return passes, [doubt for _, doubts in read for doubt in doubts]


def _pass(answers: Answers, table: Table, walk: int) -> tuple[Pass, list[Doubt]]:
    leg_passes, leg_doubts = legs.read(answers, table, walk)
    bracket_passes, bracket_doubts = brackets.read(answers, table, walk)
    (found, turns, after), rise_doubts = (
        rise.read(answers, table.kit) if walk == ids.FIRST else (({}, {}, {}), [])
    )
    made = Pass(leg_passes, bracket_passes, found, after, turns, brackets.minutes(answers, walk))
    supports = _support_doubts(answers, table, walk)
    return made, [*leg_doubts, *bracket_doubts, *rise_doubts, *supports]


def _support_doubts(answers: Answers, table: Table, walk: int) -> list[Doubt]:
    names = [leg.name for leg in table.legs if leg.role is Role.SUPPORTING]
    return [
        answers.doubt(ids.touch(walk, name), NOT_DOWN)
        for name in names
        if answers.ticked(ids.clear(walk, name)) and answers.empty(ids.touch(walk, name))
    ]
