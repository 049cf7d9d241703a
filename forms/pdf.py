"""HTML to PDF with the shipped fonts; nothing is fetched from this machine or any other."""

from collections.abc import Iterable
from datetime import UTC, datetime
from functools import cache
from io import BytesIO
from threading import Lock

import pypdfium2
from pikepdf import Dictionary, Name, Pdf, String
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher

from forms.typeface import font_css

_ONE_AT_A_TIME = Lock()  # the layout engine's fonts are shared by all documents


def to_pdf(html: str, style: str, identifier: str) -> bytes:
    """Print HTML as a tagged PDF (PDF/UA-1, ISO 14289-1).

    Parameters
    ----------
    html : str
        A whole document: language, title and the dates ``dcterms.created`` and
        ``dcterms.modified`` (see ``pdf_date``) stand in it, so the same document gives the same
        bytes.
    style : str
        Its style sheet; the font family is ``forms.typeface.FAMILY``.
    identifier : str
        What the file says it is: of the same document always the same.

    Returns
    -------
    bytes
        A PDF file.
    """
    document = HTML(string=html, base_url="data:,", url_fetcher=_fetcher())
    with _ONE_AT_A_TIME:
        pdf = document.write_pdf(
            stylesheets=[_stylesheet(style)],
            font_config=_fonts(),
            pdf_identifier=identifier.encode(),
            pdf_variant="pdf/ua-1",
        )
    return bytes(pdf)


def pdf_date(moment: datetime) -> str:
    """Write a time as a document's ``dcterms`` dates need it: UTC, to the second.

    A time without a zone is this machine's.
    """
    return moment.astimezone(UTC).isoformat(timespec="seconds")


def page_count(pdf: bytes) -> int:
    """Count the pages of a PDF file."""
    with pypdfium2.PdfDocument(pdf) as document:
        return len(document)


UNTAGGED = "A bundle for the printer: its pages carry no tags. Each document printed alone does."


def joined(files: Iterable[bytes], title: str, printed_at: str) -> bytes:
    """Put the pages of PDF files one after the other into one file.

    Joining would leave the tags of each part without their tree, so the bundle has none, and its
    metadata says so. Only one part at a time is worked on; what is kept of it is its compressed
    pages.

    Parameters
    ----------
    files : iterable of bytes
        PDF files.
    title : str
        Of the bundle.
    printed_at : str
        As ``pdf_date`` writes it; the same files, title and time give the same bytes.
    """
    with Pdf.new() as whole, BytesIO() as written:
        for file in files:
            with Pdf.open(BytesIO(file)) as part:
                whole.pages.extend(part.pages)
        for page in whole.pages:
            if "/StructParents" in page.obj:
                del page.obj.StructParents
        _say(whole, title, printed_at)
        whole.save(written, deterministic_id=True)
        return written.getvalue()


def _say(whole: Pdf, title: str, printed_at: str) -> None:
    """Write what the bundle is, and that it is not tagged."""
    whole.Root.Lang, whole.Root.MarkInfo = String("en"), Dictionary(Marked=False)
    whole.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    digits = "".join(symbol for symbol in printed_at[:19] if symbol.isdigit())
    info = {"/Title": title, "/Subject": UNTAGGED, "/CreationDate": f"D:{digits}Z"}
    for key, text in info.items():
        whole.docinfo[Name(key)] = String(text)


@cache
def _fetcher() -> URLFetcher:
    """Open ``data:`` only: otherwise a text could embed a file of this machine."""
    return URLFetcher(allowed_protocols=("data",), fail_on_errors=True)


@cache
def _fonts() -> FontConfiguration:
    return FontConfiguration()


@cache
def _stylesheet(rules: str) -> CSS:
    return CSS(string=font_css() + rules, font_config=_fonts(), url_fetcher=_fetcher())
