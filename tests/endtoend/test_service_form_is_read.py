"""A printed service form, blank or marked with crosses, is read as what stands on it."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
import pytest

from forms.field import Box, Choice, Note, Scale, Tick
from forms.layout import Layout, Page
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Placed, place
from forms.sheet import print_form
from passport.table_file import read_table
from passport.visit import BracketPass, Count, LegPass, Pass, Shot
from passport.visits import KINDS, Context
from passport.visits import service as service_form
from passport.visits.kind import NOTHING_OPEN, LookFirst
from scan.read import read_photo
from scan.reading import Reading, Status, Value

INVENTED = Path(__file__).parents[2] / "passport" / "invented"
PRINTED, RECEIVED = date(2026, 11, 2), date(2026, 12, 24)
OPEN = {  # with and without what stands below the box of a quick visit
    Paper.A4: NOTHING_OPEN,
    Paper.LETTER: LookFirst(("turn planned: L1 and B1", "surface: dent or crack noted")),
}
DPI = 200
PX = DPI / 25.4  # [px/mm]


def printed(name: str, paper: Paper) -> tuple[Placed, Context, bytes]:
    table = read_table((INVENTED / f"{name}.toml").read_text(), name, "100000181")
    form = KINDS["service"].form(
        table,
        printed_on=PRINTED,
        last_visit=None,
        technicians=("A. Reed", "B. Moss"),
        look_first=OPEN[paper],
    )
    placed = place(form, paper, FormNumber.new())
    context = Context(table, PRINTED, placed.layout)
    return placed, context, print_form(placed, datetime(2026, 11, 2))


def read(layout: Layout, paths: list[Path]) -> dict[str, Reading]:
    """Read pictures of all pages with the form's own layout."""
    found: dict[str, Reading] = {}
    for path in paths:
        for page in read_photo(path, {layout.form: layout}.get).pages:
            found |= page.fields
    return found


def pictures(pdf: bytes) -> list[np.ndarray]:
    document = pypdfium2.PdfDocument(pdf)
    pages = [page.render(scale=DPI / 72).to_numpy() for page in document]
    document.close()
    return [cv2.cvtColor(page, cv2.COLOR_BGR2GRAY) for page in pages]


def crossed(picture: np.ndarray, box: Box, rng: np.random.Generator) -> None:
    """Cross a box as a pen does: 0.5 mm wide, a little off, within the box."""
    inner = np.array(
        [[box.x + 0.7, box.y + 0.7], [box.x + box.width - 0.7, box.y + box.height - 0.7]]
    )
    (left, top), (right, bottom) = inner + rng.uniform(-0.3, 0.3, (2, 2))
    for start, end in (((left, top), (right, bottom)), ((left, bottom), (right, top))):
        ends = [tuple(round(v * PX) for v in point) for point in (start, end)]
        cv2.line(picture, *ends, color=40, thickness=4, lineType=cv2.LINE_AA)


def mark(picture: np.ndarray, page: Page, answers: Mapping[str, Value], seed: int) -> None:
    rng = np.random.default_rng(seed)
    for field in page.fields:
        if field.id not in answers:
            continue
        match field:
            case Tick() | Note():
                crossed(picture, field.box, rng)
            case Choice() | Scale():
                chosen = next(o for o in field.options if o.value == answers[field.id])
                crossed(picture, chosen.box, rng)


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", ["long", "middle", "short"])
def test_blank_form_is_read_as_blank(tmp_path, name, paper):
    placed, _, pdf = printed(name, paper)
    path = tmp_path / "blank.pdf"
    path.write_bytes(pdf)

    readings = read(placed.layout, [path])
    assert readings.keys() == {f.id for page in placed.layout.pages for f in page.fields}
    assert not {
        field: one
        for field, one in readings.items()
        if one.ink or one.value or one.status not in (Status.SURE, Status.EMPTY)
    }


def test_crosses_on_the_longest_form_are_read_as_the_visit_they_mean(tmp_path):
    placed, context, pdf = printed("long", Paper.LETTER)
    first = Pass(
        {
            "L1": LegPass(Count(-5, True), 3, -1, Count(0), True, True, True),
            "L2": LegPass(Count(1), bears_left=True, bears_right=False),
            "L3": LegPass(Count(0), untouched=True),
            "L5": LegPass(Count(4), 0, 2, Count(1), True, False, False),
        },
        {
            **{f"B{n}": BracketPass(Count(n - 2), 9 - n, Count(3), True) for n in range(1, 8)},
            "B8": BracketPass(Count(8, True), -8, Count(5), False),
        },
        {"A": Count(-2, True), "B": Count(5)},
        {"A": Count(6)},
        {"A": 8},
        30,
    )
    second = Pass(
        {"L5": LegPass(Count(1), 1, 0, Count(0), jam_nut_locked=True)},
        {"B8": BracketPass(Count(5), -5, Count(4), True)},
    )
    shots = (Shot("left", "A", 6, True), Shot("middle", "A", 0), Shot("right", "B", -2))
    blank = service_form.interpret(context, {}, pages_in=(), received_on=RECEIVED)
    visit = replace(blank, passes=(first, second), shots=shots, technician="B. Moss",
                    changed=frozenset({"moved", "played heavy"}), unsafe=True)  # fmt: skip
    answers = service_form.answers(visit)
    paths = []
    for page, picture in zip(placed.layout.pages, pictures(pdf), strict=True):
        mark(picture, page, answers, seed=page.page)
        paths.append(tmp_path / f"{page.page}.png")
        cv2.imwrite(str(paths[-1]), picture)

    got = service_form.interpret(
        context, read(placed.layout, paths), pages_in=(1, 2, 3, 4), received_on=RECEIVED
    )
    assert got.passes == (first, second)
    assert (got.shots, got.technician, got.changed, got.unsafe) == (
        shots, "B. Moss", {"moved", "played heavy"}, True,
    )  # fmt: skip
    assert [doubt.field for doubt in got.doubts] == ["date.day"]
