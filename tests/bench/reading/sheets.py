"""One sheet after another: written, photographed, read, compared. One line of a file for each.

As a program it goes on where it was stopped::

    python -m reading.sheets LINES.jsonl FIRST LAST [KEEP]

``KEEP`` is a folder for photos with a silent error.
"""

import json
import sys
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from reading.fills import Fill, Truth, fill_of
from reading.people import SHEETS_EACH, Person, person_of, write
from reading.press import PRINTERS, on_paper, service_form

from forms.field import Digits, Field, Note
from forms.layout import Page, dumps
from passport.booth.camera import photograph
from passport.booth.grades import BAD, FLAT_SCAN, GOOD, ORDINARY, Grade
from passport.booth.shot import Shot
from passport.booth.troubles import some_troubles
from scan.guards import GUARDS, Guards
from scan.read import read_photo
from scan.reading import PhotoReading, Reading, Status

GRADES: tuple[Grade, ...] = (FLAT_SCAN, GOOD, ORDINARY, BAD)
_PAGES, _OF_PAGES = (1, 2, 3, 4), (0.2, 0.15, 0.5, 0.15)  # numbers stand on page 3
_PRINTERS, _OF_PRINTERS = tuple(PRINTERS), (0.72, 0.07, 0.07, 0.07, 0.07)
ASSERTED = (Status.SURE, Status.EMPTY)


@dataclass(frozen=True)
class Outcome:
    """How one field was read. ``kind`` is "digits" or "mark"; ``right`` says the value is meant."""

    field: str
    kind: str
    status: str
    confidence: float
    right: bool
    silent: bool
    slip: str
    why: str
    meant: str
    value: str


@dataclass(frozen=True)
class Sheet:
    """One photo: what was done to it, and how its fields were read."""

    number: int
    grade: str
    writer: int
    model: str
    pen: str
    printer: str
    page: int
    anything: bool
    read: bool
    problems: tuple[str, ...]
    glyphs: tuple[str, ...]
    outcomes: tuple[Outcome, ...]


@dataclass(frozen=True)
class Taken:
    """A filled page's photo and everything known about it."""

    number: int
    grade: Grade
    person: Person
    printer: str
    page: int
    anything: bool
    truth: dict[str, Truth]
    glyphs: tuple[str, ...]
    photo: bytes


def take(number: int) -> Taken:
    """Fill and photograph sheet ``number``; the same each time."""
    rng = np.random.default_rng([number, 53])
    grade = GRADES[number % len(GRADES)]
    writer = number // SHEETS_EACH
    page_number = int(rng.choice(_PAGES, p=_OF_PAGES))
    printer = str(rng.choice(_PRINTERS, p=_OF_PRINTERS))
    anything = bool(rng.random() < 0.22)
    page, picture = on_paper(page_number, PRINTERS[printer])
    what: Fill = fill_of(page, rng, anything=anything)
    person = person_of(writer)
    filled, glyphs = write(picture, page, what, person, number)
    shot = Shot(grade, seed=70_000 + number, troubles=some_troubles(grade, number))
    photo = photograph(filled, shot)
    truth = what.truth
    return Taken(number, grade, person, printer, page_number, anything, truth, tuple(glyphs), photo)


def measure(number: int, folder: Path) -> Sheet:
    """Read sheet ``number`` and compare."""
    taken = take(number)
    return compare(taken, read(taken, folder))


def read(taken: Taken, folder: Path, guards: Guards = GUARDS) -> PhotoReading:
    path = folder / f"{taken.number}.jpg"
    path.write_bytes(taken.photo)
    layout = service_form().layout
    found = read_photo(path, {layout.form: layout}.get, guards=guards)
    path.unlink()
    return found


