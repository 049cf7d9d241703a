"""What a reader finds a page by: fiducials at its edges and the QR code with form and page."""

import re
from collections.abc import Iterable
from enum import IntEnum
from functools import cache, lru_cache

import numpy as np
import qrcode
from qrcode.exceptions import DataOverflowError

from forms.errors import FormsError
from forms.field import Box
from forms.layout import Code, Mark
from forms.numbers import FormNumber, NumberUnusable
from forms.opencv import cv2
from forms.paper import Format, Paper

DICTIONARY = "DICT_4X4_50"
MARKS_PER_PAGE = 8
MOST_PAGES = 6  # eight marks each out of fifty
MODULE = 1.016  # [mm] 24 dots at 600 dpi, 12 at 300
QUIET = 4  # [modules] ISO/IEC 18004, quiet zone of a QR code
PREFIX = "F1"  # form page, first version
SMALL_MODULE = 25.4 / 30  # [mm] 20 dots at 600 dpi: version 2 within the room of version 1
_M_HOLDS = 38  # alphanumeric capacity of version 2-M (ISO/IEC 18004, table 7)
MOST_ADDRESS = 30  # symbols: with form and page what version 2-L holds (ISO/IEC 18004, table 7)
_ADDRESS = re.compile(rf"https?://[a-z0-9.:-]+/(?={PREFIX}/)", re.IGNORECASE)

Matrix = tuple[tuple[bool, ...], ...]


class Level(IntEnum):
    """Error correction of a QR code, weakest first (ISO/IEC 18004)."""

    L = 0
    M = 1
    Q = 2
    H = 3


_LEVELS = {
    Level.L: qrcode.constants.ERROR_CORRECT_L,
    Level.M: qrcode.constants.ERROR_CORRECT_M,
    Level.Q: qrcode.constants.ERROR_CORRECT_Q,
    Level.H: qrcode.constants.ERROR_CORRECT_H,
}


class NotAFormCode(FormsError):
    """A QR code that names no page of a form."""

    def __init__(self, text: str):
        self.text = text
        super().__init__(
            f"The QR code says “{text}”, which names no page of a form. "
            "Photograph the page so that the code in its upper left corner is in the picture."
        )


def page_code_text(form: FormNumber, page: int, address: str | None = None) -> str:
    """Text of a page's QR code: ``F1/<form number>/<page>``, 16 alphanumeric characters.

    With the address of whoever takes photos in, it stands before that, in capitals.
    """
    text = f"{PREFIX}/{form.code}/{page}"
    return text if address is None else f"{address.upper()}/{text}"


def parse_page_code(text: str) -> tuple[FormNumber, int]:
    """Read the text of a page's QR code; an address before it says nothing of the page.

    Raises
    ------
    NotAFormCode
        Another prefix or version, a check that does not fit, a page that no form has.
    """
    prefix, _, rest = _ADDRESS.sub("", text, count=1).partition("/")
    number, _, page = rest.partition("/")
    try:
        form = FormNumber.parse(number)
    except NumberUnusable as error:
        raise NotAFormCode(text) from error
    pages = {str(count): count for count in range(1, MOST_PAGES + 1)}
    if prefix != PREFIX or page not in pages:
        raise NotAFormCode(text)
    return form, pages[page]


def qr_matrix(text: str, at_least: Level = Level.M) -> Matrix:
    """Modules of the smallest QR code for ``text``, rows first, True dark, no quiet zone.

    The error correction is the highest that keeps the version which ``at_least`` needs.
    """
    version = _smallest_version(text, at_least)
    for level in sorted(Level, reverse=True):
        try:
            return _matrix(text, version, level)
        except DataOverflowError:
            continue
    raise AssertionError("at_least fitted a moment ago")


def _code(text: str, version: int | None, level: Level) -> qrcode.QRCode:
    code = qrcode.QRCode(version, _LEVELS[level], border=0)
    code.add_data(text, optimize=0)
    return code


def _smallest_version(text: str, level: Level) -> int:
    return int(_code(text, None, level).best_fit(start=1))


def _matrix(text: str, version: int, level: Level) -> Matrix:
    code = _code(text, version, level)
    code.make(fit=False)
    return tuple(tuple(bool(module) for module in row) for row in code.modules)


def modules_path(matrix: Matrix, x: float, y: float, module: float) -> str:
    """SVG path of the dark modules from the top left corner x, y; runs in a row are joined [mm]."""
    return "".join(map(rectangle_path, dark_boxes(matrix, x, y, module)))


def dark_boxes(matrix: Matrix, x: float, y: float, module: float) -> tuple[Box, ...]:
    """Give the runs of dark modules from the top left corner x, y, as boxes [mm]."""
    return tuple(
        Box(x + start * module, y + row * module, (end - start) * module, module)
        for row, modules in enumerate(matrix)
        for start, end in _runs(modules)
    )


def rectangle_path(box: Box) -> str:
    """SVG path of a rectangle [mm]."""
    right, bottom = box.x + box.width, box.y + box.height
    return f"M{box.x:.4f} {box.y:.4f}H{right:.4f}V{bottom:.4f}H{box.x:.4f}Z"


def _runs(modules: Iterable[bool]) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff([False, *modules, False]))
    return [(int(start), int(end)) for start, end in edges.reshape(-1, 2)]


def page_code(
    form: FormNumber, page: int, address: str | None = None, *, on: Format = Paper.A4
) -> Code:
    """QR code of a page and where its modules stand; the same on all sheets [mm]."""
    text = page_code_text(form, page, address)
    module = MODULE if address is None else SMALL_MODULE
    side = round((17 + 4 * _smallest_version(text, _page_level(text))) * module, 3)
    return Code(text, Box(*on.code, side, side))


def code_boxes(code: Code) -> tuple[Box, ...]:
    """Give a QR code's runs of dark modules [mm]."""
    matrix = _page_matrix(code.text)
    return dark_boxes(matrix, code.box.x, code.box.y, code.box.width / len(matrix))


@lru_cache(maxsize=MOST_PAGES)
def _page_matrix(text: str) -> Matrix:
    return qr_matrix(text, _page_level(text))


def _page_level(text: str) -> Level:
    """Least correction of a page's code; a longer text keeps the version at its price."""
    return Level.M if len(text) <= _M_HOLDS else Level.L


def page_marks(paper: Format, page: int) -> tuple[Mark, ...]:
    """Eight fiducials of a page: corners clockwise from top left, then top, right, bottom, left."""
    left = top = paper.margin
    right, bottom = (side - paper.margin - paper.mark for side in (paper.width, paper.height))
    middle, half = (left + right) / 2, (top + bottom) / 2
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    edges = ((middle, top), (right, half), (middle, bottom), (left, half))
    first = MARKS_PER_PAGE * (page - 1)
    return tuple(
        Mark(DICTIONARY, first + index, (round(x, 3), round(y, 3)), paper.mark)
        for index, (x, y) in enumerate(corners + edges)
    )


def mark_boxes(mark: Mark) -> tuple[Box, ...]:
    """Give a fiducial's runs of black modules [mm]."""
    matrix = _mark_matrix(mark.dictionary, mark.id)
    return dark_boxes(matrix, *mark.corner, mark.size / len(matrix))


@cache
def _mark_matrix(dictionary: str, mark: int) -> Matrix:
    aruco = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, dictionary))
    picture = aruco.generateImageMarker(mark, aruco.markerSize + 2)  # one pixel a module
    return tuple(tuple(bool(pixel == 0) for pixel in row) for row in picture)
