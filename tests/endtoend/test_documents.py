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

import pypdfium2
import pytest

from forms.paper import Paper
from passport.documents.actions import actions_pdf
from passport.documents.care import Use, care_html
from passport.documents.codes import care_code_text
from passport.documents.handover import handover_pdf
from passport.documents.house import Story
from passport.documents.label import Label, LabelSheet, label_pdf
from passport.documents.passport import passport_pdf
from passport.leveling.advise import advise
from passport.settings import Settings
from passport.table import Table
from passport.visit import BracketPass, Count, LegPass, Pass, Visit
from tests.tables import LONGEST, described

CLOCK, TODAY = datetime(2026, 11, 24, 9, 30), date(2026, 11, 24)
NAMES = ("short", "middle", "long")
Rect = tuple[float, float, float, float]


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


def lines_of(page: pypdfium2.PdfPage) -> list[Rect]:
    """List the rectangles [pt] of the runs of text on a page."""
    text = page.get_textpage()
    return [text.get_rect(index) for index in range(text.count_rects())]


def overlap(one: Rect, other: Rect) -> float:
    width = min(one[2], other[2]) - max(one[0], other[0])
    height = min(one[3], other[3]) - max(one[1], other[1])
    return width * height if width > 0 and height > 0 else 0.0


def clashes(pdf: bytes) -> Iterator[tuple[int, Rect, Rect]]:
    """Find runs of text that lie over each other by more than a hair."""
    for number, page in enumerate(pypdfium2.PdfDocument(BytesIO(pdf)), 1):
        found = lines_of(page)
        for index, one in enumerate(found):
            for other in found[index + 1 :]:
                if overlap(one, other) > 0.6:
                    yield number, one, other


def outside(pdf: bytes, margin_mm: float) -> list[tuple[int, Rect]]:
    """Find runs of text nearer to the paper's edge than a printer reaches."""
    margin = margin_mm / 25.4 * 72
    return [
        (number, line)
        for number, page in enumerate(pypdfium2.PdfDocument(BytesIO(pdf)), 1)
        for line in lines_of(page)
        if line[0] < margin
        or line[1] < margin
        or line[2] > page.get_width() - margin
        or line[3] > page.get_height() - margin
    ]


@pytest.mark.parametrize("name", NAMES)
def test_documents_fit_letter_without_overlap(name):
    story = told(invented(name, name=LONGEST, site=LONGEST), *TWICE)

    for make in (passport_pdf, actions_pdf, handover_pdf):
        pdf = make(story, Paper.LETTER, CLOCK)
        assert (list(clashes(pdf)), outside(pdf, 7.0)) == ([], [])


@pytest.mark.long
@pytest.mark.parametrize("dates", [(), TWICE[:1], TWICE], ids=["new", "once", "twice"])
@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", NAMES)
def test_documents_fit_their_paper_without_overlap(name, paper, dates):
    story = told(invented(name, name=LONGEST, site=LONGEST), *dates)

    for make in (passport_pdf, actions_pdf):
        pdf = make(story, paper, CLOCK)
        assert (list(clashes(pdf)), outside(pdf, 7.0)) == ([], [])


@pytest.mark.long
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_documents_fit_in_both_systems_of_units(name, units):
    story = told(invented(name, units=units), *TWICE)

    for make in (passport_pdf, actions_pdf):
        pdf = make(story, Paper.LETTER, CLOCK)
        assert (list(clashes(pdf)), outside(pdf, 7.0)) == ([], [])


@pytest.mark.parametrize("name", NAMES)
def test_actions_are_at_most_two_pages(name):
    story = told(invented(name), *TWICE)

    assert len(pypdfium2.PdfDocument(BytesIO(actions_pdf(story, Paper.LETTER, CLOCK)))) <= 2


@pytest.mark.long
@pytest.mark.parametrize("name", NAMES)
def test_passport_with_many_visits_runs_on(name):
    story = told(invented(name), *(date(2010 + i // 6, 1 + i % 6, 3) for i in range(7)))

    pdf = passport_pdf(story, Paper.LETTER, CLOCK)
    assert (list(clashes(pdf)), outside(pdf, 7.0)) == ([], [])


@pytest.mark.parametrize("sheet", list(LabelSheet))
@pytest.mark.parametrize("host", [None, "care.example.org", "a" * 52 + ".example"])
def test_labels_fit_with_the_longest_names_and_hosts(sheet, host):
    token = "7ZK2M04QX9RJ1B5T"
    address = f"https://{host}/T/{token}" if host else None
    code = care_code_text("401 2734 56", host, token, "+1 555 010 0199")
    label = Label("401 2734 56", LONGEST, code, address, "+1 555 010 0199 ext 12345")
    geometry = sheet.value
    pdf = label_pdf([label] * geometry.places, sheet, CLOCK)

    page = pypdfium2.PdfDocument(BytesIO(pdf))[0]
    corners = [geometry.corner(place + 1) for place in range(geometry.places)]
    gutter = [page.get_width() / 2 - 4, page.get_width() / 2 + 4]  # the check bar's length in words
    strays = [
        line
        for line in lines_of(page)
        if not (gutter[0] < line[0] and line[2] < gutter[1])
        and not any(
            x * 72 / 25.4 <= line[0]
            and line[2] <= (x + geometry.width) * 72 / 25.4
            and (geometry.sheet_height - y - geometry.height) * 72 / 25.4 <= line[1]
            and line[3] <= (geometry.sheet_height - y) * 72 / 25.4
            for x, y in corners
        )
    ]
    assert (list(clashes(pdf)), strays) == ([], [])


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
