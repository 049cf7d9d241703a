"""Readings as the object of a reading file (JSON)."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from scan.reading import PageReading, PhotoReading, Problem, Reading, Value

READING_VERSION = 1


def to_json(photos: Iterable[PhotoReading]) -> dict[str, Any]:
    """Turn readings into the object of a reading file."""
    return {"reading": READING_VERSION, "photos": [_photo(photo) for photo in photos]}


def _photo(photo: PhotoReading) -> dict[str, Any]:
    return {
        "file": photo.file,
        "sha256": photo.sha256,
        "pages": [_page(page) for page in photo.pages],
        "problems": [_problem(problem) for problem in photo.problems],
    }


def _page(page: PageReading) -> dict[str, Any]:
    return {
        "form": page.form,
        "page": page.page,
        "scale": _rounded(page.scale, 4),
        "residual_mm": _rounded(page.residual_mm, 3),
        "model": page.model,
        "fields": {name: _reading(reading) for name, reading in page.fields.items()},
    }


def _rounded(value: float | None, places: int) -> float | None:
    return None if value is None else round(value, places)


def _reading(reading: Reading) -> dict[str, Any]:
    data: dict[str, Any] = {
        "status": reading.status.value,
        "value": _number(reading.value),
        "confidence": round(reading.confidence, 5),
    }
    optional = {"why": reading.why and reading.why.value, "crop": reading.crop, "ink": reading.ink}
    return data | {key: value for key, value in optional.items() if value is not None}


def _number(value: Value) -> bool | int | float | str | None:
    """JSON has numbers only: a whole decimal becomes a whole number."""
    if not isinstance(value, Decimal):
        return value
    whole = value == value.to_integral_value() and value.as_tuple().exponent == 0
    return int(value) if whole else float(value)


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "code": problem.code,
        "message": problem.message,
        "page": problem.page,
        "fields": list(problem.fields),
    }
