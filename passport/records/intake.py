"""Taking in the pages of a photo: exactly one visit from one form, however often its photo comes.

The photo is on the disk, whole, before any record speaks of it; the records of all its pages are
written in one transaction. Whatever stops in between, doing it again gives the same as once.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import Any

from passport.records.canonical import readings_json, with_crop
from passport.records.errors import CropMissing, PhotoChanged
from passport.records.event import Event, EventKind
from passport.records.files import sha256
from passport.records.form_state import FormRecord, PagePhoto
from passport.records.ledger import Draft
from passport.records.merge import Claim, Readings, asserts, claim, same_ink
from passport.records.shelf import Shelf
from scan.reading import PageReading, PhotoReading, Reading


class Outcome(StrEnum):
    """What became of one page of a photo."""

    RECORDED = "recorded"  # the first photo of this page
    SEEN_BEFORE = "seen before"  # this very photo, or another that says nothing new
    MERGED = "merged"  # another photo of the same sheet that shows more
    CONFLICT = "conflict"  # another photo with other ink: both kept, a person decides
    UNKNOWN_FORM = "unknown form"  # this store has no layout of it: nothing was kept


@dataclass(frozen=True)
class Taken:
    """One page of a photo, with the names that its cut-outs have in the store."""

    form: str
    page: int
    photo: str
    position: int
    readings: Readings
    model: str | None
    scale: float | None
    residual_mm: float | None
    kept: str  # hash of the file on the shelf
    left_out: int = 0  # pages of the same file that name a form but are not recorded with it
    personal: frozenset[str] = frozenset()  # fields that may name a person


Append = Callable[[Draft], Event]
FindForm = Callable[[str], FormRecord | None]


def check_unchanged(photo: PhotoReading, content: bytes) -> None:
    """Make sure that the bytes to be kept are those that were read.

    Raises
    ------
    PhotoChanged
        Their hashes differ.
    """
    found = sha256(content)
    if found != photo.sha256:
        raise PhotoChanged(photo.file, photo.sha256, found)


def is_known(page: PageReading, find: FindForm) -> bool:
    """Say whether the store knows the form and the page that a photo shows."""
    if page.form is None or page.page is None:
        return False
    record = find(page.form)
    return record is not None and page.page in (*record.pages, *record.optional)


def taken(
    photo: PhotoReading, position: int, kept: str, crops: Shelf, folder: Path | None
) -> Taken:
    """Keep the cut-outs of one known page, and name it as the store does.

    Parameters
    ----------
    photo : PhotoReading
        The photo as it was read.
    position : int
        Which of its pages.
    kept : str
        Hash of the file as it is kept; empty for one that was forgotten, whose cut-outs are not
        kept again either.
    crops : Shelf
        Where the store keeps cut-outs.
    folder : Path or None
        Where the reader put them; None when they are in the store already.
    """
    page = photo.pages[position]
    forgotten = not kept
    assert page.form is not None
    assert page.page is not None
    return Taken(
        form=page.form,
        page=page.page,
        photo=photo.sha256,
        position=position,
        readings={
            name: with_crop(one, None) if forgotten else _kept(one, crops, folder)
            for name, one in page.fields.items()
        },
        model=page.model,
        scale=page.scale,
        residual_mm=page.residual_mm,
        kept=kept,
    )


def record(one: Taken, at: datetime, find: FindForm, append: Append) -> Outcome:
    """Record one known page inside the caller's transaction."""
    before = find(one.form)
    assert before is not None
    if before.photo(one.photo, one.position) is not None:
        return Outcome.SEEN_BEFORE
    others = [other for other in before.photos if other.page == one.page and not other.set_aside]
    append(Draft(EventKind.PAGE_READ, one.form, _page_body(one), at))
    if not others:
        return Outcome.RECORDED
    fields = differing(one.readings, before.readings, others)
    if fields:
        body = _conflict_body(one, fields, others)
        append(Draft(EventKind.FILL_CONFLICT, one.form, body, at))
        return Outcome.CONFLICT
    after = find(one.form)
    assert after is not None
    same = same_ink(before.readings, after.readings)
    return Outcome.SEEN_BEFORE if same else Outcome.MERGED


def differing(new: Readings, known: Readings, others: Sequence[PagePhoto]) -> tuple[str, ...]:
    """Fields about which a new photo asserts what neither a photo nor a person said before."""
    said: dict[str, set[Claim]] = {}
    for readings in (known, *(other.readings for other in others)):
        for name, reading in readings.items():
            if asserts(reading):
                said.setdefault(name, set()).add(claim(reading))
    return tuple(
        sorted(
            name
            for name, reading in new.items()
            if asserts(reading) and name in said and claim(reading) not in said[name]
        )
    )


def _kept(reading: Reading, crops: Shelf, folder: Path | None) -> Reading:
    if reading.crop is None or folder is None:
        return reading
    path = folder / reading.crop
    if not path.is_file():
        raise CropMissing(reading.crop, folder)
    return with_crop(reading, crops.find(crops.keep(path.read_bytes())))


def _page_body(one: Taken) -> dict[str, Any]:
    return {
        "page": one.page,
        "photo": one.photo,
        "kept": one.kept,
        "position": one.position,
        "left_out": one.left_out,
        "readings": readings_json(one.readings, one.personal),
        "model": one.model,
        "scale": _text(one.scale),
        "residual_mm": _text(one.residual_mm),
    }


def _conflict_body(
    one: Taken, fields: tuple[str, ...], others: Sequence[PagePhoto]
) -> Mapping[str, Any]:
    return {
        "page": one.page,
        "fields": list(fields),
        "photo": one.photo,
        "position": one.position,
        "others": [{"photo": other.sha256, "position": other.position} for other in others],
    }


def _text(number: float | None) -> str | None:
    return None if number is None else repr(float(number))
