"""A stack of scanned sheets in one file: any order, any way up, one sheet doubled, one missing.

Twelve sheets by default, 120 with --long, as many as an office's document feeder takes (common
practice, no source).
"""

from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from random import Random
from typing import NamedTuple

import pytest
from PIL import Image

from forms.field import Note
from passport.booth.camera import photograph
from passport.booth.grades import FLAT_SCAN
from passport.booth.hand import fill
from passport.booth.printer import print_pages
from passport.booth.shot import Shot
from passport.booth.writer import some_hand
from passport.demo.tour import INVENTED, differences
from passport.office import Office, printing
from passport.office.forms_out import rounds
from passport.office.intake import Taken, intake
from passport.office.registering import register
from passport.records.intake import Outcome
from passport.records.store import Store
from passport.settings import Settings
from scan.reading import Value

DPI = 200
PAGES = 3  # of a form, the third of which need not come back
STACKS = [
    ("PDF", 12),
    pytest.param("PDF", 120, marks=pytest.mark.long),
    pytest.param("TIFF", 120, marks=pytest.mark.long),
]


class Sheet(NamedTuple):
    """A page of a form, and the form that it belongs to."""

    form: printing.PrintedForm
    page: int

    @property
    def name(self) -> tuple[str, int]:
        return self.form.layout.form, self.page


class Stack(NamedTuple):
    """An office, its forms, and which sheet of them is doubled in the stack, and which missing."""

    office: Office
    forms: list[printing.PrintedForm]
    sheets: list[Sheet]
    doubled: Sheet
    missing: Sheet


def stack_of(folder: Path, count: int) -> Stack:
    """Print as many forms as give ``count`` sheets, and shuffle what came back."""
    office = Office(
        Store.open(folder / "home"),
        Settings(phone="555-0100", technicians=("AB", "CD")),
        now=lambda: datetime(2026, 3, 2, 18, tzinfo=UTC),
        bits=Random(7).getrandbits,
    )
    table = register(office, INVENTED / "short.toml").table
    forms = [printing.print_form(office, "service", table.number) for _ in range(count // PAGES)]
    sheets = [Sheet(form, page.page) for form in forms for page in form.layout.pages]
    assert len(sheets) == count
    missing, doubled = sheets[3], sheets[7]
    fed = [sheet for sheet in sheets if sheet != missing] + [doubled]
    Random(count).shuffle(fed)
    return Stack(office, forms, fed, doubled, missing)


def answers_of(sheet: Sheet, number: int) -> dict[str, Value]:
    fields = sheet.form.layout.pages[sheet.page - 1].fields
    rows = [field for field in fields if hasattr(field, "options")]
    return {row.id: row.options[(number + at) % len(row.options)].value
            for at, row in enumerate(rows) if (number + at) % 3}  # fmt: skip


def scanned(stack: Stack, kind: str) -> bytes:
    """Fill the sheets and scan them into one file, each turned by a quarter, a half, or not."""
    printed = [print_pages(form.pdf, DPI) for form in stack.forms]
    pictures = []
    for place, sheet in enumerate(stack.sheets):
        number = stack.forms.index(sheet.form)
        blank = printed[number][sheet.page - 1]
        page = sheet.form.layout.pages[sheet.page - 1]
        filled = fill(blank, page, answers_of(sheet, number), some_hand(number))
        scan = photograph(filled, Shot(FLAT_SCAN, seed=place, dpi=DPI))
        pictures.append(
            Image.open(BytesIO(scan)).convert("L").rotate(90 * (place % 4), expand=True)
        )
    file = BytesIO()
    how = {"resolution": DPI} if kind == "PDF" else {"dpi": (DPI, DPI), "compression": "jpeg"}
    pictures[0].save(file, kind, save_all=True, append_images=pictures[1:], **how)
    return file.getvalue()


@pytest.mark.parametrize(("kind", "count"), STACKS)
def test_a_stack_in_any_order_joins_its_forms(tmp_path, kind, count):
    stack = stack_of(tmp_path, count)
    path = tmp_path / f"stack.{kind.lower()}"
    path.write_bytes(scanned(stack, kind))

    (taken,) = intake(stack.office, [path])

    assert [page[:2] for page in taken.pages] == [sheet.name for sheet in stack.sheets]
    assert outcomes_of(taken, stack) == {Outcome.RECORDED: count - 1, Outcome.SEEN_BEFORE: 1}
    assert missing_in(stack.office) == {stack.missing.name}
    assert wrong_in(stack) == []


def outcomes_of(taken: Taken, stack: Stack) -> dict[Outcome, int]:
    """Count what became of the sheets; a second scan of the doubled may have shown more."""
    ends = [Outcome.SEEN_BEFORE if page[2] is Outcome.MERGED and page[:2] == stack.doubled.name
            else page[2] for page in taken.pages]  # fmt: skip
    return {end: ends.count(end) for end in set(ends)}


def missing_in(office: Office) -> set[tuple[str, int]]:
    """Name the pages that the office is told to look for."""
    return {(out.form.number, page) for day in rounds(office) for out in day.forms
            for page in out.form.missing}  # fmt: skip


def wrong_in(stack: Stack) -> list[str]:
    """Name what is said surely and was not written, over all forms."""
    wrong: list[str] = []
    for number, form in enumerate(stack.forms):
        readings = stack.office.store.readings(form.layout.form)
        meant = {
            field.id: answers_of(sheet, number).get(field.id)
            for sheet in stack.sheets
            if sheet.form is form
            for field in form.layout.pages[sheet.page - 1].fields
            if not isinstance(field, Note)
        }
        wrong += differences(meant, readings)
    return wrong
