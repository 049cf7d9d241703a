"""The layout engine with the shipped fonts; it fetches nothing from this machine or any other."""

from dataclasses import dataclass
from functools import cache
from threading import Lock
from typing import Any

from weasyprint import CSS, HTML, Document
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher

from forms.typeface import font_css

_ONE_AT_A_TIME = Lock()  # the fonts are shared by all documents


@dataclass(frozen=True)
class LaidOut:
    """A document whose lines have their places; its file is not written yet."""

    document: Document
    options: dict[str, Any]

    @property
    def pages(self) -> int:
        """How many pages it takes."""
        return len(self.document.pages)

    def pdf(self) -> bytes:
        """Write its file."""
        with _ONE_AT_A_TIME:
            return bytes(self.document.write_pdf(finisher=_scope_heads, **self.options))


def laid_out(html: str, style: str, identifier: str) -> LaidOut:
    """Lay out a document; see ``forms.pdf.laid_out``."""
    options = {"pdf_identifier": identifier.encode(), "pdf_variant": "pdf/ua-1"}
    source = HTML(string=html, base_url="data:,", url_fetcher=_fetcher())
    with _ONE_AT_A_TIME:
        document = source.render(font_config=_fonts(), stylesheets=[_stylesheet(style)], **options)
    return LaidOut(document, options)


def _scope_heads(_document: Document, pdf: Any) -> None:
    """Say of each head of a table whether it heads a column or a row (ISO 14289-1, 7.5)."""
    elements = {one.reference: one for one in pdf.objects}
    for one in elements.values():
        if isinstance(one, dict) and one.get("S") == "/TH":
            group = elements[elements[one["P"]]["P"]]
            one["A"]["Scope"] = "/Column" if group["S"] == "/THead" else "/Row"


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
