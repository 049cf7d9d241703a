import cv2
import numpy as np
import pypdfium2 as pdfium
import pytest

from passport.booth.grades import FLAT_SCAN
from passport.booth.scanner import feed_of, scan, scan_pdf, stack_of
from passport.booth.shot import Shot, pass_of

DPI = 150
SHOT = Shot(FLAT_SCAN, 5, dpi=DPI)


def page(number, size=(1275, 1650)):
    """Draw a letter page that carries its number as a row of squares at the top."""
    picture = np.full((size[1], size[0]), 255, np.uint8)
    for i in range(number):
        picture[100:200, 150 + 200 * i : 250 + 200 * i] = 0
    return picture


def squares(picture):
    """How many squares, and whether they stand at the top."""
    dark = cv2.erode((picture < 100).astype(np.uint8), np.ones((15, 15)))
    count, labels = cv2.connectedComponents(dark)
    return count - 1, bool(np.argwhere(labels)[:, 0].mean() < picture.shape[0] / 2)


def rendered(pdf):
    document = pdfium.PdfDocument(pdf)
    pictures = []
    for sheet in document:
        bitmap = sheet.render(scale=100 / 72, grayscale=True)
        pictures.append(np.array(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width))
        sheet.close()
    document.close()
    return pictures


@pytest.mark.parametrize("seed", range(30))
def test_numbers_of_a_run_lie_within_the_grade(seed):
    run = pass_of(Shot(FLAT_SCAN, seed))

    names = ("dpi", "skew_deg", "stretch", "blur_px", "noise", "specks", "quality")
    spans = [getattr(FLAT_SCAN, name) for name in names]
    assert all(
        span.low <= getattr(run, name) <= span.high for name, span in zip(names, spans, strict=True)
    )


def test_scan_is_as_large_as_its_resolution_says():
    run = pass_of(SHOT)

    picture = scan(page(1), DPI, run)

    assert picture.shape == (round(11 * run.dpi), round(8.5 * run.dpi))


def test_scan_turned_by_a_quarter_is_wide():
    run = pass_of(Shot(FLAT_SCAN, 5, turn_deg=90))

    picture = scan(page(1), DPI, run)

    assert picture.shape[1] > picture.shape[0]


def test_feed_leads_back_to_the_sheet():
    feed = feed_of(pass_of(SHOT), (215.9, 279.4))
    points = np.array([(10.0, 20.0), (200.0, 250.0)])

    assert np.allclose(feed.to_page(feed.to_photo(points)), points)


def test_scanned_paper_is_nearly_white():
    assert np.median(scan(page(1), DPI, pass_of(SHOT))) > 245


def test_colour_page_gives_a_colour_scan():
    colour = cv2.cvtColor(page(1), cv2.COLOR_GRAY2BGR)

    assert scan(colour, DPI, pass_of(SHOT)).ndim == 3


def test_stack_comes_out_in_the_order_and_turns_that_were_drawn():
    pages = [page(number) for number in (1, 2, 3, 4, 5)]
    expected = [(fed.index + 1, fed.run.turn_deg == 0) for fed in stack_of(5, SHOT)]

    assert [squares(picture) for picture in rendered(scan_pdf(pages, SHOT))] == expected


def test_stack_mixes_order_and_turns():
    stack = stack_of(8, SHOT)

    assert [fed.index for fed in stack] != sorted(fed.index for fed in stack)
    assert {fed.run.turn_deg for fed in stack} == {0.0, 180.0}


def test_stack_goes_through_one_machine():
    stack = stack_of(8, SHOT)

    assert len({(fed.run.dpi, fed.run.stretch, fed.run.quality) for fed in stack}) == 1
    assert len({fed.run.skew_deg for fed in stack}) == 8


def test_page_of_the_pdf_has_the_sheet_s_size():
    document = pdfium.PdfDocument(scan_pdf([page(1)], SHOT))
    width, height = document[0].get_size()
    document.close()

    assert (width, height) == pytest.approx((612, 792), abs=0.5)  # letter: 8.5 × 11 in


def test_same_stack_gives_the_same_bytes():
    assert scan_pdf([page(1), page(2)], SHOT) == scan_pdf([page(1), page(2)], SHOT)


def test_file_of_a_scan_carries_no_time_of_its_making():
    assert b"(D:20000101000000" in scan_pdf([page(1)], SHOT)
