"""Photos that a shop took, with its tables of what is written; see tests/photos/README.md."""

import csv
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path

from reading.fills import Truth, Value
from reading.sheets import Sheet, outcomes_of

from forms.field import Choice, Digits, Field, Note, Scale, Tick
from forms.layout import Page, loads
from scan.read import read_photo

Row = Mapping[str, str]


def sheets_in(folder: Path) -> Iterator[Sheet]:
    """Read every photo of a folder and compare it with the tables."""
    written = _rows(folder / "written.csv")
    writers: dict[str, int] = {}
    for number, photo in enumerate(_rows(folder / "photos.csv")):
        mine = {row["field"]: row for row in written if row["file"] == photo["file"]}
        writer = writers.setdefault(photo["writer"], len(writers))
        yield _sheet(folder, photo, mine, (number, writer))


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


def _sheet(folder: Path, photo: Row, written: Mapping[str, Row], numbers: tuple[int, int]) -> Sheet:
    layout = loads((folder / photo["layout"]).read_text(encoding="utf-8"), photo["layout"])
    page = layout.pages[int(photo["page"]) - 1]
    found = read_photo(folder / photo["file"], {layout.form: layout}.get)
    outcomes, was_read = outcomes_of(page, truth_of(page, written), found)
    return Sheet(
        *(numbers[0], photo["grade"], numbers[1], "a person", photo["pen"], photo["printer"]),
        *(page.page, photo["random"] == "yes", was_read),
        *(tuple(problem.code for problem in found.problems), (), outcomes),
    )


def truth_of(page: Page, written: Mapping[str, Row]) -> dict[str, Truth]:
    """Say what each field of a page means; a row for a field that the page lacks is refused."""
    fields = {field.id: field for field in page.fields if not isinstance(field, Note)}
    strange = set(written) - {field.id for field in page.fields}
    if strange:
        raise ValueError(f"Page {page.page} has no field {', '.join(sorted(strange))}.")
    return {name: _truth(field, written.get(name)) for name, field in fields.items()}


def _truth(field: Field, row: Row | None) -> Truth:
    nothing = False if isinstance(field, Tick) else None
    if row is None:
        return Truth(nothing, (nothing,))
    if not row["value"]:
        return Truth(nothing, (), row["slip"] or "no one meaning")
    value = _value(field, row["value"])
    return Truth(value, (value,), row["slip"])


def _value(field: Field, text: str) -> Value:
    match field:
        case Digits():
            return Decimal(text)
        case Choice() | Scale():
            return next(one.value for one in field.options if str(one.value) == text)
    return text == "yes"
