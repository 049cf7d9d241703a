"""A PDF file as another program finds it: words with their letters' boxes, drawn rectangles, lines.

Everything comes from pdfium, which knows nothing of how the file was made. Lengths are millimetres
from a page's top left corner, sizes of letters points.
"""

from collections.abc import Iterator, Sequence
from ctypes import c_double, c_float
from functools import cached_property
from itertools import pairwise
from math import hypot
from typing import NamedTuple

import numpy as np
import pypdfium2
from pypdfium2 import raw

MM_PER_PT = 25.4 / 72
_APART = 0.28  # gap that parts words, in sizes of their letters
_HAIR = 0.01  # [mm]


class Area(NamedTuple):
    """A rectangle [mm]."""

    left: float
    top: float
    right: float
    bottom: float

    def around(self, other: "Area") -> "Area":
        """Rectangle around both."""
        return Area(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )

    def overlap(self, other: "Area") -> float:
        """How far one would have to move to lie beside the other; 0 or less if it does [mm]."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return min(across, down)


class Word(NamedTuple):
    """Letters without a gap: what they say, where their ink is, how large they are."""

    text: str
    area: Area
    size_pt: float


class Letter(NamedTuple):
    """One letter, where it begins on its baseline and where its ink is."""

    text: str
    origin: tuple[float, float]
    area: Area
    size_pt: float


class Shape(NamedTuple):
    """A part of a path: its points in order, and whether some of them only bend it."""

    points: tuple[tuple[float, float], ...]
    bent: bool


class Sheet:
    """One page of a file."""

    def __init__(self, page: pypdfium2.PdfPage):
        self.page = page
        self.width, self.height = (side * MM_PER_PT for side in page.get_size())

    def edge(self, area: Area) -> float:
        """How near to the paper's edge an area comes [mm]."""
        return min(area.left, area.top, self.width - area.right, self.height - area.bottom)

    @cached_property
    def letters(self) -> tuple[Letter, ...]:
        """Every letter with ink, in the order of drawing."""
        text = self.page.get_textpage()
        numbers = range(text.count_chars())
        return tuple(filter(None, (self._letter(text.raw, number) for number in numbers)))

    def _letter(self, text: raw.FPDF_TEXTPAGE, number: int) -> Letter | None:
        said = chr(raw.FPDFText_GetUnicode(text, number))
        if said.isspace() or raw.FPDFText_IsGenerated(text, number) == 1:
            return None
        left, right, bottom, top, x, y = (c_double() for _ in range(6))
        raw.FPDFText_GetCharBox(text, number, left, right, bottom, top)
        raw.FPDFText_GetCharOrigin(text, number, x, y)
        matrix = raw.FS_MATRIX()
        raw.FPDFText_GetMatrix(text, number, matrix)
        size = raw.FPDFText_GetFontSize(text, number) * hypot(matrix.c, matrix.d)
        area = self._area(left.value, bottom.value, right.value, top.value)
        return Letter(said, self._point(x.value, y.value), area, round(size, 3))

    def _point(self, x: float, y: float) -> tuple[float, float]:
        return x * MM_PER_PT, self.height - y * MM_PER_PT

    def _area(self, left: float, bottom: float, right: float, top: float) -> Area:
        return Area(*self._point(left, top), *self._point(right, bottom))

    @cached_property
    def words(self) -> tuple[Word, ...]:
        """Letters that follow each other on one baseline without a gap."""
        groups: list[list[Letter]] = []
        for letter in self.letters:
            if groups and _follows(groups[-1][-1], letter):
                groups[-1].append(letter)
            else:
                groups.append([letter])
        return tuple(map(_word, groups))

    @cached_property
    def shapes(self) -> tuple[Shape, ...]:
        """Every part of every path; a closed one ends with its first point again."""
        return tuple(
            part
            for one in self.page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH], max_depth=9)
            for part in self._parts(one)
        )

    def _parts(self, shape: pypdfium2.PdfObject) -> Iterator[Shape]:
        matrix, points, bent = shape.get_matrix(), list[tuple[float, float]](), False
        for number in range(raw.FPDFPath_CountSegments(shape.raw)):
            segment = raw.FPDFPath_GetPathSegment(shape.raw, number)
            kind, x, y = raw.FPDFPathSegment_GetType(segment), c_float(), c_float()
            raw.FPDFPathSegment_GetPoint(segment, x, y)
            if kind == raw.FPDF_SEGMENT_MOVETO and points:
                yield Shape(tuple(points), bent)
                points, bent = [], False
            points.append(self._point(*matrix.on_point(x.value, y.value)))
            bent = bent or kind == raw.FPDF_SEGMENT_BEZIERTO
            if raw.FPDFPathSegment_GetClose(segment):
                points.append(points[0])
        if points:
            yield Shape(tuple(points), bent)

    @cached_property
    def rectangles(self) -> tuple[Area, ...]:
        """Parts of paths that are rectangles along the page's sides."""
        return tuple(_around(part) for part in self.shapes if _is_rectangle(part))

    @cached_property
    def lines(self) -> tuple[Area, ...]:
        """Straight parts of other paths along the page's sides."""
        return tuple(
            _around(Shape(pair, False))
            for part in self.shapes
            if not part.bent and not _is_rectangle(part)
            for pair in pairwise(part.points)
            if _is_along(pair)
        )


def sheets(pdf: bytes) -> tuple[Sheet, ...]:
    """Open a file for measuring."""
    return tuple(map(Sheet, pypdfium2.PdfDocument(pdf)))


def _follows(one: Letter, other: Letter) -> bool:
    size = one.size_pt * MM_PER_PT
    level = abs(one.origin[1] - other.origin[1]) < _HAIR and one.size_pt == other.size_pt
    return level and -_HAIR < other.origin[0] - one.area.right + 0.2 * size < _APART * size + 0.2


def _word(letters: list[Letter]) -> Word:
    area = letters[0].area
    for letter in letters[1:]:
        area = area.around(letter.area)
    return Word("".join(letter.text for letter in letters), area, letters[0].size_pt)


def _around(shape: Shape) -> Area:
    xs, ys = zip(*shape.points, strict=True)
    return Area(min(xs), min(ys), max(xs), max(ys))


def _is_rectangle(shape: Shape) -> bool:
    points = shape.points
    corners = points[0] == points[-1] and len(set(points)) == 4
    return corners and not shape.bent and all(map(_is_along, pairwise(points)))


def _is_along(pair: tuple[tuple[float, float], tuple[float, float]]) -> bool:
    (x, y), (u, v) = pair
    return min(abs(x - u), abs(y - v)) < _HAIR


def overlaps(some: Sequence[Area], others: Sequence[Area]) -> np.ndarray:
    """By how much areas lie over others, as ``Area.overlap``: (some, others) [mm]."""
    one, other = np.reshape(some, (-1, 1, 4)), np.reshape(others, (1, -1, 4))
    shared = np.minimum(one[..., 2:], other[..., 2:]) - np.maximum(one[..., :2], other[..., :2])
    return shared.min(2)
