"""Forms of kits other than cards one way round: printed, filled, photographed, read."""

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest

from forms.field import Digits
from forms.layout import Page
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from forms.sheet import print_form
from passport.demo import paper, technician
from passport.demo.technician import Round
from passport.demo.truth import invented as invented_truth
from passport.leveling.advice import Quantity
from passport.leveling.advise import advise
from passport.leveling.explain import why_lines
from passport.office.printing import PrintedForm
from passport.table import Kit, LineLaser, Own, Reads, RiseBy, Table, TautLine, Ways
from passport.table_file import read_table
from passport.visit import BracketPass, Count, LegPass, Pass, Visit
from passport.visits import KINDS, Context
from scan.read import read_photo
from scan.reading import Status

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


LINE = TautLine(Own(0.5, 0.02), Own(30.0, 0.6), Own(12.7, 0.05), 0.0254, 0.05)
LASER = LineLaser(Own(0.0, 0.17), 0.5, 0.25)
GAUGES = {RiseBy.LINE: {"line": LINE}, RiseBy.LASER: {"laser": LASER}}
RISES = {
    RiseBy.LINE: Pass(
        rise={"middle": Count(472)}, rise_turns={"A": 3, "B": 3}, rise_after={"middle": Count(518)}
    ),
    RiseBy.LASER: Pass(
        rise={"A": Count(401), "middle": Count(407), "B": Count(398)},
        rise_turns={"A": -2},
        rise_after={"A": Count(404), "middle": Count(407), "B": Count(398)},
    ),
    RiseBy.STEPS: Pass(
        rise={"A": Count(4), "B": Count(-3)},
        rise_turns={"A": 2, "B": 5},
        rise_after={"A": Count(9), "B": Count(10)},
    ),
}


def photographed(folder: Path, table: Table, wanted: str, visit: Visit) -> Visit:
    """Print a form, write a visit on the page of a field, photograph that page and read it."""
    service = KINDS["service"]
    form = service.form(table, printed_on=DAY, last_visit=None, technicians=("AB", "CD"))
    placed = place(form, Paper.LETTER, FormNumber.new(lambda bits: 77))
    page = next(one for one in placed.layout.pages if any(f.id == wanted for f in one.fields))
    fields = {field.id for field in page.fields}
    answers = {name: value for name, value in service.answers(visit).items() if name in fields}
    printed = PrintedForm(print_form(placed, datetime(2026, 3, 2)), placed.layout)
    photos = paper.take(printed, answers, paper.Sitting(21), folder / "form")
    (read,) = read_photo(photos[0], {placed.layout.form: placed.layout}.get).pages
    context = Context(table, DAY, placed.layout)
    settled = {
        name: replace(one, status=Status.SURE, value=answers.get(name))
        if one.status is Status.DOUBTFUL and name in numbers_of(page)
        else one
        for name, one in read.fields.items()
    }
    return service.interpret(context, settled, pages_in=(page.page,), received_on=RECEIVED)


def numbers_of(page: Page) -> frozenset[str]:
    """Name the handwritten numbers of a page: a doubtful one is typed by a person."""
    return frozenset(field.id for field in page.fields if isinstance(field, Digits))


def invented(name: str, **changes: object) -> Table:
    table = read_table((INVENTED / f"{name}.toml").read_text(), name, "100000181")
    return replace(table, kit=replace(table.kit, **changes))


def visited(table: Table, walk: Pass, **more: object) -> Visit:
    return Visit("", "service", table.number, None, table.kit, passes=(walk,), **more)


