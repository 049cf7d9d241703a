"""One sheet after another: written, photographed, read, compared. One line of a file for each.

As a program it goes on where it was stopped::

    python -m reading.sheets LINES.jsonl FIRST LAST [KEEP]

``KEEP`` is a folder for photos with a silent error.
"""

import json
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from reading.fills import Fill, Truth, fill_of
from reading.people import SHEETS_EACH, Person, person_of, write
from reading.press import PRINTERS, Printed, on_paper, service_form

from forms.field import Digits, Field, Note
from forms.layout import Layout, Page, dumps
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

    layout: Layout
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
    page = int(rng.choice(_PAGES, p=_OF_PAGES))
    return photographed(service_form(), page, number, person_of(number // SHEETS_EACH), rng)


def photographed(
    form: Printed, page_number: int, number: int, person: Person, rng: np.random.Generator
) -> Taken:
    """Let a person fill one page of a form that came out of some printer, and photograph it."""
    grade = GRADES[number % len(GRADES)]
    printer = str(rng.choice(_PRINTERS, p=_OF_PRINTERS))
    anything = bool(rng.random() < 0.22)
    page, picture = on_paper(form, page_number, PRINTERS[printer])
    what: Fill = fill_of(page, rng, anything=anything)
    filled, glyphs = write(picture, page, what, person, number)
    shot = Shot(grade, seed=70_000 + number, troubles=some_troubles(grade, number))
    photo = photograph(filled, shot)
    who = (number, grade, person, printer, page_number, anything)
    return Taken(form.layout, *who, what.truth, tuple(glyphs), photo)


def measure(taken: Taken, folder: Path) -> Sheet:
    """Read a photo and compare."""
    return compare(taken, read(taken, folder))


def read(taken: Taken, folder: Path, guards: Guards = GUARDS) -> PhotoReading:
    path = folder / f"{taken.number}.jpg"
    path.write_bytes(taken.photo)
    found = read_photo(path, {taken.layout.form: taken.layout}.get, guards=guards)
    path.unlink()
    return found


def compare(taken: Taken, found: PhotoReading) -> Sheet:
    page = taken.layout.pages[taken.page - 1]
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


def keep(taken: Taken, sheet: Sheet, folder: Path) -> None:
    """Keep a photo that went wrong: picture, layout, and what was written and read."""
    home = folder / f"{sheet.number}"
    home.mkdir(parents=True, exist_ok=True)
    (home / "photo.jpg").write_bytes(taken.photo)
    (home / "layout.json").write_text(dumps(taken.layout))
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


def run(take: Callable[[int], Taken], words: Sequence[str]) -> None:
    """Measure the sheets between two numbers that are not among the lines yet.

    ``words`` are the program's: file of lines, first number, last, folder for photos that fail.
    """
    lines, first, last = Path(words[0]), int(words[1]), int(words[2])
    kept = Path(words[3]) if len(words) > 3 else None
    done = {sheet.number for sheet in lines_of(lines)} if lines.exists() else set()
    with TemporaryDirectory() as folder, lines.open("a") as out:
        for number in sorted(set(range(first, last)) - done):
            taken = take(number)
            sheet = measure(taken, Path(folder))
            print(line_of(sheet), file=out, flush=True)
            if kept and is_failing(sheet):
                keep(taken, sheet, kept)


if __name__ == "__main__":
    run(take, sys.argv[1:])
