"""A form before it is placed: blocks of text, lines and fields, in order.

A block is drawn in millimetres from its own top left corner, as wide as the page's body. The
layouter (``forms.place.place``) stacks blocks on pages; a block is never split.
"""

from dataclasses import dataclass
from typing import Literal

from forms.field import Field

Align = Literal["left", "center", "right"]


@dataclass(frozen=True)
class Text:
    """One run of text.

    ``x, y`` is the top left corner of the text's line box; with ``align`` center or right, x is the
    middle or the right end. With ``width`` the text wraps to it, otherwise it stays on one line.
    """

    x: float
    y: float
    text: str
    size_pt: float = 8.0
    bold: bool = False
    align: Align = "left"
    width: float | None = None
    grey: float = 0.0


@dataclass(frozen=True)
class Stroke:
    """An SVG path in millimetres (commands M L H V C A Z), stroked and/or filled.

    ``grey`` 0 is black, 1 white; ``fill`` None leaves it open.
    """

    path: str
    width_mm: float = 0.2
    grey: float = 0.0
    fill: float | None = None


@dataclass(frozen=True)
class Block:
    """One undivided piece of a form: everything about one station, say.

    ``heavy`` holds the ids (or ``id=value`` for one option) of boxes framed heavily: they mean OK.
    """

    name: str
    height: float
    texts: tuple[Text, ...] = ()
    strokes: tuple[Stroke, ...] = ()
    fields: tuple[Field, ...] = ()
    heavy: frozenset[str] = frozenset()
    new_page: bool = False
    keep_with_next: bool = False


@dataclass(frozen=True)
class Form:
    """A form for one subject, not yet placed.

    ``subject`` is the number of what the form is about (opaque here), ``header`` the lines printed
    at the top of every page, ``footer`` one line at the foot; ``drawing`` an opaque picture at the
    right of the header, in a box of ``HEADER_DRAWING_MM``. ``card``: it is printed on a postcard,
    a quarter of a sheet.
    """

    kind: str
    title: str
    subject: str
    header: tuple[str, ...]
    blocks: tuple[Block, ...]
    footer: str = ""
    drawing: tuple[Stroke, ...] = ()
    drawing_texts: tuple[Text, ...] = ()
    revision: str = "1"
    card: bool = False


HEADER_DRAWING_MM = (78.0, 22.0)  # width, height of the picture beside the header lines
