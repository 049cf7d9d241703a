"""Strangers' ink, copies, sheets and files: what must be doubted, refused or read all the same.

Everything here is drawn with plain lines, apart from the booth. All figures: common practice, no
source.
"""

import io
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, datetime
from math import inf
from pathlib import Path
from random import Random

import cv2
import numpy as np
import pypdfium2
import pytest
import qrcode
from numpy.typing import NDArray
from PIL import Image

from forms.field import Box, Choice, Digits, Note, Scale, Tick
from forms.layout import Layout, Page
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from forms.sheet import print_form
from passport.table_file import read_table
from passport.visits import KINDS
from scan.guards import GUARDS
from scan.read import read_photo
from scan.reading import PhotoReading, Reading, Status

Picture = NDArray[np.uint8]  # (H, W, 3)
Draw = Callable[[Picture, Box], None]

INVENTED = Path(__file__).parents[2] / "passport" / "invented"
DPI = 300
PX = DPI / 25.4  # [px/mm]
BLACK, BLUE, ORANGE = (35, 35, 35), (150, 56, 36), (80, 150, 240)
UNSURE = {Status.DOUBTFUL, Status.OUTSIDE}


@pytest.fixture(scope="module")
def sheets() -> tuple[Layout, list[Picture]]:
    table = read_table((INVENTED / "long.toml").read_text(), "long", "100000181")
    form = KINDS["service"].form(
        table, printed_on=date(2026, 11, 2), last_visit=None, technicians=("A. Reed",)
    )
    placed = place(form, Paper.LETTER, FormNumber.new(Random(5).getrandbits))
    pdf = pypdfium2.PdfDocument(print_form(placed, datetime(2026, 11, 2)))
    pictures = [page.render(scale=DPI / 72).to_numpy()[:, :, :3].copy() for page in pdf]
    pdf.close()
    return placed.layout, pictures


def at(x: float, y: float) -> tuple[int, int]:
    return round(x * PX), round(y * PX)


def line(picture: Picture, *points: tuple[float, float], width: float = 0.5, colour=BLACK) -> None:
    path = np.array([at(*point) for point in points], np.int32)
    cv2.polylines(picture, [path], False, colour, round(width * PX), cv2.LINE_AA)


def cross(picture: Picture, box: Box, width: float = 0.5, colour=BLACK) -> None:
    x0, y0, x1, y1 = box.x + 0.8, box.y + 0.8, box.x + box.width - 0.8, box.y + box.height - 0.8
    line(picture, (x0, y0), (x1, y1), width=width, colour=colour)
    line(picture, (x1, y0), (x0, y1), width=width, colour=colour)


def scribble(picture: Picture, box: Box) -> None:
    """Back and forth, a millimetre over the edges."""
    ends = (box.x - 1, box.x + box.width + 1)
    heights = np.linspace(box.y - 0.8, box.y + box.height + 0.8, 14)
    line(picture, *((ends[turn % 2], y) for turn, y in enumerate(heights)), width=0.45)


def write(picture: Picture, box: Box, text: str) -> None:
    """Write letters about 5 mm tall from the box's lower left corner on."""
    start = at(box.x + 0.8, box.y + box.height - 1.5)
    cv2.putText(picture, text, start, cv2.FONT_HERSHEY_SIMPLEX, 2.7, BLACK, 6, cv2.LINE_AA)


def jpeg(picture: Picture) -> bytes:
    return cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, 88])[1].tobytes()


def read(folder: Path, layout: Layout, data: bytes, name: str = "photo.jpg") -> PhotoReading:
    path = folder / name
    path.write_bytes(data)
    return read_photo(path, {layout.form: layout}.get)


def fields(found: PhotoReading) -> dict[str, Reading]:
    return {name: one for page in found.pages for name, one in page.fields.items()}


def scales(page: Page) -> list[Scale]:
    return [field for field in page.fields if isinstance(field, Scale)]


def rows(page: Page) -> Iterator[tuple[Scale, Box, Box]]:
    """Every other scale of a page with two of its boxes, far enough apart."""
    for number, field in enumerate(scales(page)[::2]):
        boxes = [option.box for option in field.options[:8]]
        yield field, boxes[number % 4], boxes[number % 4 + 4]


def value_at(field: Scale | Choice, box: Box) -> object:
    return next(option.value for option in field.options if option.box == box)


