"""Texts and strokes on paper: broken into lines, measured, moved, held inside their area."""

from collections.abc import Iterable
from dataclasses import replace

from forms.field import Box
from forms.form import Stroke, Text
from forms.misfits import DrawingOutside, TextOutside, beyond
from forms.path import extent, moved_path
from forms.typeface import line_mm, width_mm, wrap

SLACK = 0.005  # [mm] for sums of decimals
_SHARE = {"left": 0.0, "center": 0.5, "right": 1.0}


def broken(text: Text) -> Text:
    """Break a text into the lines that its width allows."""
    if text.width is None:
        return text
    lines = wrap(text.text, text.width, text.size_pt, bold=text.bold)
    return replace(text, text="\n".join(lines), width=None)


def text_box(text: Text) -> Box:
    """Rectangle of a text that is broken into lines [mm]."""
    lines = text.text.split("\n")
    width = max(width_mm(line, text.size_pt, bold=text.bold) for line in lines)
    height = len(lines) * line_mm(text.size_pt)
    return Box(text.x - width * _SHARE[text.align], text.y, width, height)


def left_end(text: Text, line: str) -> float:
    """Where one of a text's lines begins, as the text is aligned [mm]."""
    share = _SHARE[text.align]
    return text.x - share * width_mm(line, text.size_pt, bold=text.bold) if share else text.x


def stroke_box(stroke: Stroke) -> Box:
    """Rectangle around a stroke's path, not counting half its width [mm]."""
    left, top, right, bottom = extent(stroke.path)
    return Box(left, top, right - left, bottom - top)


def fitted(text: Text, area: Box, place: str) -> Text:
    """Break a text that is drawn from an area's top left corner, and put it on the page.

    Raises
    ------
    TextOutside
        It would leave the area; or one of its words the text's own width.
    """
    lines = broken(text)
    box = text_box(lines)
    if text.width is not None and box.width > text.width + SLACK:
        excess = box.width - text.width
        raise TextOutside(place, text.text, f"{excess:.2f} mm beyond its own width")
    over = beyond(box, area.width, area.height, SLACK)
    if over:
        raise TextOutside(place, text.text, over)
    return replace(lines, x=lines.x + area.x, y=lines.y + area.y)


def fitted_strokes(strokes: Iterable[Stroke], area: Box, place: str) -> tuple[Stroke, ...]:
    """Put strokes that are drawn from an area's top left corner on the page.

    Raises
    ------
    DrawingOutside
        One would leave the area.
    """
    return tuple(_fitted_stroke(stroke, area, place) for stroke in strokes)


def _fitted_stroke(stroke: Stroke, area: Box, place: str) -> Stroke:
    over = beyond(stroke_box(stroke), area.width, area.height, SLACK)
    if over:
        raise DrawingOutside(place, stroke.path, over)
    return replace(stroke, path=moved_path(stroke.path, area.x, area.y))