def compare(taken: Taken, found: PhotoReading) -> Sheet:
    page = service_form().layout.pages[taken.page - 1]
    outcomes, was_read = outcomes_of(page, taken.truth, found)
    return Sheet(
        *(taken.number, taken.grade.name, taken.number // SHEETS_EACH, taken.person.model),
        *(taken.person.hand.pen.name, taken.printer, taken.page, taken.anything, was_read),
        *(tuple(problem.code for problem in found.problems), taken.glyphs, outcomes),
    )


def outcomes_of(
    page: Page, truth: Mapping[str, Truth], found: PhotoReading
) -> tuple[tuple[Outcome, ...], bool]:
    """Compare a photo of one page with what is written; and tell whether the page was read."""
    fields = {one.id: one for one in page.fields}
    named = [one for one in found.pages if one.form is not None]
    readings = named[0].fields if named and named[0].page == page.page else {}
    wrong_page = bool(named) and named[0].page != page.page
    outcomes = tuple(
        _outcome(fields[name], meant, readings.get(name), wrong_page)
        for name, meant in truth.items()
        if not isinstance(fields[name], Note)
    )
    return outcomes, bool(readings)


def _outcome(one: Field, truth: Truth, reading: Reading | None, wrong_page: bool) -> Outcome:
    kind = "digits" if isinstance(one, Digits) else "mark"
    if reading is None:
        why = "wrong page" if wrong_page else "page given up"
        return Outcome(
            *(one.id, kind, "given up", 0.0, False, wrong_page),
            *(truth.slip, why, str(truth.meant), ""),
        )
    said = reading.value
    right = said == truth.meant and isinstance(said, bool) == isinstance(truth.meant, bool)
    silent = reading.status in ASSERTED and not any(said == may for may in truth.allowed)
    return Outcome(
        *(one.id, kind, reading.status.value, reading.confidence, right, silent),
        *(truth.slip, reading.why.value if reading.why else "", str(truth.meant), str(said)),
    )


def is_failing(sheet: Sheet) -> bool:
    """Tell whether a field was misread silently, or a page not worse than ordinary given up."""
    given_up = not sheet.read and sheet.grade != BAD.name
    return given_up or any(one.silent for one in sheet.outcomes)


def keep(sheet: Sheet, folder: Path) -> None:
    """Keep a photo that went wrong: picture, layout, and what was written and read."""
    home = folder / f"{sheet.number}"
    home.mkdir(parents=True, exist_ok=True)
    (home / "photo.jpg").write_bytes(take(sheet.number).photo)
    (home / "layout.json").write_text(dumps(service_form().layout))
    lines = [
        f"{one.field}: written {one.meant}, read {one.value} ({one.status}, {one.confidence:.4f})"
        + (f"; the hand slipped: {one.slip}" if one.slip else "")
        for one in sheet.outcomes
        if one.silent
    ]
    if not sheet.read:
        lines.append(f"The page was given up: {', '.join(sheet.problems)}. All fields are in it.")
    (home / "README.txt").write_text("\n".join([f"Page {sheet.page}.", *lines, ""]))


def lines_of(path: Path) -> Iterator[Sheet]:
    """Sheets that were measured before."""
    for line in path.read_text().splitlines():
        plain = json.loads(line)
        plain["outcomes"] = tuple(Outcome(*one) for one in plain["outcomes"])
        yield Sheet(**plain)


def line_of(sheet: Sheet) -> str:
    plain = asdict(sheet)
    plain["outcomes"] = [tuple(one.values()) for one in plain["outcomes"]]
    return json.dumps(plain)


def main(lines: Path, first: int, last: int, kept: Path | None = None) -> None:
    done = {sheet.number for sheet in lines_of(lines)} if lines.exists() else set()
    with TemporaryDirectory() as folder, lines.open("a") as out:
        for number in range(first, last):
            if number in done:
                continue
            sheet = measure(number, Path(folder))
            print(line_of(sheet), file=out, flush=True)
            if kept and is_failing(sheet):
                keep(sheet, kept)


if __name__ == "__main__":
    main(*(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])), *map(Path, sys.argv[4:5] or ()))