def two_equal(picture: Picture, first: Box, second: Box) -> None:
    cross(picture, first)
    cross(picture, second)


def one_mark(picture: Picture, first: Box, second: Box) -> None:
    cross(picture, second)


def scribbled_and_right(picture: Picture, first: Box, second: Box) -> None:
    cross(picture, first)
    scribble(picture, first)
    cross(picture, second)


def scribbled_only(picture: Picture, first: Box, second: Box) -> None:
    cross(picture, first)
    scribble(picture, first)


def struck_row(picture: Picture, first: Box, second: Box) -> None:
    middle = first.y + first.height / 2
    line(picture, (40, middle - 0.5), (second.x + second.width + 2, middle + 0.7))


def arrow(picture: Picture, first: Box, second: Box) -> None:
    two_equal(picture, first, second)
    line(picture, (first.x + 2.4, first.y + 2.4), (second.x + 2.4, second.y + 2.4))


def disc(picture: Picture, x: float, y: float, radius: float) -> None:
    cv2.circle(picture, at(x, y), round(radius * PX), BLACK, -1, cv2.LINE_AA)


def burn(picture: Picture, first: Box, second: Box) -> None:
    disc(picture, first.x + 2.2, first.y + 2.6, 1.3)


def punched(picture: Picture, first: Box, second: Box) -> None:
    disc(picture, first.x + 1.0, first.y + 2.0, 2.75)


def short_word(picture: Picture, first: Box, second: Box) -> None:
    start = at(first.x + 0.6, first.y + first.height - 1.2)
    cv2.putText(picture, "ok", start, cv2.FONT_HERSHEY_SIMPLEX, 1.2, BLACK, 5, cv2.LINE_AA)


def filled_over_and_right(picture: Picture, first: Box, second: Box) -> None:
    cross(picture, first)
    heights = np.linspace(first.y + 0.6, first.y + first.height - 0.6, 12)
    ends = (first.x + 0.6, first.x + first.width - 0.6)
    line(picture, *((ends[turn % 2], y) for turn, y in enumerate(heights)))
    cross(picture, second)


def circled(picture: Picture, box: Box) -> None:
    middle = at(box.x + box.width / 2, box.y + box.height / 2)
    cv2.ellipse(picture, middle, at(3.7, 3.5), 0, 0, 360, BLACK, 6, cv2.LINE_AA)


def dash_at_its_right(picture: Picture, box: Box) -> None:
    x, y = box.x + box.width, box.y + box.height / 2
    line(picture, (x - 0.1, y), (x + 1.0, y + 0.3))


@pytest.mark.parametrize("ink", [circled, dash_at_its_right])
def test_ink_around_or_beside_lone_boxes_is_never_overlooked(sheets, tmp_path, ink):
    layout, pictures = sheets
    page, picture = layout.pages[2], pictures[2].copy()
    asked = [field for field in page.fields if isinstance(field, Tick)][:12:4]
    for field in asked:
        ink(picture, field.box)

    readings = fields(read(tmp_path, layout, jpeg(picture)))

    assert {readings[field.id].status for field in asked} <= UNSURE


def test_a_note_in_hard_pencil_is_not_called_empty(sheets, tmp_path):
    layout, pictures = sheets
    page, picture = layout.pages[2], pictures[2].copy()
    note = next(field for field in page.fields if isinstance(field, Note))
    start = at(note.box.x + 5, note.box.y + 14)
    cv2.putText(
        picture, "leg is loose", start, cv2.FONT_HERSHEY_SIMPLEX, 1.6, (205,) * 3, 4, cv2.LINE_AA
    )

    reading = fields(read(tmp_path, layout, jpeg(picture)))[note.id]

    assert (reading.status, reading.ink) == (Status.DOUBTFUL, True)


@pytest.mark.parametrize(
    "ink",
    [
        two_equal,
        scribbled_and_right,
        scribbled_only,
        filled_over_and_right,
        struck_row,
        arrow,
        burn,
        punched,
        short_word,
    ],
)
def test_ink_without_one_meaning_is_never_sure(sheets, tmp_path, ink):
    layout, pictures = sheets
    page, picture = layout.pages[1], pictures[1].copy()
    asked = list(rows(page))
    for _, first, second in asked:
        ink(picture, first, second)

    readings = fields(read(tmp_path, layout, jpeg(picture)))

    assert {readings[field.id].status for field, _, _ in asked} <= UNSURE


