"""Widths and wrapping of printed text."""

from importlib.resources import files

import pytest
from fontTools.ttLib import TTFont

from forms.typeface import (
    EM_UNITS,
    MEASURED_SPACES,
    MM_PER_PT,
    MissingGlyph,
    font_css,
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


@pytest.mark.parametrize("name", ["inter-regular.woff2", "inter-bold.woff2"])
def test_the_measured_spaces_are_as_wide_as_they_say(name: str) -> None:
    font = TTFont(files("forms") / "fonts" / name)
    glyphs = font.getBestCmap()
    widths = {space: font["hmtx"][glyphs[ord(space)]][0] for space in MEASURED_SPACES}

    assert (widths, font["head"].unitsPerEm) == (MEASURED_SPACES, EM_UNITS)


def test_a_measured_space_is_no_space_for_texts() -> None:
    with pytest.raises(MissingGlyph):
        width_mm("two\u2002words", 9)


def test_the_fonts_come_with_the_style_sheet() -> None:
    assert font_css().count("url(data:font/woff2;base64,") == font_css().count("url(") == 2
