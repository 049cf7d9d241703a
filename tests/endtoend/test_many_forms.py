"""Many filled forms through the booth: what is read as sure must be what was written.

In full 40 forms of the longest table, 160 pages, about 7,000 fields; a tenth of them otherwise.
"""

from collections import Counter
from decimal import Decimal
from pathlib import Path
from random import Random

import numpy as np
import pytest

from forms.field import Choice, Digits, Note, Scale, Tick
from forms.layout import Page
from passport.booth.camera import photograph
from passport.booth.grades import FLAT_SCAN, GOOD, ORDINARY
from passport.booth.hand import fill
from passport.booth.printer import print_pages
from passport.booth.scanner import scan_pdf
from passport.booth.shot import Shot
from passport.booth.writer import some_hand
from passport.demo.tour import INVENTED, differences
from passport.office import Office, printing
from passport.office.registering import register
from passport.records.store import Store
from passport.settings import Settings
from scan.read import read_photo
from scan.reading import Value

FORMS = 40
GRADES = (FLAT_SCAN, GOOD, ORDINARY)


@pytest.fixture
def printed(tmp_path: Path) -> printing.PrintedForm:
    office = Office(
        Store.open(tmp_path / "home"),
        Settings(technicians=("AB", "CD", "EF")),
        bits=Random(3).getrandbits,
    )
    table = register(office, INVENTED / "long.toml").table
    return printing.print_form(office, "service", table.number)


def anything(page: Page, rng: np.random.Generator) -> dict[str, Value]:
    """Answers over the whole range of every field, two in five left empty."""
    answers: dict[str, Value] = {}
    for field in page.fields:
        if rng.random() < 0.4 or isinstance(field, Note):
            continue
        match field:
            case Tick():
                answers[field.id] = True
            case Choice() | Scale():
                answers[field.id] = field.options[rng.integers(len(field.options))].value
            case Digits():
                steps = rng.integers(0, int((field.high - field.low) * 10**field.decimals) + 1)
                answers[field.id] = _decimal(field, int(steps))
    return answers


def test_no_sure_reading_is_wrong(printed, tmp_path, share):
    layouts = {printed.layout.form: printed.layout}
    blank = print_pages(printed.pdf)
    counted: Counter[str] = Counter()
    wrong: list[str] = []
    for number in range(max(3, round(FORMS * share))):
        rng = np.random.default_rng([number, 4])
        grade, hand = GRADES[number % len(GRADES)], some_hand(number)
        for page, picture in zip(printed.layout.pages, blank, strict=True):
            answers = anything(page, rng)
            filled = fill(picture, page, answers, hand)
            shot = Shot(grade, seed=number * 10 + page.page)
            scanned = grade is FLAT_SCAN
            path = tmp_path / f"{number}-{page.page}.{'pdf' if scanned else 'jpg'}"
            path.write_bytes(scan_pdf([filled], shot) if scanned else photograph(filled, shot))
            read = read_photo(path, layouts.get)
            assert [one.page for one in read.pages] == [page.page], read.problems
            readings = read.pages[0].fields
            meant = {
                field.id: answers.get(field.id)
                for field in page.fields
                if not isinstance(field, Note)
            }
            wrong += [f"{path.name} {line}" for line in differences(meant, readings)]
            counted.update(
                f"{grade.name} {type(field).__name__} {readings[field.id].status.value}"
                for field in page.fields
            )
    print()
    for name, count in sorted(counted.items()):
        print(f"  {name}: {count}")

    assert wrong == []


def _decimal(field: Digits, steps: int) -> Decimal:
    unit = Decimal(1).scaleb(-field.decimals)
    return Decimal(str(field.low)).quantize(unit) + steps * unit
