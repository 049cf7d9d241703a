"""A folder of photos: any order, stopped and taken up again, one process or two, bad files."""

import json
from dataclasses import replace
from datetime import UTC, datetime
from itertools import islice
from pathlib import Path
from random import Random

import pytest

from passport.booth.camera import photograph
from passport.booth.grades import FLAT_SCAN
from passport.booth.hand import fill
from passport.booth.printer import print_pages
from passport.booth.shot import Shot
from passport.booth.writer import some_hand
from passport.demo.tour import INVENTED
from passport.office import Office, printing
from passport.office.intake import State, files_in, intake
from passport.office.registering import register
from passport.records.store import Store
from passport.settings import Settings

FORMS = 1


def office_in(home: Path) -> tuple[Office, list[printing.PrintedForm]]:
    """Open the same office with the same forms printed, every time."""
    office = Office(
        Store.open(home),
        Settings(phone="555-0100", technicians=("AB", "CD")),
        now=lambda: datetime(2026, 3, 2, 18, tzinfo=UTC),
        bits=Random(7).getrandbits,
    )
    table = register(office, INVENTED / "short.toml").table
    return office, [printing.print_form(office, "service", table.number) for _ in range(FORMS)]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Photograph the forms' pages, one of them doubled, and three files that are no photos."""
    home = tmp_path_factory.mktemp("batch")
    photos = home / "photos"
    photos.mkdir()
    _, forms = office_in(home / "first")
    for number, form in enumerate(forms):
        for page, picture in zip(form.layout.pages, print_pages(form.pdf, 200), strict=True):
            rows = [one for one in page.fields if hasattr(one, "options")]
            answers = {one.id: one.options[-1].value for one in rows[number::2]}
            filled = fill(picture, page, answers, some_hand(number))
            shot = Shot(FLAT_SCAN, seed=number * 10 + page.page, dpi=200)
            (photos / f"{number}-{page.page}.jpg").write_bytes(photograph(filled, shot))
    (photos / "0-1 copy.jpg").write_bytes((photos / "0-1.jpg").read_bytes())
    (photos / "empty.jpg").write_bytes(b"")
    (photos / "torn.jpg").write_bytes((photos / "0-2.jpg").read_bytes()[:3000])
    (photos / "words.pdf").write_bytes(b"not a PDF at all")
    return photos


def what_stands_in(office: Office, forms: list[printing.PrintedForm]) -> str:
    """Everything that was read, but for the names of files with cut-outs."""
    readings = {
        form.layout.form: {
            name: str(replace(one, crop=None))
            for name, one in office.store.readings(form.layout.form).items()
        }
        for form in forms
    }
    return json.dumps(readings, sort_keys=True)


@pytest.fixture(scope="module")
def plain(folder, tmp_path_factory):
    """Take the folder in with one process, in its own order."""
    office, forms = office_in(tmp_path_factory.mktemp("plain") / "home")
    taken = list(intake(office, files_in([folder])[0]))
    return taken, what_stands_in(office, forms)


def test_every_file_ends_in_a_clear_state(folder, plain):
    unusable = {one.file for one in plain[0] if one.state is State.CANNOT_BE_USED}
    seen = {one.file for one in plain[0] if one.state is State.SEEN_BEFORE}

    assert (unusable, seen) == ({"empty.jpg", "torn.jpg", "words.pdf"}, {"0-1.jpg"})


def test_order_does_not_matter(folder, plain, tmp_path):
    office, forms = office_in(tmp_path / "home")

    list(intake(office, files_in([folder])[0][::-1]))

    assert what_stands_in(office, forms) == plain[1]


def test_two_workers_end_every_file_as_one_does(folder, plain, tmp_path):
    office, forms = office_in(tmp_path / "home")

    taken = list(intake(office, files_in([folder])[0], workers=2))

    assert (taken, what_stands_in(office, forms)) == plain


def test_a_batch_that_was_stopped_is_taken_up_where_it_was(folder, plain, tmp_path):
    office, forms = office_in(tmp_path / "home")
    paths = files_in([folder])[0]
    stopped = intake(office, paths)
    first = [one.file for one in islice(stopped, 3) if one.state is not State.CANNOT_BE_USED]
    stopped.close()

    again = {one.file: one.state for one in intake(office, paths)}

    expected = ({State.SEEN_BEFORE}, plain[1])
    assert ({again[name] for name in first}, what_stands_in(office, forms)) == expected
