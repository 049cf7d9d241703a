from datetime import UTC, datetime

import numpy as np
import pytest

from forms.field import Box, Note, Tick
from forms.form import Block, Form
from forms.layout import Code, Mark, Page
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from forms.sheet import print_form
from passport.booth.printer import (
    LIGHT_TONER,
    SHIFTED,
    SHRUNK,
    STREAKED,
    Faults,
    as_printed,
    print_pages,
    px_per_mm,
    worn,
)

DPI = 200
SCALE = px_per_mm(DPI)


@pytest.fixture(scope="module")
def placed():
    fields = (Tick("one", "One", Box(20, 10, 5, 5)), Tick("two", "Two", Box(150, 30, 5, 5)))
    block = Block("marks", 40, fields=fields)
    form = Form("service", "Service", "0000001-00", ("An invented table",), (block,))
    return place(form, Paper.LETTER, FormNumber.new(lambda bits: 12345))


@pytest.fixture(scope="module")
def pdf(placed):
    return print_form(placed, datetime(2026, 1, 1, tzinfo=UTC))


def edges(picture, box):
    """Find the outline's middle line around a box: left, top, right, bottom [mm]."""
    grow = 1.5
    left, top = round((box.x - grow) * SCALE), round((box.y - grow) * SCALE)
    right = round((box.x + box.width + grow) * SCALE)
    bottom = round((box.y + box.height + grow) * SCALE)
    dark = 255.0 - picture[top:bottom, left:right]
    return [*_lines(dark.sum(axis=0), left), *_lines(dark.sum(axis=1), top)]


def _lines(profile, start):
    """Middles of the first and last dark line of a profile [mm]."""
    clear = np.where(profile > profile.max() * 0.3, profile, 0)
    at = np.arange(len(clear)) + start + 0.5
    half = len(clear) // 2
    parts = (slice(0, half), slice(half, None))
    return [float((clear[p] * at[p]).sum() / clear[p].sum() / SCALE) for p in parts]


def corners(box):
    return [box.x, box.x + box.width, box.y, box.y + box.height]


def test_page_is_as_large_as_its_paper(pdf):
    (picture,) = print_pages(pdf, DPI)

    assert picture.shape == (11 * DPI, round(8.5 * DPI))  # US Letter, 8.5 × 11 in


@pytest.mark.parametrize("name", ["one", "two"])
def test_printed_box_stands_where_the_layout_says(name, pdf, placed):
    (picture,) = print_pages(pdf, DPI)
    box = next(field.box for field in placed.layout.pages[0].fields if field.id == name)

    assert edges(picture, box) == pytest.approx(corners(box), abs=0.08)


@pytest.mark.parametrize("faults", [SHRUNK, SHIFTED], ids=["shrunk", "shifted"])
@pytest.mark.parametrize("name", ["one", "two"])
def test_misplaced_box_stands_where_as_printed_says(name, faults, pdf, placed):
    (picture,) = print_pages(pdf, DPI, faults)
    page = as_printed(placed.layout.pages[0], faults)
    box = next(field.box for field in page.fields if field.id == name)

    assert edges(picture, box) == pytest.approx(corners(box), abs=0.08)


def test_shrunk_page_keeps_its_middle():
    page = Page(1, 200.0, 280.0, Code("X", Box(90, 130, 20, 20)), (), ())

    shrunk = as_printed(page, SHRUNK).code.box

    assert shrunk == pytest.approx((90.3, 130.3, 19.4, 19.4))


def test_shrinking_moves_fiducials_and_notes_too():
    mark = Mark("4X4_50", 0, (0.0, 0.0), 10.0)
    page = Page(
        1, 200.0, 280.0, Code("X", Box(0, 0, 1, 1)), (mark,), (Note("n", "N", Box(200, 280, 0, 0)),)
    )

    moved = as_printed(page, SHRUNK)

    assert moved.marks[0] == Mark("4X4_50", 0, pytest.approx((3.0, 4.2)), pytest.approx(9.7))
    assert moved.fields[0].box[:2] == pytest.approx((197.0, 275.8))


def test_sound_printer_changes_nothing():
    picture = np.arange(200, dtype=np.uint8).reshape(10, 20)

    assert np.array_equal(worn(picture, Faults(), SCALE), picture)


def test_light_toner_prints_black_as_grey():
    black = np.zeros((4, 4), np.uint8)

    assert worn(black, LIGHT_TONER, SCALE).max() == round(255 * (1 - 0.45))


def test_every_page_of_a_document_is_printed(placed):
    block = Block("second", 30, new_page=True)
    form = Form("service", "Service", "0000001-00", ("An invented table",), (block, block))
    two = place(form, Paper.A4, FormNumber.new(lambda bits: 99))

    assert len(print_pages(print_form(two, datetime(2026, 1, 1, tzinfo=UTC)), 50)) == 2


def test_streak_is_pale_and_its_neighbours_are_black():
    black = np.zeros((2, round(130 * SCALE)), np.uint8)

    row = worn(black, STREAKED, SCALE)[0]

    assert row[round(121 * SCALE)] > 200
    assert row[round(119 * SCALE)] == 0