@pytest.mark.parametrize(
    ("by", "ways"),
    [
        (Reads.CARDS, Ways.BOTH),
        (Reads.DIVISIONS, Ways.ONE),
        (Reads.DISPLAY, Ways.ONE),
        (Reads.DIVISIONS, Ways.BOTH),
    ],
)
def test_cross_levels_of_every_kit_are_read_as_they_were_written(tmp_path, by, ways):
    table = invented("short")
    table = replace(table, kit=kit(table.kit, by, ways))
    check = (Count(2), Count(0)) if ways is Ways.ONE else None
    walk = Pass(TWO_WAYS if ways is Ways.BOTH else ONE_WAY)
    visit = visited(table, walk, level_check=check, air_humidity_pct=41.0)

    got = photographed(tmp_path, table, "L1.pass1.found", visit)

    assert (got.passes, got.level_check, got.air_humidity_pct, got.kit) == (
        (walk,), check, 41.0, table.kit,
    )  # fmt: skip
    assert not [d for d in got.doubts if d.field.startswith(("L", "check"))]


@pytest.mark.parametrize("by", list(RISES))
def test_rise_by_steps_a_line_or_a_laser_is_read_as_it_was_written(tmp_path, by):
    table = invented("middle", rise_by=by, **GAUGES.get(by, {}))
    visit = visited(table, RISES[by])

    got = photographed(tmp_path, table, "rise.A.pass1.turns", visit)

    assert got.passes == (RISES[by],)
    assert not [doubt for doubt in got.doubts if doubt.field.startswith("rise")]


FEELERS_MM = (0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8)  # common practice, no source
BY_FEELERS = {
    "B1": BracketPass(Count(-2, True), 7, Count(-1), True),
    "B2": BracketPass(Count(0), 5, Count(3), True),
    "B3": BracketPass(Count(8, True), -8, Count(6), True),
}


def test_hollows_by_feelers_are_read_as_they_were_written(tmp_path):
    table = invented("short", feelers_mm=FEELERS_MM, feeler_u_mm=0.003)
    walk = Pass(brackets=BY_FEELERS)

    got = photographed(tmp_path, table, "B1.pass1.found", visited(table, walk))

    assert (got.passes, got.kit) == ((walk,), table.kit)
    assert not [doubt for doubt in got.doubts if doubt.field.startswith("B")]


def test_hollows_by_feelers_go_from_the_technician_to_the_advice(tmp_path):
    table = invented("short", feelers_mm=FEELERS_MM, feeler_u_mm=0.003)
    order = Round("", DAY, "AB", 20.0, 45.0)
    visit, stands = technician.visit(table, invented_truth(table, np.random.default_rng(7)), order)

    got = photographed(tmp_path, table, "B1.pass1.found", visit)

    told = [replace(got, date=DAY)]
    advice = advise(table, told, today=RECEIVED)
    found = {one.station: one for one in advice.state if one.quantity is Quantity.HOLLOW}
    assert found.keys() == stands.hollows.keys()
    assert all(found[name].low <= mm <= found[name].high for name, mm in stands.hollows.items())
    assert any("feeler, level shows" in line for line in why_lines(table, told, advice))


SAID = {
    RiseBy.LEVEL: "rise of end A: ",
    RiseBy.STEPS: "rise of end A: ",
    RiseBy.LINE: "rise of the ends: mean",
    RiseBy.LASER: "rise of end A less end B: is",
}


@pytest.mark.parametrize("by", list(RiseBy))
def test_every_way_to_read_a_rise_goes_from_the_technician_to_the_advice(tmp_path, by):
    table = invented("long", rise_by=by, **GAUGES.get(by, {}))
    order = Round("", DAY, "AB", 20.0, 45.0)
    visit, stands = technician.visit(table, invented_truth(table, np.random.default_rng(5)), order)

    got = photographed(tmp_path, table, "rise.A.pass1.turns", visit)

    first, seen = visit.passes[0], got.passes[0]
    assert (seen.rise, seen.rise_turns, seen.rise_after) == (
        first.rise, first.rise_turns, first.rise_after,
    )  # fmt: skip
    told = [replace(got, date=DAY)]
    advice = advise(table, told, today=RECEIVED)
    rise = next(one for one in advice.state if one.quantity is Quantity.RISE)
    assert rise.low <= sum(stands.rises.values()) / 2 <= rise.high
    assert [line for line in why_lines(table, told, advice) if line.startswith(f"  {SAID[by]}")]
