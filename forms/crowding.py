"""What lies over what on a placed form: a look at the sheet without printing it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product

from forms.drawing import text_box
from forms.field import Box, Note, boxes_of
from forms.form import Text
from forms.place import Placed, Sheet
from forms.typeface import BASELINE, CAP_HEIGHT, DESCENT, MM_PER_PT, line_mm

_BELOW = frozenset("gjpqyQJ,;()[]{}|/@$_")
_SLACK = 0.05  # [mm]


@dataclass(frozen=True)
class Collision:
    """A text whose letters lie over another text or a box to mark."""

    page: int
    text: str
    other: str

    def __str__(self) -> str:
        return f"Page {self.page}: “{self.text}” lies over {self.other}."


def collisions(placed: Placed) -> tuple[Collision, ...]:
    """Texts whose letters lie over other texts, boxes to mark, or the page's code.

    A text in a note's area is no collision: it may be the note's heading.
    """
    return tuple(found for sheet in placed.sheets for found in _on(sheet))


def _on(sheet: Sheet) -> Iterator[Collision]:
    texts = [(text.text, ink_boxes(text)) for text in (sheet.ground.title, *sheet.texts)]
    for (first, one), (second, other) in combinations(texts, 2):
        if _meet(one, other):
            yield Collision(sheet.page.page, first, f"“{second}”")
    for (text, ink), (name, box) in product(texts, _boxes(sheet)):
        if _meet(ink, (box,)):
            yield Collision(sheet.page.page, text, name)


def ink_boxes(text: Text) -> tuple[Box, ...]:
    """Rectangle of each line's letters, without the leading, of a text broken into lines [mm]."""
    lines = enumerate(text.text.split("\n"))
    return tuple(
        _ink(replace(text, text=line, y=text.y + index * line_mm(text.size_pt)))
        for index, line in lines
    )


def _ink(line: Text) -> Box:
    box, em = text_box(line), line.size_pt * MM_PER_PT
    below = DESCENT if _BELOW & set(line.text) else 0.0
    return Box(box.x, box.y + (BASELINE - CAP_HEIGHT) * em, box.width, (CAP_HEIGHT + below) * em)


def _boxes(sheet: Sheet) -> list[tuple[str, Box]]:
    fields = [field for field in sheet.page.fields if not isinstance(field, Note)]
    named = [
        (f"a box of the field “{field.id}”", box) for field in fields for box in boxes_of(field)
    ]
    return [*named, ("the QR code", sheet.page.code.box)]


def _meet(some: Sequence[Box], others: Sequence[Box]) -> bool:
    return any(_overlap(one, other) for one, other in product(some, others))


def _overlap(one: Box, other: Box) -> bool:
    return (
        one.x + _SLACK < other.x + other.width
        and other.x + _SLACK < one.x + one.width
        and one.y + _SLACK < other.y + other.height
        and other.y + _SLACK < one.y + one.height
    )
