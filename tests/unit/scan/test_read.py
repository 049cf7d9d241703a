from decimal import Decimal

import cv2
import numpy as np
import pytest
from PIL import Image

from forms.field import Choice, Scale, Tick, boxes_of
from forms.layout import Layout
from scan.read import read_photo
from scan.reading import Status, Why

KINDS = ("cross", "tick", "slash", "filled")


def box(layout: Layout, name: str, at: int = 0):
    field = next(field for field in layout.pages[0].fields if field.id == name)
    return boxes_of(field)[at]


@pytest.fixture
def sheet(printed):
    return printed.copy()


@pytest.fixture
def read_page(save, layout_of):
    """Read a picture that must hold one page and nothing wrong."""

    def read(picture):
        reading = read_photo(save(picture), layout_of)
        assert [problem.message for problem in reading.problems] == []
        (page,) = reading.pages
        return page

    return read


def filled_at_random(sheet, layout, draw, seed):
    rng, written = np.random.default_rng(seed), {}
    pen = rng.uniform(0.4, 0.9)  # one hand fills a page
    for field in layout.pages[0].fields:
        if isinstance(field, Scale | Tick | Choice):
            boxes = boxes_of(field)
            at = int(rng.integers(len(boxes) + 1))
            written[field.id] = _meaning(field, at)
            if at < len(boxes):
                draw(sheet, boxes[at], KINDS[rng.integers(4)], dark=pen * rng.uniform(0.9, 1.1))
    return written


@pytest.fixture
def fill(sheet, layout, draw):
    """Fill a sheet at random; gives it and what was written."""
    return lambda seed: (sheet, filled_at_random(sheet, layout, draw, seed))


def _meaning(field, at):
    if isinstance(field, Tick):
        return at == 0
    return field.options[at].value if at < len(field.options) else None


@pytest.mark.parametrize("seed", range(4))
def test_photo_gives_back_what_was_marked(fill, photograph, seed, read_page):
    sheet, written = fill(seed)

    page = read_page(photograph(sheet, seed, turn=90 * seed + 5))

    read = {name: page.fields[name] for name in written}
    assert {name: reading.value for name, reading in read.items()} == written
    assert {reading.status for reading in read.values()} <= {Status.SURE, Status.EMPTY}


def test_empty_form_is_empty_everywhere(printed, layout, read_page):
    page = read_page(printed)

    assert {reading.status for name, reading in page.fields.items() if "tick" not in name} == {
        Status.EMPTY
    }


def test_unmarked_ticks_are_surely_false(printed, read_page):
    page = read_page(printed)

    assert page.fields["tick.0"].status is Status.SURE
    assert page.fields["tick.0"].value is False


def test_page_names_its_form_and_number(printed, layout, read_page):
    page = read_page(printed)

    assert (page.form, page.page, page.model) == (layout.form, 1, "spline")


def test_digits_are_read_with_sign_and_point(sheet, layout, draw, read_page):
    for at, digit in enumerate("147"):
        draw(sheet, box(layout, "number", at), digit)
    draw(sheet, box(layout, "sign", 1), "cross")

    reading = read_page(sheet).fields["number"]

    assert (reading.status, reading.value) == (Status.SURE, Decimal("-14.7"))


def test_number_without_its_sign_is_doubtful(sheet, layout, draw, read_page):
    for at, digit in enumerate("147"):
        draw(sheet, box(layout, "number", at), digit)

    reading = read_page(sheet).fields["number"]

    assert (reading.status, reading.why) == (Status.DOUBTFUL, Why.NO_SIGN)


def test_cross_in_a_digit_box_is_no_digit(sheet, layout, draw, read_page):
    draw(sheet, box(layout, "humidity", 0), "4")
    draw(sheet, box(layout, "humidity", 1), "cross")

    reading = read_page(sheet).fields["humidity"]

    assert (reading.status, reading.why) == (Status.DOUBTFUL, Why.SHAPE_UNKNOWN)


def test_gap_behind_a_digit_is_doubtful(sheet, layout, draw, read_page):
    draw(sheet, box(layout, "humidity", 0), "4")

    reading = read_page(sheet).fields["humidity"]

    assert (reading.status, reading.why) == (Status.DOUBTFUL, Why.GAP)


def test_scribbled_box_beside_a_mark_is_a_doubt_with_the_mark_as_guess(
    sheet, layout, draw, read_page
):
    draw(sheet, box(layout, "count.2", 3), "scribble")
    draw(sheet, box(layout, "count.2", 5), "cross")

    reading = read_page(sheet).fields["count.2"]

    assert (reading.status, reading.value, reading.why) == (Status.DOUBTFUL, 5, Why.FILLED)


def test_two_crosses_are_a_doubt(doubted, read_page):
    reading = read_page(doubted).fields["count.2"]

    assert (reading.status, reading.why) == (Status.DOUBTFUL, Why.TWO_MARKS)


