"""PDF files of documents, and bundles of such files."""

from collections.abc import Iterable
from datetime import UTC, datetime
from hashlib import sha256
from io import BytesIO
from typing import TYPE_CHECKING

import pypdfium2
from pikepdf import Dictionary, Name, Object, Pdf, String

if TYPE_CHECKING:
    from forms.engine import LaidOut


def laid_out(html: str, style: str, identifier: str) -> "LaidOut":
    """Lay out HTML that becomes a tagged PDF (PDF/UA-1, ISO 14289-1).

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
    LaidOut
        How many ``pages`` it takes, and its file: ``pdf()``.
    """
    from forms import engine  # noqa: PLC0415 - loads slowly; forms do without it

    return engine.laid_out(html, style, identifier)


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
        _share_fonts(whole)
        _say(whole, title, printed_at)
        whole.save(written, deterministic_id=True)
        return written.getvalue()


def _share_fonts(whole: Pdf) -> None:
    """Keep one copy of a font that several parts brought along."""
    kept: dict[bytes, Object] = {}
    for one in whole.objects:
        if isinstance(one, Dictionary) and "/FontFile2" in one:
            packed = one.FontFile2.read_raw_bytes()
            one.FontFile2 = kept.setdefault(sha256(packed).digest(), one.FontFile2)


def _say(whole: Pdf, title: str, printed_at: str) -> None:
    """Write what the bundle is, and that it is not tagged."""
    whole.Root.Lang, whole.Root.MarkInfo = String("en"), Dictionary(Marked=False)
    whole.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    digits = "".join(symbol for symbol in printed_at[:19] if symbol.isdigit())
    info = {"/Title": title, "/Subject": UNTAGGED, "/CreationDate": f"D:{digits}Z"}
    for key, text in info.items():
        whole.docinfo[Name(key)] = String(text)
