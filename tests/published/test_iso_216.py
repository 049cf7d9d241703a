"""The papers.

A4: ISO 216:2007, A series (210 mm × 297 mm). Letter: ANSI/ASME Y14.1, 8.5 in × 11 in; 1 in is
25.4 mm exactly (international yard and pound agreement, 1959). Punching: ISO 838:1974, two holes
of 6 mm, 80 mm apart, 12 mm from the edge. The figures are from memory.
"""

from math import floor, sqrt

import pytest

from forms.paper import Paper


def test_a4_is_210_by_297_mm() -> None:
    assert (Paper.A4.width, Paper.A4.height) == (210, 297)


def test_a4_is_a0_halved_four_times() -> None:
    width, height = floor(1000 / sqrt(sqrt(2)) + 0.5), floor(1000 * sqrt(sqrt(2)) + 0.5)
    for _ in range(4):
        width, height = height // 2, width

    assert (Paper.A4.width, Paper.A4.height) == (width, height)


def test_letter_is_eight_and_a_half_by_eleven_inches() -> None:
    assert (Paper.LETTER.width, Paper.LETTER.height) == pytest.approx((8.5 * 25.4, 11 * 25.4))


def test_a4_is_punched_80_mm_apart() -> None:
    assert Paper.A4.punch == 80
