"""The table's code: what it says, how it is drawn, that two readers read it, also smudged."""

import re
from io import BytesIO

import numpy as np
import pypdfium2
import pytest
import segno
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from pyzbar.pyzbar import ZBarSymbol
from pyzbar.pyzbar import decode as zbar_decode
from weasyprint import HTML

from passport.documents import codes
from passport.documents.codes import (
    MOST_CHARACTERS,
    care_address,
    care_code_text,
    code_matrix,
    code_svg,
    module_mm,
)
from passport.documents.errors import HostUnusable, TooMuchForCode
from passport.documents.house import picture

TOKEN = "7ZK2M04QX9RJ1B5T"
ADDRESS = "HTTPS://CARE.EXAMPLE.ORG/T/7ZK2M04QX9RJ1B5T"
WORDS = care_code_text("401 2734 56", None, None, "+1 (555) 010-0199")


def pixels(matrix: codes.Matrix, scale: int = 8) -> np.ndarray:
    """Grey picture of a code with its quiet zone."""
    dark = np.pad(np.array(matrix), 4)
    return np.kron(np.where(dark, 0, 255), np.ones((scale, scale))).astype(np.uint8)


def rendered(svg: str) -> np.ndarray:
    """Print a drawn code and look at the paper."""
    html = f'<style>@page{{size:70mm;margin:5mm}}</style><img src="{picture(svg)}">'
    page = pypdfium2.PdfDocument(BytesIO(HTML(string=html).write_pdf()))[0]
    return np.array(page.render(scale=300 / 72).to_pil().convert("L"))


def by_zbar(grey: np.ndarray) -> str | None:
    found = zbar_decode(Image.fromarray(grey), symbols=[ZBarSymbol.QRCODE])
    return found[0].data.decode() if found else None


def by_zxing(grey: np.ndarray) -> str | None:
    found = zxingcpp.read_barcodes(grey, formats=zxingcpp.BarcodeFormat.QRCode)
    return found[0].text if found else None


def test_code_text_is_the_upper_case_address_where_a_host_is_set():
    assert care_code_text("401 2734 56", "care.example.org", "7ZK2-M04Q-X9RJ-1B5T", None) == ADDRESS


def test_care_address_is_typed_in_lower_case_but_for_its_path():
    """RFC 3986, 6.2.2.1: scheme and host are case-insensitive, the path is not."""
    assert care_address("Care.Example.org", TOKEN) == f"https://care.example.org/T/{TOKEN}"


def test_code_text_without_a_host_says_number_telephone_and_care():
    assert WORDS == (
        "TABLE 401 2734 56. CALL +1 555 010-0199. NEVER LIFT OR MOVE IT. SWEEP AND WAX."
    )


def test_code_text_says_a_bare_number_in_groups():
    assert care_code_text("120792937", None, None, None).startswith("TABLE 120 7929 37. ")


def test_code_text_without_a_telephone_still_says_how_to_care():
    assert care_code_text("401 2734 56", None, None, None) == (
        "TABLE 401 2734 56. NEVER LIFT OR MOVE IT. SWEEP AND WAX. AIR 35-55% RH. NO WATER."
    )


@pytest.mark.parametrize("phone", [None, "+1 (555) 010-0199", "0" * 60, "call me, ok? äöü"])
def test_code_text_stays_in_the_alphanumeric_set_and_within_87_characters(phone):
    """ISO/IEC 18004:2024, 7.3.4: the 45 characters of alphanumeric mode."""
    text = care_code_text("401 2734 56", None, None, phone)

    assert re.fullmatch(r"[0-9A-Z $%*+\-./:]{20,87}", text)


@given(st.text(max_size=80))
def test_code_text_of_any_telephone_is_read_back(phone):
    text = care_code_text("401 2734 56", None, None, phone)

    assert (len(text) <= MOST_CHARACTERS, by_zxing(pixels(code_matrix(text), 4))) == (True, text)


@pytest.mark.parametrize("host", ["https://x.org", "x.org/care", "x y.org", "localhost", "-a.org"])
def test_host_that_is_not_one_is_refused(host):
    with pytest.raises(HostUnusable) as error:
        care_address(host, TOKEN)

    assert str(error.value) == (
        f'The address of the care pages is set to "{host}", which is not a host name. Set a name '
        "of letters, digits, points and hyphens, such as care.example.org, without https:// and "
        "without a path."
    )


def test_code_text_longer_than_a_label_can_carry_is_refused():
    with pytest.raises(TooMuchForCode) as error:
        code_matrix("A" * 91)

    assert str(error.value) == (
        "The text for the QR code has 91 characters; at most 87 can be read from a label. "
        "Use a host name that is 4 characters shorter."
    )


@pytest.mark.parametrize("length", [16, 29, 47, 67, 87])
def test_code_version_agrees_with_an_independent_library(length):
    """ISO/IEC 18004:2024, table 7: alphanumeric capacity of versions 1-Q to 5-Q; segno."""
    ours = code_matrix("A" * length)

    theirs = segno.make("A" * length, error="q", micro=False, boost_error=False)
    assert len(ours) == theirs.symbol_size(border=0)[0]


@pytest.mark.parametrize("length", [1, 10, 11, 20, 21, 35, 36, 44, 64, 78, 87])
def test_code_takes_the_highest_error_correction_that_keeps_its_version(length):
    """Segno raises the level the same way; zxing-cpp reads the level back."""
    text = ("ABC123 " * 13)[:length]
    read = zxingcpp.read_barcodes(pixels(code_matrix(text)))[0]

    assert read.ec_level == segno.make(text, error="q", micro=False).error


def test_longest_text_is_a_version_five_code():
    assert len(code_matrix("A" * MOST_CHARACTERS)) == 37


@pytest.mark.parametrize("side", [1.0, 30.0, 40.0])
@pytest.mark.parametrize("text", [ADDRESS, WORDS])
def test_module_is_whole_printer_dots_and_at_least_a_millimetre(text, side):
    module = module_mm(code_matrix(text), side)

    dots = module / (25.4 / 600)
    assert (module >= 1.0, dots == pytest.approx(round(dots))) == (True, True)


@pytest.mark.parametrize("read", [by_zbar, by_zxing])
@pytest.mark.parametrize("text", [ADDRESS, WORDS])
def test_drawn_code_is_read_by_two_independent_readers(text, read):
    assert read(rendered(code_svg(text, 40.0))) == text


def smudged(grey: np.ndarray, share: float, rng: np.random.Generator) -> np.ndarray:
    """Cover a share of the symbol with one opaque black or white patch, away from its corners."""
    marred = grey.copy()
    side = grey.shape[0]
    patch = int(side * share**0.5)
    low, high = int(side * 0.33), side - int(side * 0.2) - patch
    x, y = rng.integers(low, max(low + 1, high), 2)
    marred[y : y + patch, x : x + patch] = rng.choice([0, 255])
    return marred


@pytest.mark.parametrize("text", [ADDRESS, WORDS])
def test_smudged_code_is_still_read(text):
    """A stain of 5 % of the picture, in 40 places: one of both readers reads nearly all."""
    rng = np.random.default_rng(4)
    grey = pixels(code_matrix(text), 6)

    read = [
        text in (by_zbar(spoilt), by_zxing(spoilt))
        for spoilt in (smudged(grey, 0.05, rng) for _ in range(40))
    ]
    assert sum(read) >= 36
