"""The demo's pen, printer and camera: from answers to photos, and what the hand meant beside."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from forms.field import Note
from forms.layout import Layout, Page
from passport.booth.camera import photograph
from passport.booth.grades import FLAT_SCAN, GOOD, Grade
from passport.booth.hand import fill
from passport.booth.printer import print_pages
from passport.booth.scanner import scan_pdf
from passport.booth.shot import Shot
from passport.booth.strokes import Picture
from passport.booth.writer import Hand, some_hand
from passport.office.printing import PrintedForm
from scan.reading import Value


@dataclass(frozen=True)
class Sitting:
    """Who writes and how the pages are taken; without a grade they go through a scanner."""

    writer: int
    grade: Grade | None = GOOD


def written_pages(
    printed: PrintedForm, answers: Mapping[str, Value], hand: Hand
) -> dict[Page, Picture]:
    """Fill the pages that get an answer; an unused pass sheet stays with the technician.

    A form that was printed along lies behind them and is not filled.
    """
    pages = printed.layout.pages
    pictures = print_pages(printed.pdf)[: len(pages)]
    filled = {}
    for page, picture in zip(pages, pictures, strict=True):
        mine = {one.id: answers[one.id] for one in page.fields if answers.get(one.id) is not None}
        if mine:
            filled[page] = fill(picture, page, mine, hand)  # type: ignore[arg-type]
    return filled


def take(
    printed: PrintedForm, answers: Mapping[str, Value], sitting: Sitting, stem: Path
) -> list[Path]:
    """Fill a form by hand and photograph or scan its pages.

    Parameters
    ----------
    stem : Path
        Folder and beginning of the files' names.

    Returns
    -------
    list of Path
        The photos, or one PDF from the scanner.
    """
    filled = written_pages(printed, answers, some_hand(sitting.writer))
    if sitting.grade is None:
        path = stem.with_name(f"{stem.name}.pdf")
        path.write_bytes(scan_pdf(list(filled.values()), Shot(FLAT_SCAN, seed=sitting.writer)))
        return [path]
    paths = []
    for page, picture in filled.items():
        path = stem.with_name(f"{stem.name}-page-{page.page}.jpg")
        shot = Shot(sitting.grade, seed=sitting.writer * 10 + page.page)
        path.write_bytes(photograph(picture, shot))
        paths.append(path)
    return paths


def meant(layout: Layout, answers: Mapping[str, Value]) -> dict[str, Value]:
    """Say what a reader should find in every field that is not a note."""
    return {
        field.id: answers.get(field.id)
        for page in layout.pages
        for field in page.fields
        if not isinstance(field, Note)
    }


def keep(path: Path, answers: Mapping[str, Value]) -> None:
    """Keep what the hand wrote, where no reader looks."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(answers, indent=1, default=str), encoding="utf-8")
