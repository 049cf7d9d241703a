"""Copies of a spare form, drawn once and stamped: each reads back as itself, with its own marks."""

from datetime import UTC, datetime
from pathlib import Path
from random import Random

import pytest

from forms.field import Tick
from passport.booth.camera import photograph
from passport.booth.grades import GOOD
from passport.booth.hand import fill
from passport.booth.printer import print_pages
from passport.booth.shot import Shot
from passport.booth.writer import some_hand
from passport.office import Office, open_store
from passport.office.copies import PrintedCopies, print_spares
from passport.settings import Settings
from scan.read import read_photo

CLOCK = datetime(2026, 3, 2, 18, tzinfo=UTC)


@pytest.fixture
def spares(tmp_path: Path) -> PrintedCopies:
    store = open_store(tmp_path / "home")
    office = Office(
        store, Settings(technicians=("AB",)), now=lambda: CLOCK, bits=Random(7).getrandbits
    )
    printed = print_spares(office, copies=2)
    assert {form.number for form in store.forms()} == {one.form for one in printed.layouts}
    store.close()
    return printed


def test_each_copy_reads_back_under_its_own_number(spares, tmp_path):
    layouts = {layout.form: layout for layout in spares.layouts}
    blank = print_pages(spares.pdf)
    pages = [(layout, page) for layout in spares.layouts for page in layout.pages]
    meant, found = [], []
    for number in (0, 4):  # the first copy's first page, the second copy's second
        layout, page = pages[number]
        ticks = {field.id: bool(n % 2) for n, field in enumerate(page.fields)
                 if isinstance(field, Tick)}  # fmt: skip
        filled = fill(blank[number], page, ticks, some_hand(3))
        path = tmp_path / f"{number}.jpg"
        path.write_bytes(photograph(filled, Shot(GOOD, number)))
        (read,) = read_photo(path, layouts.get).pages
        meant.append((layout.form, page.page, ticks))
        found.append((read.form, read.page, {id_: read.fields[id_].value for id_ in ticks}))

    assert found == meant
