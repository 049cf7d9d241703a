"""Make a shipped font from its source: the characters that forms print.

Layout features are left out: text is set without kerning, so that its width is the sum of its
glyphs' advances.

Usage: python make.py SOURCE.ttf RESULT.woff2
"""

import sys

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

CHARACTERS = (
    *(range(0x20, 0x7F), range(0xA0, 0x180)),  # Latin
    *((0x192, 0x2C6, 0x2DC), (0x394, 0x3A9), (0x3B1, 0x3B2, 0x3BC, 0x3C0, 0x3C3)),  # a few Greek
    *((0x2007, 0x2009), range(0x2010, 0x2016), range(0x2018, 0x201F), range(0x2020, 0x2023)),
    *((0x2026, 0x202F, 0x2030, 0x2032, 0x2033, 0x2039, 0x203A, 0x2044), (0x2070,)),
    *(range(0x2074, 0x207A), range(0x2080, 0x208A), (0x20AC,)),  # superscripts, subscripts
    *(range(0x2190, 0x219A), (0x21BA, 0x21BB)),  # arrows
    *((0x2202, 0x2205, 0x2211, 0x2212, 0x221A, 0x221E, 0x2248, 0x2260, 0x2264, 0x2265, 0x2300),),
    *((0x25A0, 0x25A1, 0x25B2, 0x25B3, 0x25B6, 0x25B7, 0x25BC, 0x25BD, 0x25C0, 0x25C1),),
    *((0x25CB, 0x25CF, 0x2610, 0x2611, 0x2612, 0x26A0, 0x2713, 0x2717),),
)


def make(source: str, result: str) -> None:
    """Write the font ``result`` from ``source``."""
    font = TTFont(source, recalcTimestamp=False)
    options = Options(layout_features=[], hinting=False, notdef_outline=True)
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=[code for group in CHARACTERS for code in group])
    subsetter.subset(font)
    font.flavor = "woff2"
    font.save(result)


if __name__ == "__main__":
    make(*sys.argv[1:3])
