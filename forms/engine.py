"""The layout engine with the shipped fonts; it fetches nothing from this machine or any other."""

from functools import cache
from threading import Lock

from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher

from forms.typeface import font_css

_ONE_AT_A_TIME = Lock()  # the fonts are shared by all documents


def write_pdf(html: str, style: str, identifier: str) -> bytes:
    """Lay out a document and write its file; see ``forms.pdf.to_pdf``."""
    document = HTML(string=html, base_url="data:,", url_fetcher=_fetcher())
    with _ONE_AT_A_TIME:
        pdf = document.write_pdf(
            stylesheets=[_stylesheet(style)],
            font_config=_fonts(),
            pdf_identifier=identifier.encode(),
            pdf_variant="pdf/ua-1",
        )
    return bytes(pdf)


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
