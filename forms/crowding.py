"""What lies over what on a placed form: a look at the sheet without printing it."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from forms.drawing import text_box
from forms.field import Box, Note, boxes_of
from forms.form import Text
from forms.place import Placed, Sheet
from forms.typeface import BASELINE, CAP_HEIGHT, DESCENT, LINE, MM_PER_PT

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
    texts = [(text.text, ink_box(text)) for text in (sheet.title, *sheet.texts)]
    for (first, one), (second, other) in combinations(texts, 2):
        if _meet(one, other):
            yield Collision(sheet.page.page, first, f"“{second}”")
    for (text, ink), (name, box) in ((t, b) for t in texts for b in _boxes(sheet)):
        if _meet(ink, box):
            yield Collision(sheet.page.page, text, name)


def ink_box(text: Text) -> Box:
    """Rectangle of the letters of a text that is broken into lines, without its leading [mm]."""
    box, em = text_box(text), text.size_pt * MM_PER_PT
    last = text.text.rpartition("\n")[2]
    below = DESCENT if _BELOW & set(last) else 0.0
    lines = text.text.count("\n")
    top = (BASELINE - CAP_HEIGHT) * em
    return Box(box.x, box.y + top, box.width, (lines * LINE + CAP_HEIGHT + below) * em)


def _boxes(sheet: Sheet) -> list[tuple[str, Box]]:
    fields = [field for field in sheet.page.fields if not isinstance(field, Note)]
    named = [
        (f"a box of the field “{field.id}”", box) for field in fields for box in boxes_of(field)
    ]
    return [*named, ("the QR code", sheet.page.code.box)]


def _meet(one: Box, other: Box) -> bool:
    return (
        one.x + _SLACK < other.x + other.width
        and other.x + _SLACK < one.x + one.width
        and one.y + _SLACK < other.y + other.height
        and other.y + _SLACK < one.y + one.height
    )