@pytest.mark.parametrize(("astray", "unsure"), [(GUARDS.astray, True), (inf, False)])
def test_where_half_of_the_rows_have_two_marks_the_others_are_not_believed(
    sheets, tmp_path, astray, unsure
):
    layout, pictures = sheets
    page, picture = layout.pages[1], pictures[1].copy()
    asked = scales(page)
    for number, field in enumerate(asked):
        first, second = field.options[1].box, field.options[6].box
        (two_equal if number % 3 else one_mark)(picture, first, second)
    path = tmp_path / "photo.jpg"
    path.write_bytes(jpeg(picture))

    found = read_photo(path, {layout.form: layout}.get, guards=replace(GUARDS, astray=astray))

    readings = fields(found)
    plain = {readings[field.id].status for number, field in enumerate(asked) if not number % 3}
    assert (plain <= UNSURE) is unsure


@pytest.mark.parametrize(
    ("width", "colour"),
    [(0.2, BLACK), (0.5, BLUE), (1.6, BLACK), (0.5, ORANGE), (0.25, (170, 170, 170))],
    ids=["fine", "ballpoint", "marker", "orange", "hard pencil"],
)
def test_any_pens_crosses_are_read_or_doubted(sheets, tmp_path, width, colour):
    layout, pictures = sheets
    page, picture = layout.pages[1], pictures[1].copy()
    meant = {field.id: value_at(field, first) for field, first, _ in rows(page)}
    for _, first, _ in rows(page):
        cross(picture, first, width, colour)

    readings = fields(read(tmp_path, layout, jpeg(picture)))

    wrong = [
        name
        for name, value in meant.items()
        if readings[name].status not in UNSURE and readings[name].value != value
    ]
    assert wrong == []


def test_a_page_on_which_all_marks_are_rubbed_out_is_never_sure(sheets, tmp_path):
    layout, pictures = sheets
    page, picture = layout.pages[1], pictures[1].copy()
    asked = list(rows(page))
    for number, (_, first, _) in enumerate(asked):  # an eraser leaves now more, now less
        cross(picture, first, 0.7, (225 - 5 * number,) * 3)

    readings = fields(read(tmp_path, layout, jpeg(cv2.GaussianBlur(picture, (0, 0), 3))))

    assert {readings[field.id].status for field, _, _ in asked} <= UNSURE


def test_a_page_that_is_rubbed_out_evenly_is_never_sure(sheets, tmp_path):
    """Fainter, all over the page, than hard pencil is beside the print."""
    layout, pictures = sheets
    page, rubbed = layout.pages[1], np.full_like(pictures[1], 255)
    asked = list(rows(page))
    for _, first, _ in asked:
        cross(rubbed, first, 0.7, (215,) * 3)
    picture = np.minimum(pictures[1], cv2.GaussianBlur(rubbed, (0, 0), 2))

    readings = fields(read(tmp_path, layout, jpeg(picture)))

    assert {readings[field.id].status for field, _, _ in asked} <= UNSURE


def dot(picture: Picture, box: Box) -> None:
    disc(picture, box.x + 2.0, box.y + 2.3, 0.8)


@pytest.mark.parametrize(("most", "status"), [(dot, Status.SURE), (cross, Status.DOUBTFUL)])
def test_dots_are_marks_where_most_marks_are_dots(sheets, tmp_path, most, status):
    layout, pictures = sheets
    page, picture = layout.pages[1], pictures[1].copy()
    asked = list(rows(page))
    for _, first, _ in asked[2:]:
        most(picture, first)
    for _, first, _ in asked[:2]:
        dot(picture, first)

    readings = fields(read(tmp_path, layout, jpeg(picture)))

    assert [(readings[one.id].status, readings[one.id].value) for one, _, _ in asked[:2]] == [
        (status, value_at(one, first)) for one, first, _ in asked[:2]
    ]


@pytest.mark.parametrize("text", ["A", "K", "?", "W", "x", "+", "#", "%"])
def test_signs_that_are_no_digits_are_never_sure(sheets, tmp_path, text):
    layout, pictures = sheets
    page, picture = layout.pages[2], pictures[2].copy()
    numbers = [field for field in page.fields if isinstance(field, Digits)]
    for field in numbers:
        write(picture, field.boxes[-1], text)

    readings = fields(read(tmp_path, layout, jpeg(picture)))

    assert {readings[field.id].status for field in numbers} <= UNSURE


