"""The shipped fonts inside a PDF file: whole, so that every form takes the same bytes of them.

A text is written as glyph numbers; what they mean is said for whoever copies or reads aloud
(ISO 32000-1:2008, 9.7 and 9.10.3).
"""

from functools import cache
from io import BytesIO
from typing import NamedTuple
from zlib import compress

from pikepdf import Array, Dictionary, Name, Object, Pdf

from forms.typeface import font, opened

_KEPT = {"GlyphOrder", "head", "hhea", "maxp", "hmtx", "cmap", "loca", "glyf", "post"}
_SYMBOLIC = 4  # flag of a font descriptor: glyphs are named by their numbers
_AT_ONCE = 100  # most entries of one list in a character map
_NAMES = {False: "Form", True: "Form-Bold"}
_MAP_HEAD = """/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def
/CMapName /Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000> <ffff>
endcodespacerange"""
_MAP_END = """endcmap
CMapName currentdict /CMap defineresource pop
end
end"""


class _Program(NamedTuple):
    """A font file and what a PDF says of it; sizes in thousandths of an em."""

    packed: bytes
    length: int
    widths: tuple[float, ...]
    box: tuple[float, ...]
    ascent: float
    descent: float
    capitals: float
    meanings: bytes


def embedded(pdf: Pdf, bold: bool) -> Object:
    """Put a shipped font into a PDF file."""
    name, program = Name("/" + _NAMES[bold]), _program(bold)
    descendant = Dictionary(
        Type=Name.Font,
        Subtype=Name.CIDFontType2,
        BaseFont=name,
        CIDSystemInfo=Dictionary(Registry="Adobe", Ordering="Identity", Supplement=0),
        FontDescriptor=pdf.make_indirect(_descriptor(pdf, name, program)),
        CIDToGIDMap=Name.Identity,
        W=Array([0, Array(program.widths)]),
    )
    return pdf.make_indirect(
        Dictionary(
            Type=Name.Font,
            Subtype=Name.Type0,
            BaseFont=name,
            Encoding=Name("/Identity-H"),
            DescendantFonts=Array([pdf.make_indirect(descendant)]),
            ToUnicode=pdf.make_stream(program.meanings),
        )
    )


def _descriptor(pdf: Pdf, name: Name, program: _Program) -> Dictionary:
    file = pdf.make_stream(program.packed, Filter=Name.FlateDecode, Length1=program.length)
    return Dictionary(
        Type=Name.FontDescriptor,
        FontName=name,
        Flags=_SYMBOLIC,
        FontBBox=Array(program.box),
        ItalicAngle=0,
        Ascent=program.ascent,
        Descent=program.descent,
        CapHeight=program.capitals,
        StemV=80,
        FontFile2=file,
    )


@cache
def _program(bold: bool) -> _Program:
    whole = font(bold)
    share = 1000 / whole["head"].unitsPerEm
    head, order = whole["head"], whole.getGlyphOrder()
    file = _file(bold)
    return _Program(
        compress(file, 9),
        len(file),
        tuple(round(whole["hmtx"][name][0] * share, 3) for name in order),
        tuple(round(side * share) for side in (head.xMin, head.yMin, head.xMax, head.yMax)),
        round(whole["hhea"].ascent * share),
        round(whole["hhea"].descent * share),
        round(whole["OS/2"].sCapHeight * share),
        _meanings(bold),
    )


def _file(bold: bool) -> bytes:
    """Save the font without what only layout engines need."""
    bare = opened(bold)
    for table in set(bare.keys()) - _KEPT:
        del bare[table]
    bare.flavor, bare["post"].formatType = None, 3.0  # 3: no names of glyphs
    with BytesIO() as written:
        bare.save(written)
        return written.getvalue()


def _meanings(bold: bool) -> bytes:
    """Character map from glyph numbers to what they mean."""
    whole = font(bold)
    meant = {whole.getGlyphID(name): code for code, name in reversed(whole.getBestCmap().items())}
    pairs = [f"<{glyph:04x}> <{code:04x}>" for glyph, code in sorted(meant.items())]
    lists = [pairs[first : first + _AT_ONCE] for first in range(0, len(pairs), _AT_ONCE)]
    written = (f"{len(part)} beginbfchar\n" + "\n".join(part) + "\nendbfchar" for part in lists)
    return "\n".join((_MAP_HEAD, *written, _MAP_END)).encode()
