"""A photo's readings as text between two programs, and back: exact, and nothing but data.

What parsed a stranger's file is not trusted with more: no pickles come back from it.
"""

import json
from base64 import b64decode, b64encode
from collections.abc import Mapping
from dataclasses import replace
from typing import Any, NamedTuple

from passport.records.canonical import reading_json, readings_of
from scan.reading import PageReading, PhotoReading, Problem


class Read(NamedTuple):
    """What was read in a file, and the cut-outs that its readings name."""

    photo: PhotoReading
    crops: Mapping[str, bytes]


def without_crops(photo: PhotoReading) -> PhotoReading:
    """Leave out the names of cut-outs, where nobody keeps them."""
    pages = tuple(
        replace(page, fields={name: replace(one, crop=None) for name, one in page.fields.items()})
        for page in photo.pages
    )
    return replace(photo, pages=pages)


def to_text(read: Read) -> str:
    """Write what was read as one line of JSON."""
    photo = read.photo
    return json.dumps({
        "file": photo.file,
        "sha256": photo.sha256,
        "pages": [_page_json(page) for page in photo.pages],
        "problems": [vars(problem) for problem in photo.problems],
        "crops": {name: b64encode(one).decode() for name, one in read.crops.items()},
    })  # fmt: skip


def from_text(text: str) -> Read:
    """Read it back."""
    data = json.loads(text)
    pages = tuple(map(_page_of, data["pages"]))
    problems = tuple(
        Problem(one["code"], one["message"], one["page"], tuple(one["fields"]))
        for one in data["problems"]
    )
    crops = {str(name): b64decode(one) for name, one in data["crops"].items()}
    return Read(PhotoReading(data["file"], data["sha256"], pages, problems), crops)


def _page_json(page: PageReading) -> dict[str, Any]:
    return {**vars(page), "fields": {name: reading_json(one) for name, one in page.fields.items()}}


def _page_of(data: Mapping[str, Any]) -> PageReading:
    return PageReading(**{**data, "fields": readings_of(data["fields"])})
