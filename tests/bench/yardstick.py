"""What the layout engine itself takes for the words and boxes of the same pages.

Each text stands absolutely positioned, all shapes of a page are one vector path; fonts and style
sheet are made once, tags are left out. Nothing cheaper can be asked of that engine.
"""

from collections.abc import Sequence
from html import escape

from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration

from forms.drawing import text_box
from forms.form import Text
from forms.marks import code_boxes, mark_boxes, rectangle_path
from forms.place import Placed, Sheet
from forms.typeface import font_css

FONTS = FontConfiguration()
STYLE = CSS(
    string=font_css()
    + """
@page { margin: 0; size: 215.9mm 279.4mm }
html { font-family: "Form"; font-kerning: none; font-variant-ligatures: none }
body { margin: 0 }
section { position: relative; width: 215.9mm; height: 279.4mm; break-after: page; overflow: hidden }
svg { position: absolute; left: 0; top: 0 }
div { position: absolute; white-space: pre; line-height: 1.2 }
""",
    font_config=FONTS,
)


def print_by_engine(placed: Sequence[Placed]) -> bytes:
    """Print letter pages with WeasyPrint alone."""
    body = "".join(_section(sheet) for one in placed for sheet in one.sheets)
    html = f'<!DOCTYPE html><html lang="en"><title>Yardstick</title><body>{body}'
    return bytes(HTML(string=html).write_pdf(stylesheets=[STYLE], font_config=FONTS))


def _section(sheet: Sheet) -> str:
    shapes = f'<path d="{_path(sheet)}" fill="none" stroke="#000" stroke-width="0.25"/>'
    size = 'width="215.9mm" height="279.4mm" viewBox="0 0 215.9 279.4"'
    texts = "".join(_div(text) for text in (sheet.ground.title, *sheet.texts))
    return f"<section><svg {size}>{shapes}</svg>{texts}</section>"


def _path(sheet: Sheet) -> str:
    ground = sheet.ground
    marks = [box for mark in sheet.page.marks for box in mark_boxes(mark)]
    boxes = (*code_boxes(sheet.page.code), *marks, *ground.outlines, *ground.frames)
    return "".join(map(rectangle_path, boxes)) + "".join(one.path for one in ground.strokes)


def _div(text: Text) -> str:
    spot = f"left:{text_box(text).x:.3f}mm;top:{text.y:.3f}mm;text-align:{text.align}"
    look = f"font-size:{text.size_pt}pt;font-weight:{700 if text.bold else 400}"
    return f'<div style="{spot};{look}">{escape(text.text)}</div>'
