"""What a reader says of a photo: one reading per field, each with a confidence."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum


class Status(StrEnum):
    """How far a reading may be trusted."""

    SURE = "sure"  # may be used unseen
    DOUBTFUL = "doubtful"  # a person must look; the value is the best guess or None
    EMPTY = "empty"  # nothing was written; as strong an assertion as sure
    OUTSIDE = "outside"  # not in the picture, or in an unreadable area


class Why(StrEnum):
    """Why a reading is doubtful."""

    TWO_MARKS = "two marks"
    FAINT = "faint"
    FILLED = "scribbled or filled"
    BESIDE = "mark beside the box"
    SPECK = "only a speck"
    NO_MARK = "shape unlike a mark"
    HIDDEN = "outline of the box not seen"
    STROKE_THROUGH = "stroke through several rows"
    DIGIT_UNCLEAR = "digit unclear"
    SHAPE_UNKNOWN = "shape unlike a digit"
    GAP = "empty box behind a written one"
    OUT_OF_RANGE = "out of range"
    WITNESS = "disagrees with its second witness"
    NO_SIGN = "number without a sign"
    UNEXPECTED = "far from what was expected"
    PAGE_BENT = "page not flat enough here"
    FILLS_DIFFER = "photos of this page disagree"


Value = bool | int | str | Decimal | None


@dataclass(frozen=True)
class Reading:
    """What one field says.

    ``confidence`` is the probability that the value is right (for ``empty``: that it is empty).
    ``crop`` is a file name under the folder of crops; ``ink`` says whether a note has any.
    """

    status: Status
    value: Value
    confidence: float
    why: Why | None = None
    crop: str | None = None
    ink: bool | None = None


@dataclass(frozen=True)
class Problem:
    """What is wrong with a photo or page, and what to do about it."""

    code: str
    message: str
    page: int | None = None
    fields: tuple[str, ...] = ()


@dataclass(frozen=True)
class PageReading:
    """One page found in a photo. ``form`` is None when the page could not be named."""

    form: str | None
    page: int | None
    fields: Mapping[str, Reading] = field(default_factory=dict)
    scale: float | None = None  # printed size over nominal size
    residual_mm: float | None = None
    model: str | None = None


@dataclass(frozen=True)
class PhotoReading:
    """One file, its pages and its problems."""

    file: str
    sha256: str
    pages: tuple[PageReading, ...] = ()
    problems: tuple[Problem, ...] = ()
