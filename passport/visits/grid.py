"""The grid of a form: boxes, ticks, scales and digits on one pitch.

A station row is 22 label + 11 × 7.2 scale + 3 + 9 × 7.2 turns = 169 mm wide (fieldwork: page
budget); boxes of 4.8 mm stand on a pitch of 7.2 mm both ways, with white between rows.
"""

from collections.abc import Mapping, Sequence

from forms.field import Box, Choice, Digits, Option, Scale, Tick
from forms.typeface import line_mm
from passport.visits.ink import COUNT, SMALL, Ink, centred, ending, label, together

PITCH = 7.2
BOX = 4.8
LABEL = 22.0
COUNTS = 11
TURNS = 9
TURNS_LEFT = LABEL + COUNTS * PITCH + 3.0
_INSET = (PITCH - BOX) / 2
_POINT = 1.2  # [mm] more white between the boxes beside a decimal point
_WORDS = 0.8  # [mm] from a box to its words
DIGIT = (6.4, 8.0)  # [mm] one handwritten digit


def column(index: int, left: float = LABEL) -> float:
    """Middle of a column [mm]."""
    return left + (index + 0.5) * PITCH


def square(x: float, row: float) -> Box:
    """Box whose column is centred on x, in the row whose top is given [mm]."""
    return Box(round(x - BOX / 2, 3), round(row + _INSET, 3), BOX, BOX)


def tick(field_id: str, name: str, x: float, row: float, text: str | None = None) -> Ink:
    """One box at x with its words to the right, in a row of one pitch [mm].

    ``name`` is what the office reads in a list of doubts; ``text`` what stands on the paper.
    """
    field = Tick(field_id, name, Box(x, round(row + _INSET, 3), BOX, BOX))
    return Ink(fields=(field,)) + beside(x, row, name if text is None else text)


def beside(x: float, row: float, text: str) -> Ink:
    """Words at the right of the box at x, in one or two lines [mm]."""
    lines = text.split("\n")
    top = row + PITCH / 2 - len(lines) * line_mm(SMALL) / 2
    placed = (top + index * line_mm(SMALL) for index in range(len(lines)))
    return together(
        *(label(x + BOX + _WORDS, y, line) for y, line in zip(placed, lines, strict=True))
    )


def headed_tick(field_id: str, name: str, x: float, row: float, text: str) -> Ink:
    """One box centred on x, its words above the row [mm]."""
    return above(x, row, text) + Ink(fields=(Tick(field_id, name, square(x, row)),))


def above(x: float, row: float, text: str) -> Ink:
    """Words over a box, line by line, ending at the row's top [mm]."""
    lines = text.split("\n") if text else []
    top = row + 0.6 - len(lines) * line_mm(SMALL)
    return together(*(centred(x, top + i * line_mm(SMALL), line) for i, line in enumerate(lines)))


def heads(texts: Sequence[str], left: float, y: float, *, bold: bool = False) -> Ink:
    """Words over or under columns, at the size of counts [mm]."""
    return together(
        *(
            centred(column(index, left), y, text, COUNT, bold=bold)
            for index, text in enumerate(texts)
            if text
        )
    )


def row_name(row: float, text: str, right: float = LABEL + 0.5) -> Ink:
    """Name a row right before its boxes [mm]."""
    return ending(right, row + PITCH / 2 - line_mm(SMALL) / 2, text)


def options(
    values: Sequence[int], left: float, row: float, bounds: Sequence[int] = ()
) -> tuple[Option, ...]:
    """Boxes of a scale, one a column."""
    return tuple(
        Option(value, square(column(index, left), row), value in bounds)
        for index, value in enumerate(values)
    )


def scale(field_id: str, name: str, unit: str, boxes: tuple[Option, ...]) -> Ink:
    """Make a scale of counted boxes."""
    return Ink(fields=(Scale(field_id, name, unit, boxes),))


def choice(
    field_id: str, name: str, words: Mapping[int | str, str], places: Sequence[tuple[float, float]]
) -> Ink:
    """Boxes of which at most one is marked, their words at the right of each.

    ``places`` are the boxes' left edges and the tops of their rows [mm].
    """
    boxes = (Box(round(x, 3), round(row + _INSET, 3), BOX, BOX) for x, row in places)
    field = Choice(field_id, name, tuple(map(Option, words, boxes)))
    texts = (beside(x, row, text) for text, (x, row) in zip(words.values(), places, strict=True))
    return Ink(fields=(field,)) + together(*texts)


def digit_boxes(x: float, y: float, count: int, decimals: int = 0) -> tuple[Box, ...]:
    """Boxes for digits, with room for the printed point before the decimals [mm]."""
    width, height = DIGIT
    return tuple(
        Box(round(x + i * PITCH + (_POINT if i >= count - decimals else 0), 3), y, width, height)
        for i in range(count)
    )


def digits(field: Digits, unit: str) -> Ink:
    """Digit boxes with their unit behind them."""
    last = field.boxes[-1]
    behind = label(last.x + last.width + 1.2, last.y + last.height / 2 - 1.8, unit, COUNT)
    return Ink(fields=(field,)) + behind