def test_faint_mark_is_a_doubt(sheet, layout, draw, read_page):
    draw(sheet, box(layout, "count.2", 3), "slash", dark=0.16, width=0.25)

    reading = read_page(sheet).fields["count.2"]

    assert (reading.status, reading.value, reading.why) == (Status.DOUBTFUL, 3, Why.FAINT)


def test_mark_beside_a_box_is_a_doubt(sheet, layout, draw, read_page):
    draw(sheet, box(layout, "count.2", 3), "beside")

    reading = read_page(sheet).fields["count.2"]

    assert (reading.status, reading.value, reading.why) == (Status.DOUBTFUL, 3, Why.BESIDE)


def test_one_stroke_through_two_rows_makes_both_doubtful(sheet, layout, read_page):
    top, low = box(layout, "count.2", 3), box(layout, "count.3", 3)
    middle = round((top.x + 2) * 8)
    cv2.line(sheet, (middle, round(top.y * 8)), (middle, round((low.y + 4.5) * 8)), 60, 4)

    fields = read_page(sheet).fields

    assert fields["count.2"].why is Why.STROKE_THROUGH
    assert fields["count.3"].why is Why.STROKE_THROUGH


def test_note_says_whether_there_is_ink(sheet, layout, draw, read_page):
    draw(sheet, box(layout, "note"), "tick")

    reading = read_page(sheet).fields["note"]

    assert (reading.status, reading.ink) == (Status.SURE, True)


@pytest.fixture
def doubted(sheet, layout, draw):
    """Fill a sheet with two crosses in one row."""
    draw(sheet, box(layout, "count.2", 3), "cross")
    draw(sheet, box(layout, "count.2", 6), "cross")
    return sheet


def test_crops_are_kept_of_doubts_and_notes(doubted, layout_of, save, tmp_path):
    reading = read_photo(save(doubted), layout_of, crops=tmp_path / "crops")

    names = {field.crop for field in reading.pages[0].fields.values() if field.crop}
    start = reading.sha256[:16]
    assert names == {f"{start}-p1-count.2.png", f"{start}-p1-note.png"}
    assert {path.name for path in (tmp_path / "crops").iterdir()} == names


def test_two_covered_squares_do_no_harm(sheet, layout, draw, read_page):
    draw(sheet, box(layout, "count.4", 7), "cross")
    for mark in layout.pages[0].marks[2:4]:
        x, y = (round(value * 8) for value in mark.corner)
        sheet[y : y + 80, x : x + 80] = 230

    page = read_page(sheet)

    assert (page.fields["count.4"].status, page.fields["count.4"].value) == (Status.SURE, 7)


def test_page_cut_off_gives_what_is_in_the_picture_and_says_what_is_not(
    sheet, layout, layout_of, draw, save
):
    draw(sheet, box(layout, "count.0", 1), "cross")
    cut = sheet[:, : round(box(layout, "tick.0").x * 8)]

    found = read_photo(save(cut), layout_of)

    fields = found.pages[0].fields
    assert fields["tick.0"].status is Status.OUTSIDE
    assert fields["count.0"].value == 1
    assert [one.message.split(" of page")[0] for one in found.problems] == [
        "The picture ends before the right edge"
    ]


def bent(sheet: np.ndarray, height_mm: float) -> np.ndarray:
    """Lift the middle of the page toward a camera 420 mm above it."""
    rows, columns = sheet.shape
    across = (np.arange(columns) / columns - 0.5) * 2
    nearer = 1 + height_mm * (1 - across**2) / 420
    xs = (np.arange(columns) - columns / 2) / nearer + columns / 2
    ys = (np.arange(rows)[:, None] - rows / 2) / nearer + rows / 2
    grid = np.broadcast_to(xs, (rows, columns)).astype(np.float32)
    return cv2.remap(sheet, grid, ys.astype(np.float32), cv2.INTER_LINEAR)


def test_curled_page_is_read_like_a_flat_one(sheet, layout, draw, photograph, read_page):
    written = filled_at_random(sheet, layout, draw, 7)

    page = read_page(photograph(bent(sheet, 12.0), 7))

    assert {name: page.fields[name].value for name in written} == written
    assert page.model in ("bend", "bend and boxes")


def test_same_photo_reads_the_same_twice(sheet, layout, layout_of, draw, save):
    filled_at_random(sheet, layout, draw, 3)
    path = save(sheet)

    assert read_photo(path, layout_of) == read_photo(path, layout_of)


def test_pdf_is_read_like_a_photo(pdf, layout_of, tmp_path):
    path = tmp_path / "scan.pdf"
    path.write_bytes(pdf)

    (page,) = read_photo(path, layout_of).pages

    assert page.fields["count.0"].status is Status.EMPTY
    assert page.scale == pytest.approx(1, abs=0.002)


