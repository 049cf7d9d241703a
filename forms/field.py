"""Fields on paper: what can be marked or written, and where.

A box is ``(x, y, width, height)`` in millimetres from the page's top left corner; while a field
still stands in a block, from the block's top left corner.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple


class Box(NamedTuple):
    """A rectangle on paper [mm]."""

    x: float
    y: float
    width: float
    height: float

    def moved(self, dx: float, dy: float) -> "Box":
        """Shift the box by dx, dy [mm]."""
        return Box(self.x + dx, self.y + dy, self.width, self.height)


@dataclass(frozen=True)
class Option:
    """One box of a choice or scale, and the answer that a mark in it gives.

    ``bound`` marks an end that means "this or more". ``asks`` is what the paper asks for where this
    box is marked, as printed beside it; the layout keeps it for as long as the form lives.
    """

    value: int | str
    box: Box
    bound: bool = False
    asks: str = ""


@dataclass(frozen=True)
class Expectation:
    """What history expected when the form was printed: value and standard uncertainty."""

    value: float
    u: float


@dataclass(frozen=True)
class Tick:
    """One box, marked or not."""

    id: str
    label: str
    box: Box


@dataclass(frozen=True)
class Choice:
    """Named boxes of which at most one is marked."""

    id: str
    label: str
    options: tuple[Option, ...]


@dataclass(frozen=True)
class Scale:
    """Counted boxes of which at most one is marked; values are signed numbers in ``unit``."""

    id: str
    label: str
    unit: str
    options: tuple[Option, ...]
    expect: Expectation | None = None


@dataclass(frozen=True)
class Digits:
    """Boxes for one handwritten digit each, most significant first, right-aligned.

    ``decimals`` of them stand behind the printed point. ``sign`` is the id of a choice with the
    values ``+`` and ``-``; ``witness`` the ids' fields that must say the same; ``sum_of`` the ids
    that must add up to it.
    """

    id: str
    label: str
    unit: str
    boxes: tuple[Box, ...]
    decimals: int = 0
    low: float = 0
    high: float = 0
    sign: str | None = None
    witness: str | None = None
    sum_of: tuple[str, ...] = ()
    expect: Expectation | None = None


@dataclass(frozen=True)
class Note:
    """An area that is kept as a picture."""

    id: str
    label: str
    box: Box


Field = Tick | Choice | Scale | Digits | Note


def boxes_of(field: Field) -> tuple[Box, ...]:
    """Every box of a field, in its own order."""
    match field:
        case Choice() | Scale():
            return tuple(option.box for option in field.options)
        case Digits():
            return field.boxes
        case _:
            return (field.box,)


def moved(field: Field, dx: float, dy: float) -> Field:
    """Shift a field and all its boxes by dx, dy [mm]."""
    return with_boxes(field, lambda box: box.moved(dx, dy))


def with_boxes(field: Field, change: Callable[[Box], Box]) -> Field:
    """Copy a field with every box replaced by ``change(box)``."""
    match field:
        case Choice() | Scale():
            options = tuple(replace(option, box=change(option.box)) for option in field.options)
            return replace(field, options=options)
        case Digits():
            return replace(field, boxes=tuple(change(box) for box in field.boxes))
        case _:
            return replace(field, box=change(field.box))
