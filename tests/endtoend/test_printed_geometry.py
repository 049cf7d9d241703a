"""What is printed stands where the layout file says: measured on the PDF, 600 dots an inch.

The page is drawn by pdfium. Lines are measured as the centre of their darkness across each of the
four sides of every box, fiducials and QR code by independent detectors, letters by the places that
pdfium reports. Bound: 0.05 mm; a dot is 0.042 mm.
"""

from ctypes import c_double
from datetime import datetime
from functools import lru_cache

import cv2
import numpy as np
import pypdfium2
import pytest
import zxingcpp

from forms.drawing import text_box
from forms.field import Box, boxes_of
from forms.form import Text
from forms.layout import Mark, Page, dumps, loads
from forms.place import Placed
from forms.sheet import print_form
from forms.typeface import BASELINE, MM_PER_PT

BOUND = 0.05  # [mm]
TICK = 0.2  # [mm] thickness of the ticks at the ends of the check bar, half of it beyond
REACH = 0.3  # [mm] to either side of a line; the next box begins later


Printed = list[tuple[Page, np.ndarray]]


@pytest.fixture
def sheets(sample_placed: Placed, printed_at: datetime) -> Printed:
    """Pages of the layout file, each with its darkness: (height, width) uint8, 255 is black."""
    layout = loads(dumps(sample_placed.layout))
    pictures = drawn(print_form(sample_placed, printed_at))
    return list(zip(layout.pages, pictures, strict=True))


@lru_cache(maxsize=2)
def drawn(pdf: bytes) -> list[np.ndarray]:
    pages = pypdfium2.PdfDocument(pdf)
    pictures = (page.render(scale=600 / 72, grayscale=True).to_numpy() for page in pages)
    return [255 - picture.squeeze() for picture in pictures]


def scales(page: Page, dark: np.ndarray) -> tuple[float, float]:
    """Dots a millimetre across and down."""
    return dark.shape[1] / page.width, dark.shape[0] / page.height


def centre(profile: np.ndarray) -> float:
    """Centre of darkness along a profile of dots; the middle of dot 0 is at 0.5."""
    return float((profile * (np.arange(len(profile)) + 0.5)).sum() / profile.sum())


def line_error(dark: np.ndarray, at: float, beside: float, scale: float) -> float:
    """How far the line that crosses columns near ``at`` is from it, in row ``beside`` [mm]."""
    first, last = int((at - REACH) * scale), int((at + REACH) * scale) + 1
    profile = dark[int(beside * scale), first:last].astype(float)
    return abs((first + centre(profile)) / scale - at)


def box_error(dark: np.ndarray, box: Box, scale: tuple[float, float]) -> float:
    """Largest error of a box's four sides, each measured a third of the way along [mm]."""
    across, down = box.x + box.width / 3, box.y + box.height / 3
    sides = [line_error(dark, at, down, scale[0]) for at in (box.x, box.x + box.width)]
    ends = [line_error(dark.T, at, across, scale[1]) for at in (box.y, box.y + box.height)]
    return max(sides + ends)


def test_every_box_stands_where_the_layout_file_says(sheets: Printed) -> None:
    errors = [
        (field.id, box_error(dark, box, scales(page, dark)))
        for page, dark in sheets
        for field in page.fields
        for box in boxes_of(field)
    ]

    assert [(id_, error) for id_, error in errors if not error < BOUND] == []


def test_every_fiducial_stands_where_the_layout_file_says(
    sheets: Printed,
) -> None:
    worst = max(mark_error(page, dark) for page, dark in sheets)

    assert worst < BOUND


def mark_error(page: Page, dark: np.ndarray) -> float:
    """Largest distance of a found fiducial's corner from the layout file's [mm]."""
    parameters = cv2.aruco.DetectorParameters()
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    detector = cv2.aruco.ArucoDetector(dictionary, parameters)
    return max(corner_error(detector, mark, dark, scales(page, dark)) for mark in page.marks)