def copied(picture: Picture) -> Picture:
    """Photocopy: soft, then hard, with specks."""
    grey = cv2.GaussianBlur(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), (0, 0), 1.2)
    hard = 255 / (1 + np.exp(-(grey.astype(float) - 170) / 15))
    return cv2.cvtColor(hard.astype(np.uint8), cv2.COLOR_GRAY2BGR)


def on_blue(picture: Picture) -> Picture:
    return (picture * np.array((0.95, 0.75, 0.5))).astype(np.uint8)


def on_brown(picture: Picture) -> Picture:
    return (picture * np.array((0.3, 0.5, 0.85))).astype(np.uint8)


def in_a_shadow(picture: Picture) -> Picture:
    shaded = picture.copy()
    shaded[1000:1080] = (shaded[1000:1080] * 0.4).astype(np.uint8)
    return shaded


def upside_down(picture: Picture) -> Picture:
    return np.ascontiguousarray(picture[::-1, ::-1])


def in_one_bit(picture: Picture) -> Picture:
    grey = cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY)
    return cv2.cvtColor(((grey > 150) * 255).astype(np.uint8), cv2.COLOR_GRAY2BGR)


@pytest.mark.parametrize("worse", [copied, on_blue, on_brown, upside_down])
def test_copies_and_coloured_paper_are_read_as_the_original(sheets, tmp_path, worse):
    layout, pictures = sheets
    page, picture = layout.pages[1], pictures[1].copy()
    meant = {field.id: value_at(field, first) for field, first, _ in rows(page)}
    for _, first, _ in rows(page):
        cross(picture, first, colour=BLUE)

    readings = fields(read(tmp_path, layout, jpeg(worse(picture))))

    assert {
        field.id: readings[field.id].value
        for field in scales(page)
        if readings[field.id].status is Status.SURE
    } == meant


@pytest.mark.parametrize("worse", [in_a_shadow, in_one_bit])
def test_the_hard_edge_of_a_shadow_and_scans_in_one_bit_make_doubts_only(sheets, tmp_path, worse):
    layout, pictures = sheets
    page, picture = layout.pages[1], pictures[1].copy()
    meant = {field.id: value_at(field, first) for field, first, _ in rows(page)}
    for _, first, _ in rows(page):
        cross(picture, first, colour=BLUE)

    readings = fields(read(tmp_path, layout, jpeg(worse(picture))))

    wrong = [
        field.id
        for field in scales(page)
        if readings[field.id].status not in UNSURE
        and readings[field.id].value != meant.get(field.id)
    ]
    assert wrong == []


def with_code(picture: Picture, page: Page, text: str) -> Picture:
    """Paste another code over a page's own."""
    code = qrcode.QRCode(border=0, box_size=8)
    code.add_data(text)
    modules = np.array(code.make_image().convert("L"))
    (left, top), (right, bottom) = (
        at(*page.code.box[:2]),
        at(page.code.box.x + page.code.box.width, page.code.box.y + page.code.box.height),
    )
    pasted = picture.copy()
    size = (right - left, bottom - top)
    small = cv2.resize(modules, size, interpolation=cv2.INTER_NEAREST)
    pasted[top:bottom, left:right] = small[:, :, None]
    return pasted


def half_as_large(picture: Picture) -> Picture:
    return cv2.resize(picture, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)


def other_symbol(text: str, place: int) -> str:
    return text[:place] + ("7" if text[place] != "7" else "8") + text[place + 1 :]


def test_a_code_with_any_one_symbol_changed_is_refused(sheets, tmp_path):
    layout, pictures = sheets
    page = layout.pages[0]
    texts = [other_symbol(page.code.text, place) for place in range(len(page.code.text))]

    named = [
        text
        for text in texts
        if fields(read(tmp_path, layout, jpeg(half_as_large(with_code(pictures[0], page, text)))))
    ]

    assert named == []


@pytest.mark.parametrize("text", ["HTTPS://EXAMPLE.INVALID/X", "A" * 60, "0"])
def test_a_foreign_code_is_refused_with_its_reason(sheets, tmp_path, text):
    layout, pictures = sheets

    found = read(tmp_path, layout, jpeg(with_code(pictures[0], layout.pages[0], text)))

    assert [(one.code, text in one.message) for one in found.problems] == [("code foreign", True)]


