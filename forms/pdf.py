"""HTML to PDF with the shipped fonts; nothing is fetched from this machine or any other."""

from collections.abc import Iterable
from datetime import UTC, datetime
from functools import cache
from io import BytesIO
from threading import Lock

import pypdfium2
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


def joined(files: Iterable[bytes]) -> bytes:
    """Put the pages of PDF files one after the other into one file.

    It has no tags for reading aloud, and the time of joining in it: meant for a batch on its way
    to the printer.
    """
    whole = pypdfium2.PdfDocument.new()
    for file in files:
        part = pypdfium2.PdfDocument(file)
        whole.import_pages(part)
        part.close()
    with BytesIO() as written:
        whole.save(written)
        whole.close()
        return written.getvalue()


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
