"""Every form, measured on its PDF by another program, over all tables, papers and units.

Each kind of visit for nine-foot and twenty-two-foot tables with three to eight brackets, all names
as long as they come. What must hold stands in ``faults``; each fault is made once, and noticed.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from itertools import product

import numpy as np
import pytest

from forms.field import Box, Note, Option, Scale, Tick, boxes_of
from forms.form import Block, Form, Stroke, Text
from forms.layout import Page, dumps, loads
from forms.numbers import FormNumber
from forms.paper import HEADER_BOTTOM, Paper
from forms.place import Placed, place
from forms.sheet import print_form
from passport.table import LineLaser, Own, Reads, RiseBy, Table, TautLine, Ways
from passport.visits import KINDS
from tests.measuring import Sheet, overlaps, sheets
from tests.tables import LONG, LONGEST, MIDDLE, OPEN, SHORT, checked, described, fine, taught

BOUND = 0.05  # [mm] between layout file and paper
LEAST_BOX = 4.5  # [mm]
WHITE = 0.7  # [mm] between boxes, so that a mark in one can't be taken for one in the next
MARGINS = {True: 5.0, False: 8.0}  # [mm] what printers reach on a card, on a sheet
LINE = 0.1  # [mm] thinnest line
READABLE, COUNTED = 7.0, 9.0  # [pt] all text; counts and turns
COUNT = re.compile(r"[+−-]?\d+[+*]?|OK")
WIDEST = FormNumber.new(lambda bits: int("11100" * 10, 2) % (1 << bits))  # W ten times
STATED = {  # each pair of table, units and paper stands in the default run; the rest is long
    ("long", "imperial", Paper.LETTER),
    ("long", "metric", Paper.A4),
    ("short", "metric", Paper.LETTER),
    ("short", "imperial", Paper.A4),
}


def cases(*rest: str) -> list:
    """All combinations of table, units and paper, with what comes first; most are long."""
    return [
        pytest.param(
            (first, *case),
            id="-".join((first, case[0], case[1], case[2].name)),
            marks=[] if case in STATED else pytest.mark.long,
        )
        for first in rest
        for case in product(("long", "middle", "short"), ("imperial", "metric"), Paper)
    ]


def placed(kind: str, table: Table, paper: Paper, technicians: int = 3) -> Placed:
    form = KINDS[kind].form(
        replace(table, name=LONGEST, site=LONGEST),
        printed_on=date(2026, 11, 2),
        last_visit=None,
        technicians=[f"Invented Longername the {n}th" for n in range(technicians)],
        look_first=OPEN,
    )
    return place(form, paper, WIDEST)


def faults_of(form: Placed) -> list[str]:
    pages = loads(dumps(form.layout)).pages
    printed = sheets(print_form(form, datetime(2026, 11, 2)))
    return [
        f"page {page.page}: {fault}"
        for page, sheet in zip(pages, printed, strict=True)
        for fault in faults(page, sheet)
    ]


def faults(page: Page, sheet: Sheet) -> Iterator[str]:
    """Say all that is wrong with a page, as measured on paper."""
    fields = [(field, box) for field in page.fields for box in boxes_of(field)]
    asked = np.array([(b.x, b.y, b.x + b.width, b.y + b.height) for _, b in fields]).reshape(-1, 4)
    drawn = found_at(asked, sheet)
    names = [field.id for field, _ in fields]
    yield from box_faults(names, asked, drawn)
    lines = np.array(sheet.lines).reshape(-1, 4)
    for _, n in np.argwhere(overlaps(lines, drawn) + LINE > 0):
        yield f"a line runs through a box of {names[n]}"
    hard = np.array([not isinstance(field, Note) for field, _ in fields], bool)
    yield from word_faults([name for name, keep in zip(names, hard, strict=True) if keep],
                           drawn[hard], sheet)  # fmt: skip
    yield from count_faults(page, sheet)


def found_at(asked: np.ndarray, sheet: Sheet) -> np.ndarray:
    """Give the drawn rectangle nearest to each box of the layout file: (boxes, 4) [mm]."""
    drawn = np.array(sheet.rectangles)
    return drawn[np.abs(asked[:, None] - drawn).max(2).argmin(1)]


def box_faults(names: list[str], asked: np.ndarray, drawn: np.ndarray) -> Iterator[str]:
    off = np.abs(asked - drawn).max(1)
    least = (drawn[:, 2:] - drawn[:, :2]).min(1)
    for n in np.flatnonzero(off > BOUND):
        yield f"a box of {names[n]} stands {off[n]:.3f} mm beside its place"
    for n in np.flatnonzero(least < LEAST_BOX - 0.005):
        yield f"a box of {names[n]} is {least[n]:.2f} mm small"
    for n, m, by in pairs(overlaps(drawn, drawn) + WHITE):
        yield f"boxes of {names[n]} and {names[m]} are {WHITE - by:.2f} mm apart"


def word_faults(names: list[str], boxes: np.ndarray, sheet: Sheet) -> Iterator[str]:
    words = [word.text for word in sheet.words]
    areas = np.array([word.area for word in sheet.words])
    for n, m, by in pairs(overlaps(areas, areas) - 0.02):
        yield f"“{words[n]}” lies over “{words[m]}” by {by + 0.02:.2f} mm"
    for n, m in np.argwhere(overlaps(areas, boxes) > 0):
        yield f"“{words[n]}” lies over a box of {names[m]}"
    lines = np.array(sheet.lines) + np.array([-LINE, -LINE, LINE, LINE]) / 2
    for n, _ in np.argwhere(overlaps(areas, lines) > 0.02):
        yield f"“{words[n]}” lies on a line"
    for word in sheet.words:
        if word.size_pt < READABLE:
            yield f"“{word.text}” is {word.size_pt} pt small"
        if sheet.edge(word.area) < MARGINS[sheet.width > sheet.height]:
            yield f"“{word.text}” is {sheet.edge(word.area):.1f} mm from the edge"


def pairs(over: np.ndarray) -> Iterator[tuple[int, int, float]]:
    for n, m in np.argwhere(np.triu(over, 1) > 0):
        yield int(n), int(m), float(over[n, m])


def count_faults(page: Page, sheet: Sheet) -> Iterator[str]:
    """Find small counts and turns: numbers above the boxes of a scale, in their columns."""
    boxes = [box for field in page.fields if isinstance(field, Scale) for box in boxes_of(field)]
    for word in sheet.words:
        if word.size_pt < COUNTED and word.area.top > HEADER_BOTTOM and COUNT.fullmatch(word.text):
            middle = (word.area.left + word.area.right) / 2
            if any(
                abs(middle - box.x - box.width / 2) < 1.2 and 0 < box.y - word.area.bottom < 9
                for box in boxes
            ):
                yield f"the count “{word.text}” is {word.size_pt} pt small"


@pytest.mark.parametrize("case", cases(*KINDS))
def test_form_is_printed_without_a_fault(case):
    kind, name, units, paper = case

    assert faults_of(placed(kind, checked(described(name, units=units)), paper)) == []


READERS = {
    "divisions": {"cross_by": Reads.DIVISIONS, "sensitivity_mm_per_m": 0.3},
    "display": {"cross_by": Reads.DISPLAY, "display_step_deg": 0.01},
    "both ways round": {"cross_read": Ways.BOTH},
    "taut line": {
        "rise_by": RiseBy.LINE,
        "line": TautLine(Own(0.5, 0.02), Own(30.0, 0.6), Own(12.7, 0.05), 0.0254, 0.05),
    },
    "steps": {"rise_by": RiseBy.STEPS},
    "feelers": {"feelers_mm": (0.0381, 0.05, 0.1, 0.15, 0.2, 0.3, 0.635, 1.27)},
    "few feelers": {"feelers_mm": (0.3, 0.4, 0.6)},
    "laser": {"rise_by": RiseBy.LASER, "laser": LineLaser(Own(0.0, 0.17), 0.5, 0.25)},
}


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", ["long", "short"])
@pytest.mark.parametrize("reads", READERS)
def test_service_form_for_another_way_to_read_the_level_has_no_fault(reads, name, paper):
    table = described(name)
    kit = replace(table.kit, **READERS[reads])

    assert faults_of(placed("service", replace(table, kit=kit), paper)) == []


@pytest.mark.parametrize("case", cases("service"))
def test_service_form_of_a_table_with_a_longer_level_and_finer_cards_has_no_fault(case):
    kind, name, units, paper = case
    table = {"long": LONG, "middle": MIDDLE, "short": SHORT}[name]

    assert faults_of(placed(kind, replace(table, units=units), paper)) == []


@pytest.mark.parametrize("paper", list(Paper))
def test_pass_sheet_of_look_ups_that_all_differ_has_no_fault(paper):
    assert faults_of(placed("service", taught(LONG), paper)) == []


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("table", [MIDDLE, SHORT], ids=["middle", "short"])
def test_fine_threads_and_a_short_level_crowd_nothing(table, paper):
    assert faults_of(placed("service", fine(table), paper)) == []


@pytest.mark.parametrize("count", [pytest.param(0, marks=pytest.mark.long), 16])
@pytest.mark.parametrize("kind", KINDS)
def test_a_long_list_of_technicians_crowds_nothing(kind, count):
    assert faults_of(placed(kind, described("short"), Paper.A4, count)) == []


BOX = Box(10, 20, 5, 5)
SCALE = tuple(Option(n, Box(40 + 7.2 * n, 20, 5, 5)) for n in range(4))
FAULTY = {
    "“under” lies over “over” by 0.82 mm": Block(
        "a", 40, (Text(30, 5, "under", 9), Text(30, 6, "over", 9))
    ),
    "“over” lies over a box of t": Block(
        "a", 40, (Text(11, 21, "over", 9),), (), (Tick("t", "", BOX),)
    ),
    "“over” lies on a line": Block("a", 40, (Text(30, 5, "over", 9),), (Stroke("M0 7H90", 0.2),)),
    "“small” is 6.9 pt small": Block("a", 40, (Text(30, 5, "small", 6.9),)),
    "a box of t is 4.40 mm small": Block("a", 40, fields=(Tick("t", "", Box(10, 20, 4.4, 5)),)),
    "boxes of t and u are 0.60 mm apart": Block(
        "a", 40, fields=(Tick("t", "", BOX), Tick("u", "", BOX.moved(0, 5.6)))
    ),
    "the count “2” is 8.5 pt small": Block(
        "a", 40, (Text(56.9, 15, "2", 8.5, align="center"),), (), (Scale("s", "", "card", SCALE),)
    ),
    "a line runs through a box of t": Block(
        "a", 40, (), (Stroke("M0 22H90", 0.2),), (Tick("t", "", BOX),)
    ),
}


@pytest.mark.parametrize("fault", FAULTY)
def test_each_fault_would_be_noticed(fault):
    form = Form("t", "Trial", "1", (), (FAULTY[fault],))
    found = faults_of(place(form, Paper.LETTER, FormNumber.new()))

    assert [one for one in found if fault in one] == found != []


def test_a_box_that_was_moved_by_a_tenth_of_a_millimetre_would_be_noticed():
    form = place(Form("t", "Trial", "1", (), (FAULTY["a line runs through a box of t"],)),
                 Paper.LETTER, FormNumber.new())  # fmt: skip
    page, (sheet,) = form.layout.pages[0], sheets(print_form(form, datetime(2026, 11, 2)))
    moved = replace(page, fields=(Tick("t", "", page.fields[0].box.moved(0.1, 0)),))

    assert "a box of t stands 0.100 mm beside its place" in list(faults(moved, sheet))
