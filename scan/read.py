"""From a photo to readings: the whole recipe on one screen."""

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from forms.layout import Page
from forms.marks import parse_page_code
from forms.numbers import FormNumber
from scan.advice import advise, cause_of, of_page
from scan.arrays import Grey
from scan.crops import Album
from scan.errors import FileUnreadable, PageBent, PageRefused, PageTwice, PhotoRefused
from scan.fiducials import Fiducial, Pyramid, by_sheet, find_fiducials, pyramid
from scan.fields import read_fields
from scan.guards import GUARDS, Guards
from scan.ink import sight_of
from scan.light import notes_burnt
from scan.page import flatten
from scan.photo import pictures
from scan.reading import PageReading, PhotoReading, Problem, Reading, Status
from scan.sheet import LayoutOf, check_code, identify, printed_page
from scan.snap import settled

Found = PageReading | Problem


@dataclass(frozen=True)
class _Desk:
    """What a photo is read with: layouts, where crops go, the form number typed in, guards."""

    layout_of: LayoutOf
    album: Album
    typed: FormNumber | None
    guards: Guards


def read_photo(
    path: Path,
    layout_of: LayoutOf,
    *,
    crops: Path | None = None,
    typed: FormNumber | None = None,
    guards: Guards = GUARDS,
) -> PhotoReading:
    """Read every form page in a photo, scan or PDF.

    Parameters
    ----------
    path : Path
        JPEG, PNG, WebP, TIFF, PDF or (with the optional package) HEIC.
    layout_of : callable
        Gives the layout of a form number (bare symbols), or None; asked nothing else.
    crops : Path, optional
        Folder that gets a picture of each doubtful field and each note.
    typed : FormNumber, optional
        The number printed at the foot of the page, for a page whose code can't be read. A code that
        can be read is believed.
    guards : Guards, optional
        What to be careful about, and how much; measurements loosen one of them at a time.

    Returns
    -------
    PhotoReading
        What can't be read stands in its problems; nothing is raised for a bad photo.

    Raises
    ------
    ModelDamaged
        The digit reader fails its self-check.
    """
    try:
        data = path.read_bytes()
    except OSError:
        lost = FileUnreadable(path.name, "it is not there or may not be read")
        return PhotoReading(str(path), "", (), (lost.problem(),))
    album = Album(crops, hashlib.sha256(data).hexdigest())
    found = list(_read_file(data, path.name, _Desk(layout_of, album, typed, guards)))
    pages = tuple(one for one in found if isinstance(one, PageReading))
    problems = tuple(one for one in found if isinstance(one, Problem))
    return PhotoReading(str(path), album.sha256, pages, problems)


def _read_file(data: bytes, name: str, desk: _Desk) -> Iterator[Found]:
    try:
        for picture in pictures(data, name):  # (H, W) uint8
            for found in _read_picture(picture.grey, desk):
                yield _with_scale(found, picture.dpi)
    except PhotoRefused as refusal:
        yield refusal.problem()


def _read_picture(grey: Grey, desk: _Desk) -> Iterator[Found]:
    """Read every page in one picture; one that can't be read harms none of the others."""
    levels = pyramid(grey)  # the picture, its half, quarter, eighth
    sheets = by_sheet(find_fiducials(levels))
    if not sheets:
        yield advise(levels).problem()
    read = [list(_read_page(levels, squares, desk)) for squares in sheets]
    yield from _without_twins(read)


def _without_twins(read: list[list[Found]]) -> Iterator[Found]:
    """Give what sheets say; two that are the same page of the same form say nothing."""
    names = [_name(found) for found in read]
    for at, (found, name) in enumerate(zip(read, names, strict=True)):
        if name is None or names.count(name) == 1:
            yield from found
        elif names.index(name) == at:
            yield PageReading(None, None)
            yield PageTwice(name[1]).problem(name[1])


def _name(found: list[Found]) -> tuple[str, int] | None:
    """Form and page of a sheet that could be named."""
    named = (one for one in found if isinstance(one, PageReading))
    return next(((one.form, one.page) for one in named if one.form and one.page), None)


def _with_scale(found: Found, dpi: float | None) -> Found:
    """Say how large the page was printed, where the scan's resolution is known."""
    if dpi is None or isinstance(found, Problem) or found.scale is None:
        return found if isinstance(found, Problem) else replace(found, scale=None)
    return replace(found, scale=found.scale * 25.4 / dpi)


def _read_page(levels: Pyramid, found: list[Fiducial], desk: _Desk) -> Iterator[Found]:
    try:
        form, number = identify(levels, found, desk.typed, guards=desk.guards)
    except PageRefused as refusal:
        yield PageReading(None, None)
        yield cause_of(refusal, levels, found).problem(found[0].page)
        return
    try:
        yield from _read_named(levels, found, printed_page(form, number, desk.layout_of), desk)
    except PageRefused as refusal:
        yield PageReading(form.code, number)
        yield refusal.problem(number)


def _read_named(levels: Pyramid, found: list[Fiducial], page: Page, desk: _Desk) -> Iterator[Found]:
    """Read a page whose layout is known."""
    guards = desk.guards
    flat = flatten(found, page, stray_mm=guards.stray_mm)  # millimetres -> pixels
    check_code(levels, flat, page, guards=guards)  # it stands where it was printed
    sight = sight_of(levels, flat, page.marks)  # light divided out, at PX_PER_MM
    flat = settled(sight, page)  # the boxes say where they lie
    sight = replace(sight, flat=flat)
    readings = read_fields(sight, page, guards)
    readings |= notes_burnt(sight, page, readings)
    readings = desk.album.with_crops(sight, page, readings)
    form, number = parse_page_code(page.code.text)
    px_per_mm = flat.px_per_mm  # becomes the scale, if the picture's resolution is known
    yield PageReading(form.code, number, readings, px_per_mm, flat.residual_mm, flat.model)
    if flat.residual_mm > guards.residual_mm:
        yield PageBent(number, flat.residual_mm).problem(number, _unsure(readings))
        return
    yield from of_page(levels, sight, page, readings)


def _unsure(readings: Mapping[str, Reading]) -> tuple[str, ...]:
    """Name the fields that a person must look at, or that were not seen."""
    said = (Status.SURE, Status.EMPTY)
    return tuple(name for name, reading in readings.items() if reading.status not in said)
