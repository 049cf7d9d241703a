"""One page at 1 to 50 megapixels: the same values, and the memory that reading them takes.

The page is printed anew in the detail of each size, filled by the booth's hand and laid down in
perspective with plain OpenCV. From 24 megapixels on: long.
"""

from collections.abc import Mapping

import cv2
import numpy as np
import pytest
from reading.press import service_form

from forms.field import Scale
from forms.layout import Page, dumps
from passport.booth.hand import fill
from passport.booth.printer import print_pages
from passport.booth.writer import some_hand
from scan.read import read_photo
from scan.reading import Reading, Status, Value

PAGE = 2
MARGIN = 0.05  # of the picture's height, above and below the page
LEAN = 0.03  # of the page's width, on either side, by which its upper edge is shorter
DESK, NOISE, BLUR_PX = 70, 3.0, 0.7
MOST_MB = 300  # resident, of a 12 megapixel photo; beyond, what the decode alone takes more
DECODE_MB = 80  # which of a 12 megapixel photo takes
WHOLE_FROM = 3  # megapixels, from which on every field is sure
SIZES = [1.2, 3, 12, *(pytest.param(size, marks=pytest.mark.long) for size in (24, 50))]
UNSURE = {Status.DOUBTFUL, Status.OUTSIDE}

READ = """
from pathlib import Path
import scan.read
from forms.layout import loads

layout = loads(Path(sys.argv[2]).read_text())
scan.read.read_photo(Path(sys.argv[1]), lambda number: layout)
"""
DECODE = """
from pathlib import Path
from scan.opencv import cv2
import numpy as np

cv2.imdecode(np.frombuffer(Path(sys.argv[1]).read_bytes(), np.uint8), cv2.IMREAD_GRAYSCALE)
"""


def answers_of(page: Page) -> dict[str, Value]:
    """Mark the fifth box of every count."""
    return {field.id: field.options[4].value for field in page.fields if isinstance(field, Scale)}


def photo_of(megapixels: float) -> bytes:
    """Lay the filled page before a camera, upright, three to four."""
    form = service_form()
    page = form.layout.pages[PAGE - 1]
    height = round((megapixels * 1e6 * 4 / 3) ** 0.5)
    tall = height * (1 - 2 * MARGIN)
    sheet = print_pages(form.pdf, tall / page.height * 25.4)[PAGE - 1]
    grey = cv2.cvtColor(fill(sheet, page, answers_of(page), some_hand(1)), cv2.COLOR_RGB2GRAY)
    size = (round(height * 3 / 4), height)
    onto = cv2.getPerspectiveTransform(_corners(grey.shape), _lying(size, grey.shape))
    photo = cv2.GaussianBlur(
        cv2.warpPerspective(grey, onto, size, borderValue=DESK), (0, 0), BLUR_PX
    )
    noise = np.zeros(photo.shape, np.int8)
    cv2.setRNGSeed(1)
    cv2.randn(noise, 0, NOISE)
    noisy = cv2.add(photo, noise, dtype=cv2.CV_8U)
    return bytes(cv2.imencode(".jpg", noisy, [cv2.IMWRITE_JPEG_QUALITY, 85])[1])


def _corners(shape: tuple[int, ...]) -> np.ndarray:
    height, width = shape[:2]
    return np.float32([(0, 0), (width, 0), (width, height), (0, height)])


def _lying(size: tuple[int, int], shape: tuple[int, ...]) -> np.ndarray:
    """Where the page's corners lie in the picture (4, 2). [px]."""
    width, height = size
    tall = height * (1 - 2 * MARGIN)
    wide = tall * shape[1] / shape[0]
    left, top, lean = (width - wide) / 2, height * MARGIN, LEAN * wide
    upper = [(left + lean, top), (left + wide - lean, top)]
    return np.float32([*upper, (left + wide, top + tall), (left, top + tall)])


@pytest.mark.parametrize("megapixels", SIZES)
def test_a_page_reads_the_same_at_any_size(measured, show, tmp_path, megapixels):
    layout = service_form().layout
    page = layout.pages[PAGE - 1]
    photo, file = tmp_path / "page.jpg", tmp_path / "form.json"
    photo.write_bytes(photo_of(megapixels))
    file.write_text(dumps(layout))

    found = read_photo(photo, {layout.form: layout}.get)
    read, bare = measured(READ, str(photo), str(file)), measured(DECODE, str(photo))

    said = {name: one for sheet in found.pages for name, one in sheet.fields.items()}
    left = sum(one.status in UNSURE for one in said.values())
    beyond = max(0.0, bare["peak_mb"] - DECODE_MB)
    show(f"{megapixels} MP: {len(said)} fields, {left} left to a person")
    show(f"  peak {read['peak_mb']:.0f} MB, of the decode alone {bare['peak_mb']:.0f} MB")
    show(f"  aimed at: {MOST_MB + beyond:.0f} MB")
    assert wrong_of(page, said) == []
    assert read["peak_mb"] < MOST_MB + beyond
    if megapixels < WHOLE_FROM:
        assert said or found.problems
    else:
        assert (len(said), left, found.problems) == (len(page.fields), 0, ())


def wrong_of(page: Page, said: Mapping[str, Reading]) -> list[str]:
    """Name fields whose reading claims what was not written."""
    answers = answers_of(page)
    claims = {name: one.value for name, one in said.items() if one.status not in UNSURE}
    blank = (None, False)
    return [
        name
        for name, value in claims.items()
        if (value != answers[name] if name in answers else value not in blank)
    ]
