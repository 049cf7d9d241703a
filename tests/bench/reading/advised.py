"""What the advice about each applied fault says: applied against named, and whether it is true."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from reading.faults import NOTHING, Fault, photo_of
from reading.press import service_form

from forms.layout import Page
from scan.read import read_photo
from scan.reading import PhotoReading, Status

FEW_LOST = 0.1  # share of a page's fields up to which nothing needs to be said
BY_CHANCE = 1  # field that waits in any photo, however strong the fault
LOST = (Status.DOUBTFUL, Status.OUTSIDE)


@dataclass(frozen=True)
class Named:
    """One photo: what was done to it, what the advice names first, and whether that is true."""

    kind: str
    words: str
    page: int
    said: str
    true: bool
    lost: int


def read(photo: bytes, folder: Path) -> PhotoReading:
    path = folder / "photo.jpg"
    path.write_bytes(photo)
    layout = service_form().layout
    return read_photo(path, {layout.form: layout}.get)


def named(fault: Fault, page: Page, seed: int, folder: Path) -> Named:
    """Photograph a page with a fault and see what is said."""
    found = read(photo_of(fault, page, seed), folder)
    fields = [one for sheet in found.pages for one in sheet.fields.values()]
    lost = sum(one.status in LOST for one in fields) if fields else len(page.fields)
    if found.problems:
        first = found.problems[0]
        true = first.code in fault.codes and fault.side in first.message
        return Named(fault.kind, fault.words, page.page, first.code, true, lost)
    silent = BY_CHANCE if fault.always else FEW_LOST * len(page.fields)
    return Named(fault.kind, fault.words, page.page, NOTHING, lost <= silent, lost)


def confusion(found: Sequence[Named]) -> Iterator[str]:
    """Count for each fault what was named, and how often that and its side were true."""
    for kind in dict.fromkeys(one.kind for one in found):
        mine = [one for one in found if one.kind == kind]
        said = Counter(one.said for one in mine)
        true = sum(one.true for one in mine)
        words = ", ".join(f"{name} {count}" for name, count in said.most_common())
        yield f"{kind}: {len(mine)} photos; named {words}; true, with its side, {true}"
    yield from false_ones(found)


def false_ones(found: Iterable[Named]) -> list[str]:
    """Name the photos about which something else was said than is true."""
    return [
        f"  not true: {one.kind}, {one.words}, page {one.page}: said {one.said}, {one.lost} lost"
        for one in found
        if not one.true
    ]
