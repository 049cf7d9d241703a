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


def test_page_cut_off_gives_what_is_in_the_picture(sheet, layout, draw, read_page):
    draw(sheet, box(layout, "count.0", 1), "cross")
    cut = sheet[:, : round(box(layout, "tick.0").x * 8)]

    page = read_page(cut)

    assert page.fields["tick.0"].status is Status.OUTSIDE
    assert page.fields["count.0"].value == 1


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
    assert page.model == "spline and boxes"


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
