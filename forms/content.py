"""A page as a PDF content stream: one path for each look, texts at their exact places.

Operators are those of ISO 32000-1:2008, annex A. Shapes are drawn in millimetres from the page's
top left corner, texts in points from its bottom left corner.
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple
from zlib import compress

from forms.drawing import left_end
from forms.field import Box
from forms.form import Text
from forms.marks import MOST_PAGES, code_boxes, mark_boxes
from forms.path import Point, arc_curves, steps
from forms.place import Ground, Sheet
from forms.typeface import BASELINE, LINE, MM_PER_PT, glyphs

FACES = {False: "R", True: "B"}  # name of the regular and of the bold face on a page


class Look(NamedTuple):
    """How a path is printed: grey 0 black to 1 white; filled where it has no line width [mm]."""

    grey: float
    width: float = 0.0


OUTLINE = Look(0.45, 0.25)  # light, so that the reader can tell it from ink
FRAME = Look(0.0, 0.5)
_BLACK = Look(0.0)


class Marked(NamedTuple):
    """A piece of marked content: its tag; of a figure, words for who can't see it, and its place.

    The place is left, bottom, right, top, from the page's bottom left corner [pt].
    """

    tag: str
    words: str = ""
    place: tuple[float, ...] = ()


class Content(NamedTuple):
    """A stream, packed, and what its pieces of marked content are, in the order of drawing."""

    packed: bytes
    pieces: tuple[Marked, ...]


class Spot(NamedTuple):
    """Where a page lies on what is printed: from its lower left corner [pt]; from which mark on.

    Marked contents of one printed page count on from card to card.
    """

    right: float = 0.0
    up: float = 0.0
    first: int = 0


WHOLE = Spot()  # a page by itself


@lru_cache(maxsize=MOST_PAGES)
def ground_content(ground: Ground, spot: Spot = WHOLE) -> Content:
    """Draw what the copies of a page share, once: shapes, title, texts in the form's order."""
    body = _place(ground.body, ground.height, spot)
    figure = Marked("Figure", f"Boxes and drawing of page {ground.page}", body)
    rows = [(Marked("P"), _words(texts, ground.height)) for texts in _rows(ground.texts)]
    title = Marked("H1"), _words((ground.title,), ground.height)
    return _content(((figure, _shapes(ground)), title, *rows), spot)


def naming_content(sheet: Sheet, spot: Spot) -> Content:
    """Draw what tells one copy from the others."""
    code, height = sheet.page.code, sheet.page.height
    drawn = " ".join(map(_rectangle, code_boxes(code)))
    figure = Marked("Figure", f"QR code: {code.text}", _place(code.box, height, spot))
    names = [(Marked("P"), _words((text,), height)) for text in sheet.naming]
    return _content((*names, (figure, _in_mm(f"0 g {drawn} f", height))), spot)


def cut_content(lines: Iterable[tuple[float, float, float, float]]) -> bytes:
    """Draw where to cut: x, y to x, y from the lower left [pt]; it is not read aloud."""
    drawn = " ".join(f"{a:.3f} {b:.3f} m {c:.3f} {d:.3f} l" for a, b, c, d in lines)
    return compress(f"/Artifact BMC q 0.6 G 0.4 w [4 3] 0 d {drawn} S Q EMC".encode())


def _place(box: Box, height: float, spot: Spot) -> tuple[float, ...]:
    sides = box.x, height - box.y - box.height, box.x + box.width, height - box.y
    moves = spot.right, spot.up, spot.right, spot.up
    return tuple(round(side / MM_PER_PT + by, 3) for side, by in zip(sides, moves, strict=True))


def _content(drawn: Sequence[tuple[Marked, str]], spot: Spot) -> Content:
    pieces = tuple(piece for piece, _ in drawn)
    stream = "\n".join(
        f"/{piece.tag} <</MCID {number}>> BDC\n{operators}\nEMC"
        for number, (piece, operators) in enumerate(drawn, spot.first)
    )
    if (spot.right, spot.up) != (0, 0):
        stream = f"q 1 0 0 1 {spot.right:.3f} {spot.up:.3f} cm\n{stream}\nQ"
    return Content(compress(stream.encode()), pieces)


