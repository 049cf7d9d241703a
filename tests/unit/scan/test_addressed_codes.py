"""Forms whose code carries the desk's address: read like any other; another desk's are refused."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pypdfium2
import pytest

from forms.layout import Layout
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Placed, place
from forms.sheet import print_form
from scan.read import read_photo

HERE, ELSEWHERE = "http://10.0.0.5:8737", "http://10.0.0.6:8737"


def addressed(placed: Placed, address: str) -> Placed:
    return place(placed.form, Paper.LETTER, FormNumber("00000000011"), address)


@pytest.fixture
def photo(placed: Placed, tmp_path: Path) -> Path:
    pdf = print_form(addressed(placed, HERE), datetime(2026, 11, 24, tzinfo=UTC))
    path = tmp_path / "page.png"
    pypdfium2.PdfDocument(pdf)[0].render(scale=150 / 72).to_pil().save(path)
    return path


def read_with(photo: Path, layout: Layout):
    return read_photo(photo, {layout.form: layout}.get)


def test_a_form_with_an_address_in_its_code_is_read(photo: Path, placed: Placed):
    found = read_with(photo, addressed(placed, HERE).layout)

    assert [(page.form, page.page) for page in found.pages] == [("00000000011", 1)]
    assert found.problems == ()


@pytest.mark.parametrize("address", [ELSEWHERE, None])
def test_a_code_with_another_address_than_was_printed_is_refused(
    photo: Path, placed: Placed, address: str | None
):
    layout = addressed(placed, address).layout if address else placed.layout
    found = read_with(photo, replace(layout, form="00000000011"))

    assert [problem.code for problem in found.problems] == ["code and squares disagree"]
