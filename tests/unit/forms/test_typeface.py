"""Widths and wrapping of printed text."""

from importlib.resources import files

import pytest
from fontTools.ttLib import TTFont

from forms.typeface import (
    MM_PER_PT,
    MissingGlyph,
    font_css,
    glyphs,
    line_mm,
    width_mm,
    wrap,
)


def test_a_text_is_as_wide_as_its_letters_together() -> None:
    apart = sum(width_mm(letter, 9) for letter in "To A V")

    assert width_mm("To A V", 9) == pytest.approx(apart)


def test_width_grows_with_size() -> None:
    assert width_mm("level", 18) == pytest.approx(2 * width_mm("level", 9))


def test_bold_is_wider() -> None:
    assert width_mm("level", 9, bold=True) > width_mm("level", 9)


def test_a_line_is_a_fifth_higher_than_its_size() -> None:
    assert line_mm(10) == pytest.approx(10 * 1.2 * 25.4 / 72)


def test_a_point_is_a_seventy_second_of_an_inch() -> None:
    assert pytest.approx(0.352778, abs=1e-6) == MM_PER_PT


def test_text_wraps_at_spaces() -> None:
    width = width_mm("stop and", 9)

    assert wrap("stop and call the office", width, 9) == ("stop and", "call the", "office")


def test_a_number_is_never_parted_from_its_unit() -> None:
    wide = width_mm("level 19 11/16", 9)

    assert wrap("level 19 11/16 in, 4 ft 1 in", wide, 9) == ("level", "19 11/16 in,", "4 ft 1 in")
    assert wrap("hollow 0.51 ± 0.19 mm", width_mm("hollow 0.51 ±", 9), 9) == (
        "hollow",
        "0.51 ± 0.19 mm",
    )


def test_a_word_that_looks_like_a_unit_may_begin_a_line() -> None:
    assert wrap("stand in line", width_mm("in line", 9), 9) == ("stand", "in line")


def test_line_ends_are_kept() -> None:
    assert wrap("one\n\ntwo", 50, 9) == ("one", "", "two")


def test_a_word_wider_than_the_line_stays_whole() -> None:
    assert wrap("a hygrometer", 5, 9) == ("a", "hygrometer")


def test_wrapped_text_wraps_the_same_again() -> None:
    lines = wrap("where a foot does not bear, stop turning it", 20, 8)

    assert wrap("\n".join(lines), 20, 8) == lines


@pytest.mark.parametrize("bold", [False, True])
def test_the_trade_s_signs_can_be_printed(bold: bool) -> None:
    assert width_mm("·×–—±°▲▼↻↺′″≤≥→←↑↓½¼¾−…’“”•✓µé²", 9, bold=bold) > 0


def test_a_missing_character_is_named() -> None:
    with pytest.raises(MissingGlyph) as caught:
        width_mm("leg 木", 9)

    assert str(caught.value) == (
        "“leg 木” holds “木” (U+6728), which the printed typeface does not have. "
        "Write it in other words or draw it."
    )


@pytest.mark.parametrize("bold", [False, True])
def test_glyphs_are_numbered_as_in_the_shipped_font(bold: bool) -> None:
    shipped = TTFont(files("forms") / "fonts" / f"inter-{'bold' if bold else 'regular'}.woff2")
    names = [shipped.getBestCmap()[ord(letter)] for letter in "A 5"]

    assert glyphs("A 5", bold=bold) == "".join(f"{shipped.getGlyphID(n):04x}" for n in names)


def test_a_missing_character_has_no_glyph() -> None:
    with pytest.raises(MissingGlyph):
        glyphs("two\u2002words")


def test_the_fonts_come_with_the_style_sheet() -> None:
    assert font_css().count("url(data:font/woff2;base64,") == font_css().count("url(") == 2
