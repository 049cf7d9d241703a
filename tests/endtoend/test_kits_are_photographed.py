"""Forms of kits that read not by cards or both ways: printed, filled, photographed, read."""

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from forms.sheet import print_form
from passport.demo import paper
from passport.office.printing import PrintedForm
from passport.table import Kit, Reads, Ways
from passport.table_file import read_table
from passport.visit import Count, LegPass, Pass
from passport.visits import KINDS, Context
from scan.read import read_photo

INVENTED = Path(__file__).parents[2] / "passport" / "invented"
DAY, RECEIVED = date(2026, 3, 2), date(2026, 3, 3)
TWO_WAYS = {
    "L1": LegPass(
        Count(4), 0, 3, Count(1), True, True, True,
        found_turned=Count(2), after_turned=Count(-1),
    ),
    "L2": LegPass(
        Count(-5, True), 4, -2, Count(-2), False, True, True,
        found_turned=Count(-5, True), after_turned=Count(-3, True),
    ),
}  # fmt: skip
ONE_WAY = {
    name: replace(leg, found_turned=None, after_turned=None) for name, leg in TWO_WAYS.items()
}


def kit(known: Kit, by: Reads, ways: Ways) -> Kit:
    """Change what is counted, and how many ways round."""
    read = replace(known, cross_by=by, cross_read=ways, sensitivity_mm_per_m=0.3)
    bare = {"sensitivity_mm_per_m": None, "display_step_deg": 0.01}
    return replace(read, **bare) if by is Reads.DISPLAY else read


@pytest.mark.parametrize(
    ("by", "ways"),
    [
        (Reads.CARDS, Ways.BOTH),
        (Reads.DIVISIONS, Ways.ONE),
        (Reads.DISPLAY, Ways.ONE),
        (Reads.DIVISIONS, Ways.BOTH),
    ],
)
def test_first_page_of_a_kit_s_form_is_read_as_the_visit_that_was_written(tmp_path, by, ways):
    table = read_table((INVENTED / "short.toml").read_text(), "short", "100000181")
    table = replace(table, kit=kit(table.kit, by, ways))
    form = KINDS["service"].form(table, printed_on=DAY, last_visit=None, technicians=("AB", "CD"))
    placed = place(form, Paper.LETTER, FormNumber.new(lambda bits: 77))
    context = Context(table, DAY, placed.layout)
    service = KINDS["service"]
    blank = service.interpret(context, {}, pages_in=(), received_on=RECEIVED)
    check = (Count(2), Count(0)) if ways is Ways.ONE else None
    walk = Pass(TWO_WAYS if ways is Ways.BOTH else ONE_WAY)
    visit = replace(blank, passes=(walk,), level_check=check, air_humidity_pct=41.0)
    first = {field.id for field in placed.layout.pages[0].fields}
    answers = {name: value for name, value in service.answers(visit).items() if name in first}
    printed = PrintedForm(print_form(placed, datetime(2026, 3, 2)), placed.layout)

    photos = paper.take(printed, answers, paper.Sitting(21), tmp_path / "form")

    (page,) = read_photo(photos[0], {placed.layout.form: placed.layout}.get).pages
    got = service.interpret(context, page.fields, pages_in=(1,), received_on=RECEIVED)
    assert (got.passes, got.level_check, got.air_humidity_pct, got.kit) == (
        (walk,), check, 41.0, table.kit,
    )  # fmt: skip
    assert not [d for d in got.doubts if d.field.startswith(("L", "check"))]
