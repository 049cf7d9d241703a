"""What is said of photos and pages that can't be read."""

from dataclasses import replace

import cv2
import numpy as np
import pytest

from forms.layout import Layout
from forms.marks import page_marks
from forms.numbers import FormNumber
from forms.paper import Paper
from scan.codes import read_codes
from scan.guards import GUARDS, Held
from scan.read import read_photo


def said(reading) -> list[tuple[str, int | None]]:
    return [(problem.code, problem.page) for problem in reading.problems]


def draw_code(sheet: np.ndarray, layout: Layout, text: str) -> None:
    """Stick another QR code over the printed one."""
    box = layout.pages[0].code.box
    code = cv2.QRCodeEncoder_create().encode(text)
    side = round((box.width + 4) * 8)
    x, y = round((box.x - 2) * 8), round((box.y - 2) * 8)
    picture = cv2.resize(code, (side, side), interpolation=cv2.INTER_NEAREST)
    sheet[y : y + side, x : x + side] = picture


@pytest.fixture
def sheet(printed):
    return printed.copy()


def test_form_of_another_store_is_refused_with_the_way_to_bring_it_in(printed, save):
    reading = read_photo(save(printed), lambda number: None)

    assert said(reading) == [("form not known", 1)]
    assert (reading.pages[0].form, reading.pages[0].page) == ("00000000011", 1)
    assert not reading.pages[0].fields


def test_page_that_the_layout_lacks_is_refused(printed, layout, save):
    reading = read_photo(save(printed), lambda number: replace(layout, pages=()))

    assert said(reading) == [("page not known", 1)]


def test_layout_with_a_code_that_is_no_forms_is_refused(printed, layout, save):
    first = layout.pages[0]
    foreign = replace(first, code=replace(first.code, text="ELSEWHERE"))

    reading = read_photo(save(printed), lambda number: replace(layout, pages=(foreign,)))

    assert said(reading) == [("layout foreign", 1)]


@pytest.mark.parametrize(
    ("odd", "code"),
    [(lambda sheet: sheet[:, ::-1], "mirrored"), (lambda sheet: 255 - sheet, "negative")],
    ids=["mirrored", "negative"],
)
def test_mirrored_and_negative_pictures_are_said_so(printed, layout_of, save, odd, code):
    assert said(read_photo(save(odd(printed)), layout_of)) == [(code, None)]


def test_covered_code_leaves_the_page_without_a_name(sheet, layout, layout_of, save):
    x, y, width, height = (round(value * 8) for value in layout.pages[0].code.box)
    sheet[y : y + height, x : x + width] = 255

    reading = read_photo(save(sheet), layout_of)

    assert said(reading) == [("code unreadable", 1)]
    assert (reading.pages[0].form, dict(reading.pages[0].fields)) == (None, {})


def test_another_sheets_code_beside_a_page_does_not_name_it(sheet, layout, layout_of, save):
    x, y, width, height = (round(value * 8) for value in layout.pages[0].code.box)
    code = cv2.QRCodeEncoder_create().encode("F1/" + FormNumber.new(lambda bits: 1).code + "/1")
    beside = np.full((sheet.shape[0], 600), 255, np.uint8)
    beside[900:1300, 100:500] = cv2.resize(code, (400, 400), interpolation=cv2.INTER_NEAREST)
    sheet[y : y + height, x : x + width] = 255

    reading = read_photo(save(np.hstack([sheet, beside])), layout_of)

    assert read_codes(np.hstack([sheet, beside])) == [f"F1/{FormNumber.new(lambda bits: 1).code}/1"]
    assert said(reading) == [("code unreadable", 1)]


def test_number_typed_in_names_a_page_whose_code_is_covered(sheet, layout, layout_of, save):
    x, y, width, height = (round(value * 8) for value in layout.pages[0].code.box)
    sheet[y : y + height, x : x + width] = 255

    reading = read_photo(save(sheet), layout_of, typed=FormNumber(layout.form))

    assert said(reading) == []
    assert (reading.pages[0].form, len(reading.pages[0].fields)) == (
        layout.form,
        len(layout.pages[0].fields),
    )


