"""What the blocks of a form must keep: one field for an id, one box for an answer, boxes apart."""

from collections.abc import Iterator, Sequence
from itertools import chain

from forms.drawing import SLACK
from forms.field import Box, Choice, Digits, Field, Scale, boxes_of
from forms.form import Block
from forms.misfits import (
    BoxesOverlap,
    BoxOutside,
    BoxUnknown,
    FieldTwice,
    FieldUnknown,
    OptionTwice,
    beyond,
)

_Named = tuple[str, Box]


def check_ids(blocks: Sequence[Block]) -> None:
    """See that ids and answers each name one field or box.

    Raises
    ------
    FieldTwice, OptionTwice, FieldUnknown
        One does not.
    """
    homes: dict[str, str] = {}
    for block in blocks:
        for field in block.fields:
            if field.id in homes:
                raise FieldTwice(field.id, (homes[field.id], block.name))
            homes[field.id] = block.name
    for field in chain.from_iterable(block.fields for block in blocks):
        _check_options(field)
        missing = next((id_ for id_ in _references(field) if id_ not in homes), None)
        if missing:
            raise FieldUnknown(field.id, missing)


def _check_options(field: Field) -> None:
    values = [option.value for option in field.options] if isinstance(field, Choice | Scale) else []
    twice = next((value for value in values if values.count(value) > 1), None)
    if twice is not None:
        raise OptionTwice(field.id, twice)


def _references(field: Field) -> tuple[str, ...]:
    if not isinstance(field, Digits):
        return ()
    return (*filter(None, (field.sign, field.witness)), *field.sum_of)


def check_boxes(block: Block, name: str, area: Box) -> None:
    """See that boxes keep inside their block and apart, and that heavy frames have boxes.

    Parameters
    ----------
    block : Block
        With its boxes from its own corner.
    name : str
        What a message calls it.
    area : Box
        What it may take; only the size counts. [mm]

    Raises
    ------
    BoxOutside, BoxesOverlap, BoxUnknown
        One does not.
    """
    named = [(field.id, box) for field in block.fields for box in boxes_of(field)]
    for id_, box in named:
        over = beyond(box, area.width, area.height, SLACK)
        if over:
            raise BoxOutside(name, id_, over)
    for (first, one), (second, other) in _near(named):
        if _overlap(one, other):
            raise BoxesOverlap(name, first, second)
    missing = sorted(block.heavy - set(named_boxes(block)))
    if missing:
        raise BoxUnknown(block.name, missing[0])


def _near(named: Sequence[_Named]) -> Iterator[tuple[_Named, _Named]]:
    """Pairs of boxes that lie above each other; from left to right, few have to be looked at."""
    ordered = sorted(enumerate(named), key=lambda item: item[1][1].x)
    for place, (rank, one) in enumerate(ordered):
        right = one[1].x + one[1].width
        for later, other in ordered[place + 1 :]:
            if other[1].x > right:
                break
            yield (one, other) if rank < later else (other, one)


def _overlap(one: Box, other: Box) -> bool:
    return (
        one.x + one.width > other.x + SLACK
        and other.x + other.width > one.x + SLACK
        and one.y + one.height > other.y + SLACK
        and other.y + other.height > one.y + SLACK
    )


def named_boxes(block: Block) -> dict[str, tuple[Box, ...]]:
    """Every name that ``heavy`` may hold, and the boxes meant, from the block's corner."""
    names = {field.id: boxes_of(field) for field in block.fields}
    for field in block.fields:
        if isinstance(field, Choice | Scale):
            names |= {f"{field.id}={option.value}": (option.box,) for option in field.options}
    return names