def corner_error(
    detector: cv2.aruco.ArucoDetector, mark: Mark, dark: np.ndarray, scale: tuple[float, float]
) -> float:
    """Look for one fiducial in four millimetres around where it should be [mm]."""
    x, y = (int((at - 4) * per) for at, per in zip(mark.corner, scale, strict=True))
    side = int((mark.size + 8) * scale[0])
    found, ids, _ = detector.detectMarkers(255 - dark[y : y + side, x : x + side])
    assert np.ravel(ids).tolist() == [mark.id]
    asked = mark.corner + np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) * mark.size
    return float(np.abs((np.reshape(found[0], (4, 2)) + 0.5 + (x, y)) / scale - asked).max())


def test_every_code_says_and_stands_what_the_layout_file_says(
    sheets: Printed,
) -> None:
    for page, dark in sheets:
        found = zxingcpp.read_barcode(255 - dark)

        assert (found.text, code_error(page, dark) < BOUND) == (page.code.text, True)


def code_error(page: Page, dark: np.ndarray) -> float:
    """Largest distance of the dark area of the code from its box in the layout file [mm]."""
    box, (across, down) = page.code.box, scales(page, dark)
    x, y = int((box.x - 3) * across), int((box.y - 1) * down)
    part = dark[y : int((box.y + box.height + 3) * down), x : int((box.x + box.width + 3) * across)]
    rows, columns = np.flatnonzero(part.max(1) > 127), np.flatnonzero(part.max(0) > 127)
    found = np.array([x + columns[0], y + rows[0], x + columns[-1] + 1, y + rows[-1] + 1])
    asked = np.array([box.x, box.y, box.x + box.width, box.y + box.height])
    return float(np.abs(found / [across, down, across, down] - asked).max())


def test_a_box_moved_by_a_tenth_of_a_millimetre_would_be_noticed(
    sheets: Printed,
) -> None:
    page, dark = sheets[0]
    moved = boxes_of(page.fields[0])[0].moved(0.1, 0)

    assert box_error(dark, moved, scales(page, dark)) > BOUND


def test_the_check_bar_is_100_mm_long(sheets: Printed) -> None:
    page, dark = sheets[0]
    across, down = scales(page, dark)
    between = slice(int(20 * down), int(125 * down))  # the fiducial above, its caption below
    column = dark[between, int((page.width - 13) * across)]
    rows = np.flatnonzero(column > 127)

    assert (rows[-1] + 1 - rows[0]) / down - TICK == pytest.approx(100, abs=BOUND)


def letters(page: pypdfium2.PdfPage, height: float) -> dict[str, list[tuple[float, float]]]:
    """Where each letter of a page begins on its baseline, from the top left corner [mm]."""
    text, found, x, y = page.get_textpage(), {}, c_double(), c_double()
    for index in range(text.count_chars()):
        letter = chr(pypdfium2.raw.FPDFText_GetUnicode(text, index))
        pypdfium2.raw.FPDFText_GetCharOrigin(text, index, x, y)
        spot = (x.value * MM_PER_PT, height - y.value * MM_PER_PT)
        found.setdefault(letter, []).append(spot)
    return found


def text_error(text: Text, found: dict[str, list[tuple[float, float]]]) -> float:
    """How far the nearest such first letter is from where the text was placed [mm]."""
    asked = np.array([text_box(text).x, text.y + BASELINE * text.size_pt * MM_PER_PT])
    return float(np.linalg.norm(np.array(found[text.text[0]]) - asked, axis=1).min())


def test_every_text_begins_where_it_was_placed(sample_placed: Placed, printed_at: datetime) -> None:
    pdf = pypdfium2.PdfDocument(print_form(sample_placed, printed_at))
    found = [letters(page, sample_placed.paper.height) for page in pdf]
    errors = {
        text.text: text_error(text, on_page)
        for sheet, on_page in zip(sample_placed.sheets, found, strict=True)
        for text in sheet.texts
    }

    assert {text: error for text, error in errors.items() if error >= BOUND} == {}
