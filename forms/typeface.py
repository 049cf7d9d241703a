"""The printed face: how wide a text is, where it wraps, what it can't show.

The fonts are shipped with the package and used without kerning or ligatures, so a text is as wide
as its glyphs' advances, on every machine.
"""

import re
from base64 import b64encode
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from io import BytesIO

from fontTools.ttLib import TTFont

from forms.errors import FormsError

FAMILY = "Form"
MM_PER_PT = 25.4 / 72  # [mm] CSS Values and Units: 1 pt = 1/72 in
LINE = 1.2  # height of a line box in sizes of its text
BASELINE = 0.963  # from the top of a line box, in sizes: ascent .969, half leading -.005
CAP_HEIGHT = 0.727  # of capitals and digits above the baseline, in sizes
DESCENT = 0.216  # of g, p, y below the baseline, in sizes
NO_BREAK = "\u00a0"
_UNITS = "[±%]|°[CF]|mm/m|in/ft|mm|in|ft|m|kg|g"
_ONE = re.compile(
    rf"(?<=\d) (?=(?:{_UNITS})(?![\w/]))|(?<=[±×]) (?=\d)|(?<=\d ft) (?=\d)|(?<=\d) (?=\d+/\d)"
)  # between a number and its unit, a value and its uncertainty, the parts of 12 ft 9 13/16 in
_FILES = {False: "inter-regular.woff2", True: "inter-bold.woff2"}


class MissingGlyph(FormsError):
    """A character that the printed face can't show."""

    def __init__(self, text: str, character: str):
        self.text, self.character = text, character
        super().__init__(
            f"“{text}” holds “{character}” (U+{ord(character):04X}), which the printed typeface "
            "does not have. Write it in other words or draw it."
        )


@dataclass(frozen=True)
class _Face:
    advances: dict[str, float]  # [em]
    numbers: dict[str, str]  # of the glyphs, hexadecimal

    def width(self, text: str) -> float:
        try:
            return sum(map(self.advances.__getitem__, text))
        except KeyError as error:
            raise MissingGlyph(text, error.args[0]) from None

    def codes(self, text: str) -> str:
        try:
            return "".join(map(self.numbers.__getitem__, text))
        except KeyError as error:
            raise MissingGlyph(text, error.args[0]) from None


def width_mm(text: str, size_pt: float, *, bold: bool = False) -> float:
    """Width of one line of text [mm].

    Raises
    ------
    MissingGlyph
        The typeface lacks a character.
    """
    return _face(bold).width(text) * size_pt * MM_PER_PT


def line_mm(size_pt: float) -> float:
    """Height of one line box [mm]."""
    return size_pt * LINE * MM_PER_PT


def tied(text: str) -> str:
    """Hold a number and its unit together, and a value and its uncertainty: no line ends there."""
    return _ONE.sub(NO_BREAK, text)


def wrap(text: str, width: float, size_pt: float, *, bold: bool = False) -> tuple[str, ...]:
    """Break text at spaces into lines of at most ``width``; line ends in the text are kept [mm].

    A number is never parted from its unit. A single word that is wider stays whole on a line of
    its own; the layouter refuses it.

    Raises
    ------
    MissingGlyph
        The typeface lacks a character.
    """
    lines: list[str] = []
    for paragraph in tied(text).split("\n"):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if line and width_mm(longer, size_pt, bold=bold) > width + 1e-6:
                lines.append(line)
                longer = word
            line = longer
        lines.append(line)
    return tuple(line.replace(NO_BREAK, " ") for line in lines)


@cache
def font_css() -> str:
    """Style sheet with the shipped fonts inside; nothing is fetched."""
    return "\n".join(
        f'@font-face {{ font-family: "{FAMILY}"; font-weight: {700 if bold else 400}; '
        f"src: url(data:font/woff2;base64,{b64encode(_font_bytes(name)).decode()}); }}"
        for bold, name in _FILES.items()
    )


def _font_bytes(name: str) -> bytes:
    return (files("forms") / "fonts" / name).read_bytes()


def glyphs(text: str, *, bold: bool = False) -> str:
    """Write a line as the numbers of its glyphs in the shipped font, four hexadecimal digits each.

    Raises
    ------
    MissingGlyph
        The typeface lacks a character.
    """
    return _face(bold).codes(text)


def opened(bold: bool) -> TTFont:
    """Open a shipped font."""
    return TTFont(BytesIO(_font_bytes(_FILES[bold])), recalcTimestamp=False)


@cache
def font(bold: bool) -> TTFont:
    """Give a shipped font, to look into."""
    return opened(bold)


@cache
def _face(bold: bool) -> _Face:
    whole = font(bold)
    advances, em = whole["hmtx"], whole["head"].unitsPerEm
    named = {chr(code): name for code, name in whole.getBestCmap().items()}
    return _Face(
        {character: advances[name][0] / em for character, name in named.items()},
        {character: f"{whole.getGlyphID(name):04x}" for character, name in named.items()},
    )
