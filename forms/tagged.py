"""A PDF file of drawn pages, tagged for reading aloud (PDF/UA-1, ISO 14289-1).

The tree of tags: the document, a section for each page of a form, in it the page's title, its
figure and its lines in the order of the form (ISO 32000-1:2008, 14.7 and 14.8).
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import UTC, datetime
from io import BytesIO
from typing import Any, NamedTuple
from xml.sax.saxutils import escape

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

from forms.content import FACES, Content, Marked
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


class Part(NamedTuple):
    """A form's page as it is drawn: what it shares with other copies, and its own."""

    ground: Content
    naming: Content


class Drawn(NamedTuple):
    """A printed page: its size [pt], its parts, its name in the outline, what is not read aloud.

    Marked contents count through its parts, in their order.
    """

    size: tuple[float, float]
    parts: tuple[Part, ...]
    name: str
    ornaments: bytes = b""


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
        self.pages = 0
        self.marked = list[Object | int]()
        self.streams = dict[bytes, Object]()

    def add(self, page: Drawn, fonts: Dictionary) -> str:
        """Add a page and its sections and give its name; marks count in the order of drawing."""
        sheet = self.pdf.make_indirect(self._page(page, fonts))
        elements = list[Object]()
        for part in page.parts:
            elements += self._section(part, sheet, len(elements))
        self.marked += [self.pages, self.pdf.make_indirect(Array(elements))]
        self.pages += 1
        self.pdf.pages.append(Page(sheet))
        return page.name

    def _section(self, part: Part, sheet: Object, first: int) -> list[Object]:
        """Hang a part's section into the tree; give its elements in the order of drawing."""
        section = self._element("Sect", self.document)
        pieces = part.ground.pieces + part.naming.pieces
        elements = [
            self._piece(piece, section, K=Array([mark]), Pg=sheet)
            for mark, piece in enumerate(pieces, first)
        ]
        section.K = Array(_in_order(elements, len(part.ground.pieces)))
        self.sections.append(section)
        return elements

    def bind(self) -> None:
        """Hang the tags into the file."""
        self.document.K, self.root.K = Array(self.sections), Array([self.document])
        self.root.ParentTree = self.pdf.make_indirect(Dictionary(Nums=Array(self.marked)))
        self.root.ParentTreeNextKey = self.pages
        self.pdf.Root.StructTreeRoot = self.root

    def _piece(self, piece: Marked, section: Object, **more: Any) -> Object:
        if piece.words:
            layout = Dictionary(O=Name.Layout, BBox=Array(piece.place))
            more |= {"Alt": String(piece.words), "A": layout}
        return self._element(piece.tag, section, **more)

    def _element(self, tag: str, parent: Object, **more: Any) -> Object:
        return self.pdf.make_indirect(
            Dictionary(Type=Name.StructElem, S=Name(f"/{tag}"), P=parent, **more)
        )

    def _page(self, page: Drawn, fonts: Dictionary) -> Dictionary:
        return Dictionary(
            Type=Name.Page,
            MediaBox=Array([0, 0, *page.size]),
            Resources=Dictionary(Font=fonts),
            Contents=Array(list(self._streams(page))),
            StructParents=self.pages,
            Tabs=Name.S,
        )

    def _streams(self, page: Drawn) -> Iterator[Object]:
        if page.ornaments:
            yield self._shared(page.ornaments)
        for part in page.parts:
            yield self._shared(part.ground.packed)
            yield self._stream(part.naming.packed)

    def _shared(self, packed: bytes) -> Object:
        """Write a stream that copies have in common once."""
        if packed not in self.streams:
            self.streams[packed] = self._stream(packed)
        return self.streams[packed]

    def _stream(self, packed: bytes) -> Object:
        return self.pdf.make_stream(packed, Filter=Name.FlateDecode)


def _in_order(elements: Sequence[Object], shared: int) -> Iterator[Object]:
    """Put a page's elements as they are read: title, what names the copy, all else."""
    ground, naming = elements[:shared], elements[shared:]
    yield from (element for element in ground if element.S == Name.H1)
    yield from naming
    yield from (element for element in ground if element.S != Name.H1)


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
