"""PDF files: closed to the outside, the same every time, tagged."""

from datetime import datetime, timedelta, timezone
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from weasyprint.urls import FatalURLFetchingError

from forms.pdf import joined, laid_out, pdf_date

HEAD = (
    '<!DOCTYPE html><html lang="en"><head><title>A sheet</title>'
    '<meta name="dcterms.created" content="2026-11-24T09:30:00+00:00">'
)
WHEN = "2026-11-24T09:30:00+00:00"
STYLE = 'html { font-family: "Form" }'


def opened(pdf: bytes) -> pikepdf.Pdf:
    return pikepdf.open(BytesIO(pdf))


def test_a_document_is_tagged_and_says_its_language_and_title() -> None:
    pdf = opened(laid_out(HEAD + "</head><h1>Care</h1></html>", STYLE, "1").pdf())
    root = pdf.Root
    shows_title = bool(root.ViewerPreferences.DisplayDocTitle)

    assert (bool(root.MarkInfo.Marked), str(root.Lang), shows_title) == (True, "en", True)


def test_only_the_shipped_fonts_are_embedded() -> None:
    pdf = opened(laid_out(HEAD + "</head><p>Care <b>now</b></html>", STYLE, "1").pdf())
    fonts = pdf.pages[0].Resources.Font.values()
    names = {str(font.BaseFont).partition("+")[2] for font in fonts}

    assert names == {"Form", "Form-Bold"}


def test_the_same_document_gives_the_same_bytes() -> None:
    first, second = (laid_out(HEAD + "</head><p>Care</html>", STYLE, "1").pdf() for _ in range(2))

    assert first == second


def test_dates_are_written_in_utc_to_the_second() -> None:
    moment = datetime(2026, 11, 24, 9, 30, 5, 123456, tzinfo=timezone(timedelta(hours=2)))

    assert pdf_date(moment) == "2026-11-24T07:30:05+00:00"


def test_the_date_of_printing_is_the_file_s_date() -> None:
    pdf = opened(laid_out(HEAD + "</head><p>Care</html>", STYLE, "1").pdf())

    assert pdf.open_metadata()["xmp:CreateDate"] == "2026-11-24T09:30:00+00:00"


def test_a_local_file_can_not_be_attached(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("the key is under the mat")
    link = f'<link rel="attachment" href="{secret.as_uri()}">'

    with pytest.raises(FatalURLFetchingError):
        laid_out(HEAD + link + "</head><p>Care</html>", STYLE, "1").pdf()


@pytest.mark.parametrize("address", ["file:///etc/hostname", "http://127.0.0.1:9/x.png"])
def test_no_picture_is_fetched_from_elsewhere(address: str) -> None:
    with pytest.raises(FatalURLFetchingError):
        laid_out(f'{HEAD}</head><img alt="x" src="{address}"></html>', STYLE, "1").pdf()


def test_joined_files_keep_their_pages_in_order() -> None:
    sizes = ("a4", "letter", "a5")
    files = [
        laid_out(f"{HEAD}</head>{size}</html>", f"@page {{size: {size}}}", "1").pdf()
        for size in sizes
    ]
    heights = [float(page.mediabox[3]) for page in opened(joined(files, "A round", WHEN)).pages]

    assert heights == pytest.approx([841.89, 792, 595.28], abs=0.01)


def test_a_bundle_has_no_tags_and_says_so_itself() -> None:
    part = laid_out(f"{HEAD}</head><h1>One</h1></html>", STYLE, "1").pdf()
    pdf = opened(joined((part, part), "A round", WHEN))
    info = pdf.docinfo

    assert (bool(pdf.Root.MarkInfo.Marked), "/StructTreeRoot" in pdf.Root) == (False, False)
    assert not any("/StructParents" in page.obj for page in pdf.pages)
    assert [str(info[key]) for key in ("/Title", "/Subject", "/CreationDate")] == [
        "A round",
        "A bundle for the printer: its pages carry no tags. Each document printed alone does.",
        "D:20261124093000Z",
    ]


def test_the_same_bundle_gives_the_same_bytes() -> None:
    part = laid_out(f"{HEAD}</head><h1>One</h1></html>", STYLE, "1").pdf()

    assert joined((part,), "A round", WHEN) == joined((part,), "A round", WHEN)


def test_parts_of_a_bundle_share_their_fonts() -> None:
    part = laid_out(f"{HEAD}</head><h1>One</h1></html>", STYLE, "1").pdf()
    pdf = opened(joined((part, part, part), "A round", WHEN))
    fonts = [font for page in pdf.pages for font in page.Resources.Font.values()]
    files = {font.DescendantFonts[0].FontDescriptor.FontFile2.objgen for font in fonts}

    assert (len(pdf.pages), len(files)) == (3, 1)
