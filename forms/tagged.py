"""A PDF file of drawn pages, tagged for reading aloud (PDF/UA-1, ISO 14289-1).

The tree of tags: the document, a section for each page, in it the page's title, its figure and
its lines in the order of the form (ISO 32000-1:2008, 14.7 and 14.8).
"""

from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from io import BytesIO
from typing import Any, NamedTuple
from xml.sax.saxutils import escape
from zlib import compress

from pikepdf import (
    Array,
    Dictionary,
    Name,
    Object,
    ObjectStreamMode,
    OutlineItem,
    Page,
    Pdf,
    String,
)

from forms.content import FACES
from forms.embedding import embedded
from forms.pdf import pdf_date

PRODUCER = "table-passport"
_IDENTIFICATION = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<pdfuaid:part>1</pdfuaid:part>
<pdf:Producer>{producer}</pdf:Producer>
<xmp:CreateDate>{date}</xmp:CreateDate>
<xmp:ModifyDate>{date}</xmp:ModifyDate>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""


class Drawn(NamedTuple):
    """A page: its size [pt], its stream, the tags of its marked content in order, and words.

    ``described`` stands for the page's figure where it can't be seen, ``name`` in the outline.
    """

    size: tuple[float, float]
    stream: bytes
    tags: tuple[str, ...]
    described: str
    name: str


def tagged(pages: Iterable[Drawn], title: Callable[[], str], printed_at: datetime) -> bytes:
    """Write a PDF file; the same pages, title and time give the same bytes.

    Parameters
    ----------
    pages : iterable of Drawn
        In their order; of each only what is written is kept.
    title : callable
        Is asked for the file's title when all pages are in.
    printed_at : datetime
        Its date; a time without a zone is this machine's.
    """
    with Pdf.new() as pdf, BytesIO() as written:
        tree = _Tree(pdf)
        fonts = Dictionary({f"/{name}": embedded(pdf, bold) for bold, name in FACES.items()})
        names = [tree.add(page, fonts) for page in pages]
        tree.bind()
        _say(pdf, title(), printed_at)
        with pdf.open_outline() as outline:
            outline.root.extend(OutlineItem(name, at) for at, name in enumerate(names))
        packed = ObjectStreamMode.generate
        pdf.save(written, deterministic_id=True, force_version="1.7", object_stream_mode=packed)
        return written.getvalue()


class _Tree:
    """A file's pages and its tags as they grow."""

    def __init__(self, pdf: Pdf):
        self.pdf = pdf
        self.root = pdf.make_indirect(Dictionary(Type=Name.StructTreeRoot))
        self.document = self._element("Document", self.root)
        self.sections = list[Object]()
        self.marked = list[Object | int]()

    def add(self, page: Drawn, fonts: Dictionary) -> str:
        """Add a page and its section and give its name; marks count in the order of drawing."""
        number, section = len(self.sections), self._element("Sect", self.document)
        sheet = self.pdf.make_indirect(_page(self.pdf, page, fonts, number))
        elements = [
            self._element(tag, section, K=Array([mark]), Pg=sheet)
            for mark, tag in enumerate(page.tags)
        ]
        for tag, element in zip(page.tags, elements, strict=True):
            if tag == "Figure":
                element.Alt = String(page.described)
                element.A = Dictionary(O=Name.Layout, BBox=Array([0, 0, *page.size]))
        section.K = Array(sorted(elements, key=lambda element: element.S != Name.H1))
        self.sections.append(section)
        self.marked += [number, self.pdf.make_indirect(Array(elements))]
        self.pdf.pages.append(Page(sheet))
        return page.name

    def bind(self) -> None:
        """Hang the tags into the file."""
        self.document.K, self.root.K = Array(self.sections), Array([self.document])
        self.root.ParentTree = self.pdf.make_indirect(Dictionary(Nums=Array(self.marked)))
        self.root.ParentTreeNextKey = len(self.sections)
        self.pdf.Root.StructTreeRoot = self.root

    def _element(self, tag: str, parent: Object, **more: Any) -> Object:
        return self.pdf.make_indirect(
            Dictionary(Type=Name.StructElem, S=Name(f"/{tag}"), P=parent, **more)
        )


def _page(pdf: Pdf, page: Drawn, fonts: Dictionary, number: int) -> Dictionary:
    return Dictionary(
        Type=Name.Page,
        MediaBox=Array([0, 0, *page.size]),
        Resources=Dictionary(Font=fonts),
        Contents=pdf.make_stream(compress(page.stream), Filter=Name.FlateDecode),
        StructParents=number,
        Tabs=Name.S,
    )


def _say(pdf: Pdf, title: str, printed_at: datetime) -> None:
    """Write what the file is, in what language, and when it was printed."""
    moment = printed_at.astimezone(UTC)
    date = pdf_date(moment)
    said = _IDENTIFICATION.format(producer=PRODUCER, date=date, title=escape(title))
    root, info = pdf.Root, pdf.docinfo
    root.Lang, root.MarkInfo = String("en"), Dictionary(Marked=True)
    root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    root.Metadata = pdf.make_stream(said.encode(), Type=Name.Metadata, Subtype=Name.XML)
    info.Title, info.Producer = String(title), String(PRODUCER)
    info.CreationDate = info.ModDate = String(f"D:{moment:%Y%m%d%H%M%S}Z")
