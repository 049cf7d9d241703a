"""Every document of the invented tables: laid out without overlap, from real advice."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from forms.paper import Paper
from forms.pdf import laid_out
from passport.documents.actions import actions_pdf
from passport.documents.care import Use, care_html
from passport.documents.codes import care_code_text
from passport.documents.handover import handover_pdf
from passport.documents.house import Story
from passport.documents.label import Label, LabelSheet, label_pdf
from passport.documents.passport import booklet_pdf, passport_pdf
from passport.leveling.advise import advise
from passport.settings import Settings
from passport.table import Table
from passport.visit import BracketPass, Count, LegPass, Pass, Visit
from tests.measuring import Area, Sheet, overlaps, sheets
from tests.tables import LONGEST, described

CLOCK, TODAY = datetime(2026, 11, 24, 9, 30), date(2026, 11, 24)
NAMES = ("short", "middle", "long")
MARGIN, HAIR = 7.0, 0.05  # [mm] what printers reach; what may touch
READABLE = 7.0  # [pt] give or take what a drawing's scale is rounded to


def invented(which: str, **changes: object) -> Table:
    return replace(described(which, "401273456", **changes), number="401 2734 56")


def visit(table: Table, when: date, spread: int) -> Visit:
    """Stations found apart by ``spread`` cards, all turned, left better."""
    legs = {
        leg.name: LegPass(Count(spread - i), i - 1, 1 - i, Count((i % 3) - 1))
        for i, leg in enumerate(table.adjusted_legs())
    }
    brackets = {
        bracket.name: BracketPass(Count(i % 6), 1 + i % 3, Count(1 + (i + spread) % 4), True)
        for i, bracket in enumerate(table.brackets)
    }
    ends = {"A": Count(1), "B": Count(2)}
    walk = Pass(legs, brackets, ends, ends)
    return Visit(
        f"8K2M4QX07R{spread}", "service", table.number, when, table.kit, "AB", 21.0, 44.0,
        (Count(1), Count(0)), (walk,), surface={"wax_twice": True, "worn": True},
        changed=frozenset({"climate", "played heavy"}),
    )  # fmt: skip


def told(table: Table, *dates: date) -> Story:
    visits = tuple(visit(table, when, 2 + i) for i, when in enumerate(dates))
    return Story(
        table,
        visits,
        advise(table, visits, today=TODAY),
        "9f2c41d07be05a1c" * 4,
        care_code_text(table.number, None, None, "+1 555 010 0199"),
        advise(table, visits[:-1], today=TODAY),
        "+1 555 010 0199",
        today=TODAY,
    )


TWICE = (date(2026, 2, 11), date(2026, 9, 3))


def faults(pdf: bytes) -> list[str]:
    """Say what words lie over others, are too small to read or beyond a printer's reach."""
    return [f"page {n}: {fault}" for n, one in enumerate(sheets(pdf), 1) for fault in _faults(one)]


def parted(pdf: bytes) -> list[str]:
    """Find lines that end inside what a reader takes in as one: ``0.020 ±``, ``look-``, ``mm/``."""
    with pypdfium2.PdfDocument(pdf) as document:
        texts = [page.get_textpage().get_text_range() for page in document]
    lines = "\r\n".join(texts).split("\r\n")
    return [line for line in lines if line.rstrip().endswith(("±", "look-", "mm/", "in/"))]


def _faults(sheet: Sheet) -> Iterator[str]:
    words = sheet.words
    areas = np.array([word.area for word in words])
    for n, m in np.argwhere(np.triu(overlaps(areas, areas), 1) > HAIR):
        yield f"“{words[n].text}” lies over “{words[m].text}”"
    for word in words:
        if word.size_pt < READABLE - 0.005:
            yield f"“{word.text}” is {word.size_pt} pt small"
        if sheet.edge(word.area) < MARGIN:
            yield f"“{word.text}” is {sheet.edge(word.area):.1f} mm from the edge"


@pytest.mark.parametrize("name", NAMES)
def test_documents_fit_letter_without_overlap(name):
    story = told(invented(name, name=LONGEST, site=LONGEST), *TWICE)

    for make in (passport_pdf, booklet_pdf, actions_pdf, handover_pdf):
        pdf = make(story, Paper.LETTER, CLOCK)
        assert (faults(pdf), parted(pdf)) == ([], [])


@pytest.mark.long
@pytest.mark.parametrize("dates", [(), TWICE[:1], TWICE], ids=["new", "once", "twice"])
@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", NAMES)
def test_documents_fit_their_paper_without_overlap(name, paper, dates):
    story = told(invented(name, name=LONGEST, site=LONGEST), *dates)

    for make in (passport_pdf, booklet_pdf, actions_pdf, handover_pdf):
        pdf = make(story, paper, CLOCK)
        assert (faults(pdf), parted(pdf)) == ([], [])


