"""Fiducials and page codes."""

import cv2
import numpy as np
import pytest
import zxingcpp

from forms.field import Box
from forms.marks import (
    DICTIONARY,
    MODULE,
    NotAFormCode,
    code_boxes,
    mark_boxes,
    modules_path,
    page_code,
    page_code_text,
    page_marks,
    parse_page_code,
    qr_matrix,
    rectangle_path,
)
from forms.numbers import FormNumber
from forms.paper import FORMATS, Format, Paper

FORM = FormNumber("16JD000000M")


def drawn(
    boxes: tuple[Box, ...], origin: tuple[float, float], side: float, pixels: int
) -> np.ndarray:
    """Paint boxes: white (pixels, pixels) picture, black modules."""
    picture = np.full((pixels, pixels), 255, np.uint8)
    for box in boxes:
        ends = (box.x, box.x + box.width), (box.y, box.y + box.height)
        (x0, x1), (y0, y1) = (
            [round((at - first) / side * pixels) for at in pair]
            for pair, first in zip(ends, origin, strict=True)
        )
        picture[y0:y1, x0:x1] = 0
    return picture


def test_the_text_of_a_page_code_names_form_and_page() -> None:
    assert page_code_text(FORM, 2) == "F1/16JD000000M/2"


def test_the_text_of_a_page_code_fits_the_alphanumeric_set() -> None:
    allowed = set("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")

    assert set(page_code_text(FORM, 2)) <= allowed


def test_a_page_code_reads_back() -> None:
    assert parse_page_code("F1/16JD000000M/6") == (FORM, 6)


@pytest.mark.parametrize(
    "text",
    [
        "F2/16JD000000M/1",
        "F1/16JD000000M/0",
        "F1/16JD000000M/7",
        "F1/16JD000000M/1/1",
        "F1/16JD000000M",
        "F1/16JD000000N/1",
        "f1/16JD000000M/1",
        "HTTPS://EXAMPLE.ORG/T/7ZK2M04QX9RJ1B5T",
        "",
    ],
)
def test_any_other_text_is_no_page_code(text: str) -> None:
    with pytest.raises(NotAFormCode):
        parse_page_code(text)


def test_a_foreign_code_is_refused_with_what_it_says() -> None:
    with pytest.raises(NotAFormCode) as caught:
        parse_page_code("WIFI:S:X")

    assert str(caught.value) == (
        "The QR code says “WIFI:S:X”, which names no page of a form. "
        "Photograph the page so that the code in its upper left corner is in the picture."
    )


def test_a_page_code_is_21_modules_of_24_dots_at_600_dpi() -> None:
    code = page_code(FORM, 1)

    assert (code.box.width, MODULE * 600 / 25.4) == pytest.approx((21 * 1.016, 24))


@pytest.mark.parametrize("paper", FORMATS)
def test_a_page_code_keeps_four_modules_of_white_from_the_fiducial_beside_it(
    paper: Format,
) -> None:
    box = page_code(FORM, 1, on=paper).box

    assert box.x - 4 * MODULE > paper.margin + paper.mark
    assert box.y - 4 * MODULE > 0


def test_a_drawn_page_code_is_read_by_an_independent_reader() -> None:
    code = page_code(FORM, 4)
    picture = drawn(code_boxes(code), code.box[:2], code.box.width, 210)
    framed = cv2.copyMakeBorder(picture, 40, 40, 40, 40, cv2.BORDER_CONSTANT, value=255)

    assert zxingcpp.read_barcodes(framed)[0].text == "F1/16JD000000M/4"


@pytest.mark.parametrize("page", range(1, 7))
def test_the_marks_of_a_page_are_found_with_its_eight_ids(page: int) -> None:
    dictionary = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, DICTIONARY))
    detector = cv2.aruco.ArucoDetector(dictionary)
    found = []
    for mark in page_marks(Paper.A4, page):
        picture = drawn(mark_boxes(mark), mark.corner, mark.size, 60)
        framed = cv2.copyMakeBorder(picture, 12, 12, 12, 12, cv2.BORDER_CONSTANT, value=255)
        found += [int(id_) for id_ in np.ravel(detector.detectMarkers(framed)[1])]

    assert found == list(range(8 * page - 8, 8 * page))


@pytest.mark.parametrize("paper", FORMATS)
def test_the_marks_stand_between_margin_and_rim(paper: Format) -> None:
    edges = [
        min(x, y, paper.width - x - mark.size, paper.height - y - mark.size)
        for mark in page_marks(paper, 1)
        for x, y in (mark.corner,)
    ]

    assert edges == pytest.approx([paper.margin] * 8)


def test_marks_corners_go_clockwise_then_edges_from_the_top() -> None:
    corners = [mark.corner for mark in page_marks(Paper.A4, 1)]

    assert corners == [
        (8, 8), (192, 8), (192, 279), (8, 279),
        (100, 8), (192, 143.5), (100, 279), (8, 143.5),
    ]  # fmt: skip


@pytest.mark.parametrize("paper", FORMATS)
def test_the_body_begins_two_millimetres_inside_the_marks(paper: Format) -> None:
    assert paper.body.x - paper.margin - paper.mark == 2


def test_runs_of_dark_modules_become_one_rectangle() -> None:
    matrix = ((True, True, False), (False, False, True))

    assert modules_path(matrix, 1, 2, 0.5) == (
        "M1.0000 2.0000H2.0000V2.5000H1.0000ZM2.0000 2.5000H2.5000V3.0000H2.0000Z"
    )


def test_a_rectangle_is_drawn_clockwise_and_closed() -> None:
    assert rectangle_path(Box(1, 2, 3, 4)) == "M1.0000 2.0000H4.0000V6.0000H1.0000Z"


def test_a_longer_text_takes_a_larger_symbol() -> None:
    assert len(qr_matrix("A" * 40)) == 29


LONGEST = "http://desk.office.invented:80"  # 30 symbols


@pytest.mark.parametrize("address", ["http://10.0.0.5:8737", LONGEST])
def test_a_page_code_with_an_address_stays_within_the_room_of_one_without(address: str) -> None:
    code, plain = page_code(FORM, 4, address), page_code(FORM, 4)
    picture = drawn(code_boxes(code), code.box[:2], code.box.width, 250)
    framed = cv2.copyMakeBorder(picture, 40, 40, 40, 40, cv2.BORDER_CONSTANT, value=255)

    assert code.box.width == pytest.approx(25 * 20 / 600 * 25.4, abs=0.001)
    assert code.box.width < plain.box.width
    assert zxingcpp.read_barcodes(framed)[0].text == f"{address.upper()}/F1/16JD000000M/4"


def test_an_address_before_a_page_code_says_nothing_of_the_page() -> None:
    text = page_code_text(FORM, 2, "https://desk.example")

    assert text == "HTTPS://DESK.EXAMPLE/F1/16JD000000M/2"
    assert parse_page_code(text) == (FORM, 2)