def test_shrunken_print_shows_in_the_scale(sheet, layout_of, tmp_path):
    small = cv2.resize(sheet, None, fx=0.97, fy=0.97, interpolation=cv2.INTER_AREA)
    Image.fromarray(small).save(tmp_path / "a.tif", dpi=(8 * 25.4, 8 * 25.4))

    (page,) = read_photo(tmp_path / "a.tif", layout_of).pages

    assert page.scale == pytest.approx(0.97, abs=0.002)


def test_photo_has_no_scale(printed, read_page):
    assert read_page(printed).scale is None


def test_lone_scribble_that_leaves_its_box_is_a_doubt(sheet, layout, draw, read_page):
    draw(sheet, box(layout, "count.2", 3), "scribble")

    reading = read_page(sheet).fields["count.2"]

    assert (reading.status, reading.value, reading.why) == (Status.DOUBTFUL, 3, Why.FILLED)


NASTY: dict[str, list[list[tuple[float, float]]]] = {  # in a box of side 1
    "circle": [[(0.5 + 0.85 * np.cos(t), 0.5 + 0.85 * np.sin(t)) for t in np.linspace(0, 7, 40)]],
    "traced": [[(-0.01, 0.02), (1.03, -0.02), (0.99, 1.02), (0, 1), (-0.01, 0.02)]],
    "underline": [[(-0.1, 1.14), (1.1, 1.12)]],
    "half out": [[(0.6, -0.35), (1.3, 0.25)], [(1.3, -0.35), (0.7, 0.25)]],
    "below": [[(0.3, 1.1), (0.7, 1.4)], [(0.7, 1.1), (0.3, 1.4)]],
    "specks": [[(0.3, 0.3), (0.31, 0.3)], [(0.7, 0.6), (0.71, 0.6)]],
    "letters": [
        [(0.15, 0.8), (0.15, 0.25), (0.4, 0.8), (0.4, 0.25)],
        [(0.58, 0.25), (0.82, 0.25), (0.82, 0.8), (0.58, 0.8), (0.58, 0.25)],
    ],
    "hatched": [[(0.1 + 0.8 * (k % 2), 0.05 + 0.15 * k) for k in range(7)]],
}
UNSURE = {Status.DOUBTFUL, Status.OUTSIDE}


def stroke(picture, box, lines, dark=0.75, width=0.35):
    """Draw lines in units of a box's side over a printed page."""
    corner, size = np.array(box[:2]), np.array(box[2:])
    ink = np.zeros_like(picture)
    for line in lines:
        path = np.round((corner + np.array(line) * size) * 8 * 8).astype(np.int32)
        pen = max(1, round(width * 8))
        cv2.polylines(ink, [path.reshape(-1, 1, 2)], False, 255, pen, cv2.LINE_AA, 3)
    np.minimum(picture, 255 - (ink * dark).astype(np.uint8), out=picture)


@pytest.mark.parametrize("name", ["count.2", "tick.2"])
@pytest.mark.parametrize("what", NASTY)
def test_ink_that_is_no_plain_mark_is_never_sure(what, name, sheet, layout, read_page):
    stroke(sheet, box(layout, name, 0 if name == "tick.2" else 4), NASTY[what])

    assert read_page(sheet).fields[name].status in UNSURE


def test_pale_mark_beside_a_page_of_dark_ones_is_a_doubt(sheet, layout, draw, read_page):
    for k in range(5):
        draw(sheet, box(layout, f"count.{k}", k), "cross", dark=0.8)
    draw(sheet, box(layout, "count.5", 4), "cross", dark=0.25)

    reading = read_page(sheet).fields["count.5"]

    assert (reading.status, reading.value, reading.why) == (Status.DOUBTFUL, 4, Why.FAINT)


def test_box_whose_outline_is_gone_is_outside(sheet, layout, read_page):
    x, y, width, height = (round(value * 8) for value in box(layout, "count.3", 0))
    sheet[y - 8 : y + height + 8, x - 8 : x + 20 * width] = 255

    assert read_page(sheet).fields["count.3"].status is Status.OUTSIDE


def test_rows_moved_by_a_fold_are_not_read(sheet, layout, read_page):
    y = round(box(layout, "count.3", 0).y * 8)
    sheet[y - 16 : y + 60] = sheet[y : y + 76].copy()

    assert read_page(sheet).fields["count.3"].status in UNSURE


def test_digit_boxes_under_a_white_slip_are_outside(sheet, layout, read_page):
    x, y, width, height = (round(value * 8) for value in box(layout, "humidity", 0))
    sheet[y - 8 : y + height + 8, x - 8 : x + 3 * width] = 255

    assert read_page(sheet).fields["humidity"].status is Status.OUTSIDE