@pytest.mark.long
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_documents_fit_in_both_systems_of_units(name, units):
    story = told(invented(name, units=units), *TWICE)

    for make in (passport_pdf, booklet_pdf, actions_pdf):
        pdf = make(story, Paper.LETTER, CLOCK)
        assert (faults(pdf), parted(pdf)) == ([], [])


@pytest.mark.parametrize("name", NAMES)
def test_actions_are_at_most_two_pages(name):
    story = told(invented(name), *TWICE)

    assert len(pypdfium2.PdfDocument(BytesIO(actions_pdf(story, Paper.LETTER, CLOCK)))) <= 2


@pytest.mark.long
@pytest.mark.parametrize("name", NAMES)
def test_passport_with_many_visits_runs_on(name):
    story = told(invented(name), *(date(2010 + i // 6, 1 + i % 6, 3) for i in range(7)))

    pdf = passport_pdf(story, Paper.LETTER, CLOCK)
    assert faults(pdf) == []


@pytest.mark.parametrize("sheet", list(LabelSheet))
@pytest.mark.parametrize("host", [None, "care.example.org", "a" * 52 + ".example"])
def test_labels_fit_with_the_longest_names_and_hosts(sheet, host):
    token = "7ZK2M04QX9RJ1B5T"
    address = f"https://{host}/T/{token}" if host else None
    code = care_code_text("401 2734 56", host, token, "+1 555 010 0199")
    label = Label("401 2734 56", LONGEST, code, address, "+1 555 010 0199 ext 12345")
    geometry = sheet.value
    pdf = label_pdf([label] * geometry.places, sheet, CLOCK)

    (page,) = sheets(pdf)
    corners = [geometry.corner(place + 1) for place in range(geometry.places)]
    spaces = [Area(x, y, x + geometry.width, y + geometry.height) for x, y in corners]
    gutter = Area(page.width / 2 - 1.4, 0, page.width / 2 + 1.4, page.height)  # the bar's length
    strays = [
        word
        for word in page.words
        if not any(space.around(word.area) == space for space in (gutter, *spaces))
    ]
    assert ([fault for fault in faults(pdf) if "from the edge" not in fault], strays) == ([], [])


@pytest.fixture
def care_file(tmp_path) -> Path:
    story = told(invented("long"), *TWICE)
    settings = Settings(phone="+1 555 010 0199")
    path = tmp_path / "care.html"
    path.write_text(
        care_html(story.table, story.advice, settings, today=TODAY, use=Use.STOPPED), "utf-8"
    )
    return path


def browse(*options: str) -> None:
    browser = shutil.which("chromium")
    if browser is None:
        pytest.skip("no chromium on this machine")
    quiet = ["--headless", "--no-sandbox", "--disable-gpu", *options]
    subprocess.run([browser, *quiet], check=True, capture_output=True, timeout=60)


def test_care_page_prints_on_at_most_two_pages(care_file, tmp_path):
    browse("--no-pdf-header-footer", f"--print-to-pdf={tmp_path / 'care.pdf'}", str(care_file))

    assert len(pypdfium2.PdfDocument(tmp_path / "care.pdf")) <= 2


REPRINT = """
import sys
from datetime import datetime
from hashlib import sha256
sys.path.insert(0, {folder!r})
from test_documents import CLOCK, TWICE, Paper, actions_pdf, invented, passport_pdf, told
story = told(invented("long"), *TWICE)
for make in (passport_pdf, actions_pdf):
    print(sha256(make(story, Paper.A4, CLOCK)).hexdigest())
"""


@pytest.mark.long
def test_other_process_prints_the_same_bytes():
    script = REPRINT.format(folder=str(Path(__file__).parent))
    printed = [
        subprocess.run(
            [sys.executable, "-c", script],
            check=True,
            capture_output=True,
            text=True,
            env=os.environ | {"PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    ]

    assert printed[0] == printed[1]


def test_each_fault_of_a_document_would_be_noticed():
    spot = '<p style="position: absolute; margin: 0; left: {}mm; top: {}mm; font-size: {}pt">{}</p>'
    words = ((30, 30, 9, "under"), (30, 31, 9, "over"), (60, 30, 6, "small"), (5, 60, 9, "edge"))
    body = "".join(spot.format(*word) for word in words)
    html = f'<!DOCTYPE html><html lang="en"><title>T</title>{body}</html>'
    style = '@page { margin: 0; size: 215.9mm 279.4mm } html { font-family: "Form" }'
    pdf = laid_out(html, style, "1").pdf()

    assert faults(pdf) == [
        "page 1: “under” lies over “over”",
        "page 1: “small” is 6.0 pt small",
        "page 1: “edge” is 5.2 mm from the edge",
    ]


def test_a_line_that_ends_inside_a_quantity_would_be_noticed():
    html = '<!DOCTYPE html><html lang="en"><title>T</title><p>0.020 ± 0.0075 in</p></html>'
    pdf = laid_out(html, 'html { font: 9pt "Form" } p { width: 18mm }', "1").pdf()

    assert parted(pdf) == ["0.020 ±"]
