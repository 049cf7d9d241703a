"""The day's round: a numbered cover by urgency and place, then every table's papers, in one PDF."""

import subprocess
import sys
from datetime import UTC, date, datetime
from io import BytesIO
from random import Random

import pikepdf
import pypdfium2
import pytest

from forms.paper import Paper
from passport.demo.tour import INVENTED
from passport.documents.round import Stop, cover_pdf, in_order
from passport.office import Office, open_store
from passport.office.registering import register
from passport.office.rounds import RoundEmpty, due_numbers, print_round
from passport.settings import Settings

NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)


def texts(pdf: bytes) -> list[str]:
    with pypdfium2.PdfDocument(pdf) as document:
        return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def stop(name: str, site: str, on: date | None, *, unsafe: bool = False) -> Stop:
    return Stop("401273456", name, site, on, "Due.", unsafe, None, (), ())


@pytest.fixture
def office(tmp_path):
    made = Office(
        open_store(tmp_path / "home"), Settings(technicians=("AB",)), lambda: NOW,
        Random(3).getrandbits,
    )  # fmt: skip
    yield made
    made.store.close()


@pytest.fixture
def numbers(office):
    return [register(office, INVENTED / f"{one}.toml").table.number for one in ("short", "middle")]


def test_tables_of_one_place_stay_together_the_most_urgent_place_first():
    stops = [
        stop("a", "Mill", date(2026, 3, 1)),
        stop("b", "Barn", date(2026, 3, 9)),
        stop("c", "Mill", date(2026, 5, 1)),
        stop("d", "Barn", None, unsafe=True),
        stop("e", "Yard", date(2026, 2, 1)),
    ]

    assert [one.name for one in in_order(stops)] == ["d", "b", "e", "a", "c"]


def test_round_holds_the_cover_and_every_paper_in_the_order_of_the_cover(office, numbers):
    ready = []
    pdf = print_round(office, [*numbers, numbers[0]], kinds=("service", "card"), told=ready.append)

    pages = texts(pdf)
    forms = {form.table: form.number for form in office.store.forms() if form.kind == "service"}
    grouped = ["-".join((one[:4], one[4:8], one[8:])) for one in forms.values()]
    heads = [page for page in pages[1:] if "page 1 of" in page and "Service form" in page]
    assert ready == [1, 1]
    assert "Quarry Table" in pages[0]
    assert all(number in pages[0] for number in grouped)
    assert [("Quarry" in page, "Nook" in page) for page in heads] == [(True, False), (False, True)]
    sheets = [one for one in office.store.forms() if one.kind != "card"]
    cards = len(office.store.forms()) - len(sheets)
    assert len(pages) == 1 + 2 + sum(len(one.pages + one.optional) for one in sheets) + 2 * 2
    assert cards == 2 * 4


def test_cover_names_the_service_form_that_comes_along_with_an_installation(office, numbers):
    pages = texts(print_round(office, numbers[:1], kinds=("installation",)))

    numbers_of = {one.kind: one.number for one in office.store.forms()}
    grouped = {kind: "-".join((n[:4], n[4:8], n[8:])) for kind, n in numbers_of.items()}
    assert f"Installation form, 2 pages {grouped['installation']}" in pages[0]
    assert f"Service form, 4 pages {grouped['service']}" in pages[0]
    assert len(pages) == 1 + 2 + 4


def test_round_says_that_it_has_no_tags(office, numbers):
    pdf = pikepdf.open(BytesIO(print_round(office, numbers[:1])))

    assert "no tags" in str(pdf.docinfo["/Subject"])
    assert str(pdf.docinfo["/Title"]) == "Round of 2026-03-02, 1 table"


def test_every_table_without_a_visit_is_due(office, numbers):
    assert set(due_numbers(office)) == set(numbers)


def test_round_without_a_table_is_refused(office):
    with pytest.raises(RoundEmpty, match=r"^No table was chosen for the round\. Choose at least"):
        print_round(office, ())


def test_cover_keeps_the_longest_names_on_its_page():
    name = "The Table With The Longest Name That Anybody Ever Wrote In A Description"
    values = tuple((f"B{n}", "0.0201", "out") for n in range(12))
    long = Stop("401273456", name, name, date(2026, 3, 2), "Overdue. " * 6, True,
                date(2026, 1, 1), values, ("a kit",))  # fmt: skip
    with pypdfium2.PdfDocument(cover_pdf([long] * 40, Paper.A4, NOW)) as document:
        for page in document:
            found = page.get_textpage()
            boxes = [found.get_charbox(n) for n in range(found.count_chars())]
            assert max(right for _, _, right, _ in boxes) < page.get_width() - 6 * 72 / 25.4
    assert in_order([long])[0].pages == 0


LOOK = """
import sys, time
from datetime import UTC, datetime
from pathlib import Path
from forms.pdf import page_count
from passport.demo.tour import INVENTED
from passport.office import Office, open_store
from passport.office.registering import register
from passport.office.rounds import print_round
office = Office(open_store(Path(sys.argv[1])), now=lambda: datetime(2026, 3, 2, 9, tzinfo=UTC))
text = (INVENTED / "short.toml").read_text()
numbers = []
for n in range(int(sys.argv[2])):
    path = Path(sys.argv[1]) / f"{n}.toml"
    path.write_text(text.replace("Nook Table", f"Nook Table {n}"))
    numbers.append(register(office, path).table.number)
start = time.process_time()
pdf = print_round(office, numbers)
took = time.process_time() - start
# The kernel's high-water mark of this program alone; ru_maxrss begins with that of the parent.
status = dict(line.split(":", 1) for line in open("/proc/self/status"))
print(page_count(pdf), int(status["VmHWM"].split()[0]) / 1024, took, len(pdf))
"""


@pytest.mark.long
def test_round_of_three_hundred_pages_takes_little_more_memory_than_a_short_one(tmp_path):
    peaks = []
    for count in (15, 37, 75):
        words = [sys.executable, "-c", LOOK, str(tmp_path / str(count)), str(count)]
        said = subprocess.run(words, check=True, capture_output=True, text=True).stdout
        pages, peak, took, size = map(float, said.split())
        print(f"\n  {pages:.0f} pages: peak {peak:.0f} MB, {took / pages * 1000:.0f} ms of "
              f"processor and {size / pages / 1024:.0f} kB a page", end="")  # fmt: skip
        peaks.append(peak)

    assert peaks[2] < 1.25 * peaks[0]