def test_code_that_can_be_read_is_believed_over_a_typed_number(printed, layout, layout_of, save):
    reading = read_photo(save(printed), layout_of, typed=FormNumber.new(lambda bits: 1))

    assert reading.pages[0].form == layout.form


def test_foreign_code_is_refused(sheet, layout, layout_of, save):
    draw_code(sheet, layout, "HELLO")

    assert said(read_photo(save(sheet), layout_of)) == [("code foreign", 1)]


def test_code_of_another_page_is_refused(sheet, layout, layout_of, save):
    draw_code(sheet, layout, f"F1/{layout.form}/2")

    assert said(read_photo(save(sheet), layout_of)) == [("code and squares disagree", 1)]


def test_code_of_another_page_is_overlooked_without_the_guard_of_agreement(
    sheet, layout, layout_of, save
):
    draw_code(sheet, layout, f"F1/{layout.form}/2")

    loose = replace(GUARDS, codes=Held.APART)
    assert said(read_photo(save(sheet), layout_of, guards=loose)) == []


def test_page_with_three_squares_is_refused(sheet, layout, layout_of, save):
    for mark in layout.pages[0].marks[3:]:
        x, y = (round(value * 8) for value in mark.corner)
        sheet[y : y + 80, x : x + 80] = 255

    reading = read_photo(save(sheet), layout_of)

    assert [problem.message for problem in reading.problems] == [
        "Only 3 of the 8 black squares of page 1 can be seen; missing: lower left corner, "
        "upper edge, right edge, lower edge, left edge. Photograph the whole page with some "
        "ground around it, nothing lying on it."
    ]


def test_two_sheets_of_one_page_are_refused(printed, layout_of, save):
    reading = read_photo(save(np.hstack([printed, printed])), layout_of)

    assert said(reading) == [("page twice", 1)]


def test_squares_that_stand_elsewhere_are_refused(layout, layout_of, save):
    sheet = np.full((2235, 1727), 255, np.uint8)
    aruco = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    for at, mark in enumerate(page_marks(Paper.LETTER, 1)):
        x, y = (round(value * 8) for value in mark.corner)
        shift = 260 if at in (0, 2, 4, 6) else 0
        x = min(x + shift, 1600)
        sheet[y : y + 80, x : x + 80] = cv2.aruco.generateImageMarker(aruco, mark.id, 80)

    assert said(read_photo(save(sheet), layout_of)) == [("squares disagree", 1)]


def test_dark_photo_is_refused(printed, layout_of, save):
    dark = (printed * 0.1).astype(np.uint8)

    assert said(read_photo(save(dark), layout_of)) == [("too dark", 1)]


def test_blurred_photo_is_refused(printed, layout_of, save):
    soft = cv2.GaussianBlur(printed, (0, 0), 14)

    assert said(read_photo(save(soft), layout_of)) == [("blurred", None)]


def test_page_far_away_is_refused(printed, layout_of, save):
    small = cv2.resize(printed, None, fx=0.22, fy=0.22, interpolation=cv2.INTER_AREA)
    table = np.full((1500, 2000), 90, np.uint8)
    table[500 : 500 + small.shape[0], 700 : 700 + small.shape[1]] = small

    assert said(read_photo(save(table, "far.png"), layout_of)) == [("too small", 1)]


def test_picture_of_something_else_is_refused(layout_of, save):
    rng = np.random.default_rng(0)
    picture = cv2.resize(
        rng.integers(0, 255, (30, 40), dtype=np.uint8),
        (1600, 1200),
        interpolation=cv2.INTER_NEAREST,
    )

    assert said(read_photo(save(picture), layout_of)) == [("not a form", None)]


def test_file_that_is_not_there_is_refused(tmp_path, layout_of):
    reading = read_photo(tmp_path / "none.jpg", layout_of)

    assert said(reading) == [("file unreadable", None)]
    assert reading.sha256 == ""


def test_one_bad_page_harms_no_other(printed, layout_of, save):
    blank = np.full_like(printed, 255)
    path = save(printed, "stack.tif")
    cv2.imwritemulti(str(path), [blank, printed])

    reading = read_photo(path, layout_of)

    assert said(reading) == [("not a form", None)]
    assert [page.page for page in reading.pages] == [1]
