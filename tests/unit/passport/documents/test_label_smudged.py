"""Printed labels that were stained, scratched, rubbed or smeared, read by two independent readers.

Damage is drawn on the rendered label; no real label took part. Each kind has a level that must
still be read and a control that must not, so that the damage is known to be damage.
"""

from collections.abc import Callable
from datetime import datetime
from io import BytesIO
from itertools import chain

import cv2
import numpy as np
import pypdfium2
import pytest
import zxingcpp
from pyzbar.pyzbar import ZBarSymbol
from pyzbar.pyzbar import decode as zbar_decode

from forms.marks import QUIET
from passport.documents.codes import care_code_text, code_matrix, module_mm
from passport.documents.label import CODE_SIDE_MM, Label, LabelSheet, label_pdf

CLOCK = datetime(2026, 11, 24, 9, 30)
TIMES = 40
MODULE = 6.0  # [px]
ADDRESS = care_code_text("401 2734 56", "care.example.org", "7ZK2M04QX9RJ1B5T", None)
WORDS = care_code_text("401 2734 56", None, None, "+1 (555) 010-0199")
Damage = Callable[[np.ndarray, float, np.random.Generator], np.ndarray]


def symbol(text: str) -> np.ndarray:
    """Code and quiet zone, cut from a printed label of its own page."""
    pdf = label_pdf([Label("401 2734 56", "Long table", text)], LabelSheet.SINGLE, CLOCK)
    matrix = code_matrix(text)
    scale = MODULE / module_mm(matrix, CODE_SIDE_MM)  # [px/mm]
    page = pypdfium2.PdfDocument(BytesIO(pdf))[0].render(scale=scale * 25.4 / 72).to_pil()
    half = (len(matrix) / 2 + QUIET) * MODULE
    x, y = 28 * scale, 34 * scale  # the middle of the code on the label
    box = (round(x - half), round(y - half), round(x + half), round(y + half))
    return np.array(page.convert("L").crop(box))


def stained(grey: np.ndarray, share: float, rng: np.random.Generator) -> np.ndarray:
    """Cover a share of the symbol by one opaque spot, anywhere: black, grey or white."""
    marred, side = grey.copy(), grey.shape[0] - 2 * QUIET * MODULE
    radius, longer = np.sqrt(share * side**2 / np.pi), np.exp(rng.normal(0, 0.25))
    low = QUIET * MODULE + radius / 2
    middle = rng.uniform(low, low + side - radius, 2)
    axes = (round(radius * longer), round(radius / longer))
    colour = int(rng.choice([0, 90, 255]))
    cv2.ellipse(marred, tuple(map(round, middle)), axes, rng.uniform(0, 180), 0, 360, colour, -1)
    return marred


def scratched(grey: np.ndarray, count: float, rng: np.random.Generator) -> np.ndarray:
    """Scratch the print off in straight lines across, half a module wide."""
    marred, side = grey.copy(), grey.shape[0]
    for _ in range(int(count)):
        one, two = rng.uniform(0, side, (2, 2))
        along = (two - one) / np.hypot(*(two - one)) * 2 * side
        ends = (tuple(map(round, one - along)), tuple(map(round, two + along)))
        cv2.line(marred, *ends, 255, round(MODULE / 2))
    return marred


def rubbed(grey: np.ndarray, width: float, _rng: np.random.Generator) -> np.ndarray:
    """Blur the print; the Gaussian's standard deviation in modules."""
    return cv2.GaussianBlur(grey, (0, 0), width * MODULE)


def smeared(grey: np.ndarray, length: float, rng: np.random.Generator) -> np.ndarray:
    """Draw the ink out one way, by a number of modules."""
    size = round(length * MODULE)
    line = np.zeros((size, size), np.float32)
    line[size // 2] = 1
    middle = (size / 2 - 0.5, size / 2 - 0.5)
    turned = cv2.getRotationMatrix2D(middle, rng.uniform(0, 180), 1)
    kernel = cv2.warpAffine(line, turned, (size, size))
    return cv2.filter2D(grey, -1, kernel / kernel.sum())


def by_zbar(grey: np.ndarray) -> list[str]:
    return [one.data.decode() for one in zbar_decode(grey, symbols=[ZBarSymbol.QRCODE])]


def by_zxing(grey: np.ndarray) -> list[str]:
    formats = zxingcpp.BarcodeFormat.QRCode
    return [one.text for one in zxingcpp.read_barcodes(grey, formats=formats)]


def reads(text: str, damage: Damage, level: float) -> list[tuple[list[str], list[str]]]:
    """Tell what both readers read of one label, damaged many times in different ways."""
    rng, grey = np.random.default_rng(4), symbol(text)
    marred = [damage(grey, level, rng) for _ in range(TIMES)]
    return [(by_zbar(one), by_zxing(one)) for one in marred]


@pytest.mark.parametrize("read", [by_zbar, by_zxing])
@pytest.mark.parametrize("text", [ADDRESS, WORDS])
def test_clean_label_is_read_by_either_reader(text, read):
    assert read(symbol(text)) == [text]


@pytest.mark.parametrize("text", [ADDRESS, WORDS], ids=["address", "words"])
@pytest.mark.parametrize(
    ("damage", "level", "least"),
    [
        (stained, 0.05, 33),
        (stained, 0.1, 31),
        (scratched, 1, 32),
        (rubbed, 0.45, 40),
        (smeared, 1.5, 40),
    ],
)
def test_damaged_label_is_read_by_one_of_two_readers(text, damage, level, least):
    """Of 40; what is missing lies over a finder pattern or the timing."""
    found = reads(text, damage, level)

    assert sum(text in chain(*both) for both in found) >= least


@pytest.mark.parametrize("text", [ADDRESS, WORDS], ids=["address", "words"])
@pytest.mark.parametrize(
    ("damage", "level"), [(stained, 0.35), (scratched, 16), (rubbed, 1.1), (smeared, 3)]
)
def test_label_damaged_beyond_its_correction_is_not_read(text, damage, level):
    """A share of 35 % is more than level Q restores (ISO/IEC 18004:2024, table 8: 25 %)."""
    found = reads(text, damage, level)

    assert sum(text in chain(*both) for both in found) == 0


@pytest.mark.parametrize("damage", [stained, scratched, smeared])
def test_damaged_label_is_never_read_as_something_else(damage):
    found = reads(ADDRESS, damage, {stained: 0.15, scratched: 3, smeared: 2}[damage])

    assert {text for both in found for text in chain(*both)} <= {ADDRESS}