def test_another_pages_code_is_refused(sheets, tmp_path):
    layout, pictures = sheets
    pasted = with_code(pictures[0], layout.pages[0], layout.pages[1].code.text)

    found = read(tmp_path, layout, jpeg(pasted))

    assert (fields(found), [one.code for one in found.problems]) == (
        {},
        ["code and squares disagree"],
    )


def test_two_sheets_in_one_photo_are_both_read(sheets, tmp_path):
    layout, pictures = sheets
    desk = np.full((3500, 5400, 3), 70, np.uint8)
    for number in (0, 1):
        height, width = pictures[number].shape[:2]
        left = 100 + number * (width + 60)
        desk[100 : 100 + height, left : left + width] = pictures[number]

    found = read(tmp_path, layout, jpeg(desk))

    assert [page.page for page in found.pages] == [1, 2]


def other_form() -> tuple[Layout, Picture]:
    """Print the same form once more, under a number of its own; give its first page."""
    table = read_table((INVENTED / "long.toml").read_text(), "long", "100000181")
    form = KINDS["service"].form(
        table, printed_on=date(2026, 11, 2), last_visit=None, technicians=("A. Reed",)
    )
    placed = place(form, Paper.LETTER, FormNumber.new(Random(6).getrandbits))
    pdf = pypdfium2.PdfDocument(print_form(placed, datetime(2026, 11, 2)))
    picture = pdf[0].render(scale=DPI / 72).to_numpy()[:, :, :3].copy()
    pdf.close()
    return placed.layout, picture


def test_the_same_page_of_two_forms_in_one_photo_is_read_of_both(sheets, tmp_path):
    layout, pictures = sheets
    second, picture = other_form()
    path = tmp_path / "photo.jpg"
    path.write_bytes(jpeg(np.hstack([pictures[0], upside_down(picture)])))

    found = read_photo(path, {layout.form: layout, second.form: second}.get)

    assert ({(page.form, page.page) for page in found.pages}, found.problems) == (
        {(layout.form, 1), (second.form, 1)},
        (),
    )


def test_the_halves_of_two_pages_are_not_taken_for_one(sheets, tmp_path):
    layout, pictures = sheets
    joined = pictures[1].copy()
    joined[1650:] = pictures[3][1650:]

    found = read(tmp_path, layout, jpeg(joined))

    assert fields(found) == {}


def test_the_same_page_twice_in_a_photo_is_refused(sheets, tmp_path):
    layout, pictures = sheets
    edge = cv2.copyMakeBorder(pictures[0], 80, 80, 80, 80, cv2.BORDER_CONSTANT, value=(70,) * 3)

    found = read(tmp_path, layout, jpeg(np.hstack([edge, edge])))

    assert (fields(found), [one.code for one in found.problems]) == ({}, ["page twice"])


def encoded(picture: Picture, kind: str) -> bytes:
    file = io.BytesIO()
    image = Image.fromarray(picture[:, :, ::-1])
    image = image.quantize(32) if kind == "GIF" else image
    (image.convert("CMYK") if kind == "JPEG" else image).save(file, kind)
    return file.getvalue()


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "BMP", "GIF", "JPEG", "TIFF"])
def test_a_picture_of_any_usual_kind_is_read(sheets, tmp_path, kind):
    layout, pictures = sheets

    found = read(tmp_path, layout, encoded(pictures[0], kind), f"photo.{kind.lower()}")

    assert [page.page for page in found.pages] == [1]


@pytest.mark.parametrize(
    "data", [b"", b"hello", b"%PDF-1.7\nnothing", b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n"]
)
def test_a_file_that_is_no_picture_is_said_so(sheets, tmp_path, data):
    layout, _ = sheets

    found = read(tmp_path, layout, data)

    assert (found.pages, [one.code for one in found.problems]) == ((), ["file unreadable"])


@pytest.mark.parametrize("shade", [0, 128, 255])
def test_a_picture_without_a_page_yields_no_fields(sheets, tmp_path, shade):
    layout, _ = sheets

    found = read(tmp_path, layout, jpeg(np.full((1500, 2000, 3), shade, np.uint8)))

    assert (found.pages, len(found.problems)) == ((), 1)
