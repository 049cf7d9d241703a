import sys

import cv2
import numpy as np
import pytest

from scan import codes
from scan.codes import read_codes, read_flat_code, zbar, zxing
from scan.fiducials import find_fiducials, pyramid
from scan.page import flatten

TEXT = "F1/00000000011/1"


@pytest.mark.parametrize("reader", [zxing, zbar])
def test_each_reader_reads_the_printed_code(printed, reader):
    assert reader(printed) == [TEXT]


@pytest.fixture
def flat(printed, layout):
    return flatten(find_fiducials(pyramid(printed)), layout.pages[0])


def test_code_is_read_where_it_was_printed(printed, layout, flat):
    assert read_flat_code(printed, flat, layout.pages[0].code.box) == TEXT


def test_second_reader_steps_in(monkeypatch, printed, layout, flat):
    monkeypatch.setattr(codes, "zxing", lambda grey: [])

    assert read_flat_code(printed, flat, layout.pages[0].code.box) == TEXT


def test_blank_place_has_no_code(printed, layout, flat):
    box = layout.pages[0].code.box.moved(100, 150)

    assert read_flat_code(printed, flat, box) is None


def test_dim_and_blurred_code_is_read(printed, layout, flat):
    dim = cv2.GaussianBlur((printed * 0.25 + 20).astype(np.uint8), (0, 0), 2.2)

    assert read_flat_code(dim, flat, layout.pages[0].code.box) == TEXT


def test_missing_zbar_leaves_the_other_reader(monkeypatch, printed):
    monkeypatch.setitem(sys.modules, "pyzbar", None)

    assert zbar(printed) == []
    assert read_codes(printed) == [TEXT]
