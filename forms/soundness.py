"""What in a layout can't be: fields that lean on none, bounds upside down, boxes of no size."""

from collections.abc import Iterator, Sequence
from math import isfinite
from typing import TYPE_CHECKING

from forms.field import Digits, boxes_of

if TYPE_CHECKING:
    from forms.layout import Page


def fault_of(pages: Sequence["Page"]) -> str | None:
    """Say what is wrong with a layout's pages, as the end of a sentence; None if nothing is."""
    return next(_faults(pages), None)


def _faults(pages: Sequence["Page"]) -> Iterator[str]:
    fields = [field for page in pages for field in page.fields]
    names = {field.id for field in fields}
    for field in fields:
        if not all(_has_size(box) for box in boxes_of(field)) or not boxes_of(field):
            yield f"a box of its field “{field.id}” has no size"
        if isinstance(field, Digits):
            yield from _digit_faults(field, names)


def _digit_faults(field: Digits, names: set[str]) -> Iterator[str]:
    for name in (field.witness, field.sign, *field.sum_of):
        if name is not None and name not in names:
            yield f"its field “{field.id}” is held against “{name}”, which is none of its fields"
    if field.low > field.high:
        yield f"its field “{field.id}” goes from {field.low:g} down to {field.high:g}"


def _has_size(box: Sequence[float]) -> bool:
    return all(isfinite(side) for side in box) and min(box[2:]) > 0
