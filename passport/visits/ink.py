"""Pieces of a block: texts, strokes and fields that are put together and shifted as one."""

from dataclasses import dataclass, replace

from forms.field import Field, moved
from forms.form import Block, Stroke, Text
from forms.path import moved_path
from forms.typeface import line_mm, wrap

SMALL = 7.0  # [pt] the smallest text of a form
COUNT = 9.0  # [pt] counts and turns
TITLE = 11.0  # [pt]
WIDTH = 170.0  # [mm] body of the narrower paper, A4


@dataclass(frozen=True)
class Ink:
    """Part of a block, in millimetres from its own top left corner."""

    texts: tuple[Text, ...] = ()
    strokes: tuple[Stroke, ...] = ()
    fields: tuple[Field, ...] = ()
    heavy: frozenset[str] = frozenset()

    def __add__(self, other: "Ink") -> "Ink":
        """Draw two pieces over each other."""
        return Ink(
            self.texts + other.texts,
            self.strokes + other.strokes,
            self.fields + other.fields,
            self.heavy | other.heavy,
        )

    def moved(self, dx: float, dy: float) -> "Ink":
        """Shift the piece [mm]."""
        return Ink(
            tuple(replace(text, x=text.x + dx, y=text.y + dy) for text in self.texts),
            tuple(replace(one, path=moved_path(one.path, dx, dy)) for one in self.strokes),
            tuple(moved(field, dx, dy) for field in self.fields),
            self.heavy,
        )

    def block(self, name: str, height: float, **how: bool) -> Block:
        """Make a block of the piece; ``how`` is ``new_page`` or ``keep_with_next``."""
        return Block(
            name, round(height, 3), self.texts, self.strokes, self.fields, self.heavy, **how
        )


NOTHING = Ink()


def together(*pieces: Ink) -> Ink:
    """Put pieces together as they stand."""
    return sum(pieces, NOTHING)


def label(x: float, y: float, text: str, size_pt: float = SMALL, *, bold: bool = False) -> Ink:
    """One line of text that begins at x; y is its top [mm]."""
    return Ink(texts=(Text(x, y, text, size_pt, bold=bold),))


def centred(x: float, y: float, text: str, size_pt: float = SMALL, *, bold: bool = False) -> Ink:
    """One line of text whose middle is x; y is its top [mm]."""
    return Ink(texts=(Text(x, y, text, size_pt, bold=bold, align="center"),))


def ending(x: float, y: float, text: str, size_pt: float = SMALL, *, bold: bool = False) -> Ink:
    """One line of text that ends at x; y is its top [mm]."""
    return Ink(texts=(Text(x, y, text, size_pt, bold=bold, align="right"),))


@dataclass(frozen=True)
class Paragraph:
    """A wrapped text and how high it stands [mm]."""

    ink: Ink
    height: float


def paragraph(x: float, y: float, width: float, text: str) -> Paragraph:
    """Wrap text to a width [mm]."""
    lines = len(wrap(text, width, SMALL))
    return Paragraph(Ink(texts=(Text(x, y, text, SMALL, width=width),)), lines * line_mm(SMALL))


def caution(x: float, y: float, width: float, text: str) -> Paragraph:
    """Wrap a caution beside a triangle with an exclamation mark [mm]."""
    body = paragraph(x + 5.0, y, width - 5.0, text)
    return Paragraph(body.ink + _triangle(x, y + 0.1), max(body.height, 3.6))


def _triangle(x: float, y: float) -> Ink:
    outline = f"M{x + 1.9} {y}L{x + 3.8} {y + 3.3}H{x}Z"
    mark = f"M{x + 1.9} {y + 1.15}V{y + 2.2}M{x + 1.9} {y + 2.55}V{y + 2.85}"
    return Ink(strokes=(Stroke(outline, 0.3), Stroke(mark, 0.4)))


def rule(y: float, *, grey: float = 0.6, width_mm: float = 0.15) -> Ink:
    """Thin line across the body [mm]."""
    return Ink(strokes=(Stroke(f"M0 {y:.3f}H{WIDTH:.3f}", width_mm, grey=grey),))


def section(title: str, how: str, care: str = "") -> Paragraph:
    """Head of a part of the form: title at the left, beside it what to do and its caution."""
    ink = label(0, 0.9, title, TITLE, bold=True) + Ink(strokes=(Stroke(f"M0 0H{WIDTH}", 0.5),))
    said = paragraph(BESIDE, 1.2, WIDTH - BESIDE, how)
    ink, y = ink + said.ink, 1.2 + said.height
    if care:
        warned = caution(BESIDE, y + 0.5, WIDTH - BESIDE, care)
        ink, y = ink + warned.ink, y + 0.5 + warned.height
    return Paragraph(ink, max(y, 6.4) + 0.4)


BESIDE = 27.0  # [mm] where the words beside a title begin