def _rows(texts: Iterable[Text]) -> Iterator[tuple[Text, ...]]:
    """Texts that follow each other at one height are read as one line, from left to right."""
    for _, row in groupby(texts, key=lambda text: round(text.y, 3)):
        yield tuple(sorted(row, key=lambda text: text.x))


def _words(texts: Iterable[Text], height: float) -> str:
    return f"BT {' '.join(_shown(text, height) for text in texts)} ET"


def _shown(text: Text, height: float) -> str:
    """Show each line from its left end; behind it a space, for who reads on."""
    face = f"/{FACES[text.bold]} {_number(text.size_pt)} Tf {_number(text.grey)} g"
    top = (height - text.y) / MM_PER_PT - BASELINE * text.size_pt
    return " ".join((face, *_lines(text, top)))


def _lines(text: Text, top: float) -> Iterator[str]:
    for count, words in enumerate(text.text.split("\n")):
        x = left_end(text, words) / MM_PER_PT
        y = top - count * text.size_pt * LINE
        yield f"1 0 0 1 {x:.3f} {y:.3f} Tm <{glyphs(words + ' ', bold=text.bold)}> Tj"


def _shapes(ground: Ground) -> str:
    """One path for each look; white and light first, so that black is never covered."""
    paths: dict[Look, list[str]] = {}
    for look, path in _drawn(ground):
        paths.setdefault(look, []).append(path)
    looks = sorted(paths, key=lambda look: (look.width > 0, -look.grey, look.width))
    return _in_mm("\n".join(_layer(look, " ".join(paths[look])) for look in looks), ground.height)


def _in_mm(shapes: str, height: float) -> str:
    scale = 1 / MM_PER_PT
    return f"q {scale:.6f} 0 0 {-scale:.6f} 0 {height * scale:.4f} cm\n{shapes}\nQ"


def _layer(look: Look, path: str) -> str:
    grey = _number(look.grey)
    return f"{grey} G {_number(look.width)} w {path} S" if look.width else f"{grey} g {path} f"


def _drawn(ground: Ground) -> Iterator[tuple[Look, str]]:
    for mark in ground.marks:
        yield from ((_BLACK, _rectangle(box)) for box in mark_boxes(mark))
    yield from ((OUTLINE, _rectangle(box)) for box in ground.outlines)
    yield from ((FRAME, _rectangle(box)) for box in ground.frames)
    for stroke in ground.strokes:
        path = path_operators(stroke.path)
        if stroke.fill is not None:
            yield Look(stroke.fill), path
        if stroke.width_mm:
            yield Look(stroke.grey, stroke.width_mm), path


def _rectangle(box: Box) -> str:
    return f"{box.x:.4f} {box.y:.4f} {box.width:.4f} {box.height:.4f} re"


def path_operators(path: str) -> str:
    """Write an SVG path in PDF's operators (ISO 32000-1:2008, table 59).

    Raises
    ------
    PathUnusable
        An unknown command or a missing number.
    """
    written, at = list[str](), (0.0, 0.0)
    for command, numbers in steps(path):
        end = _end(command, numbers, at)
        written += _operators(command, numbers, at, end)
        at = end
    return " ".join(written)


def _end(command: str, numbers: tuple[float, ...], at: Point) -> Point:
    match command:
        case "H":
            return numbers[0], at[1]
        case "V":
            return at[0], numbers[0]
        case "Z":
            return at
        case _:
            return numbers[-2], numbers[-1]


def _operators(command: str, numbers: tuple[float, ...], at: Point, end: Point) -> Iterator[str]:
    match command:
        case "Z":
            yield "h"
        case "A":
            for curve in arc_curves(at, numbers):
                yield f"{_numbers(curve)} c"
        case "C":
            yield f"{_numbers(numbers)} c"
        case _:
            yield f"{_numbers(end)} {'m' if command == 'M' else 'l'}"


def _numbers(numbers: Iterable[float]) -> str:
    return " ".join(map(_number, numbers))


def _number(number: float) -> str:
    return f"{number:.4f}".rstrip("0").rstrip(".")
