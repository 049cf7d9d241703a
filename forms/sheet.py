"""Print placed forms: PDF with one layer of shapes and absolutely placed text on each page."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import NamedTuple

from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from forms.drawing import text_box
from forms.form import Text
from forms.marks import code_path, mark_path, rectangle_path
from forms.misfits import NothingToPrint
from forms.pdf import joined, pdf_date, to_pdf
from forms.place import Placed, Sheet
from forms.rows import rows


class Look(NamedTuple):
    """How a path is printed: grey 0 black to 1 white; filled where it has no line width [mm]."""

    grey: float
    width: float = 0.0


OUTLINE = Look(0.45, 0.25)  # light, so that the reader can tell it from ink
FRAME = Look(0.0, 0.5)
_BLACK = Look(0.0)
BATCH_PAGES = 24  # about 8 MB of memory a page


class _Layer(NamedTuple):
    """Attributes of one SVG path."""

    path: str
    fill: str
    stroke: str
    width: float


def print_form(placed: Placed, printed_at: datetime) -> bytes:
    """Print one form.

    Parameters
    ----------
    placed : Placed
        The form on its pages.
    printed_at : datetime
        Written into the file as its date; the same form and time give the same bytes.

    Returns
    -------
    bytes
        A PDF file.
    """
    return print_forms((placed,), printed_at)


def print_forms(placed: Sequence[Placed], printed_at: datetime) -> bytes:
    """Print several forms one after the other into one file; see ``print_form``.

    More than ``BATCH_PAGES`` are printed in parts that are joined, so that memory stays small
    however many there are; see ``forms.pdf.joined`` for what such a file lacks.

    Raises
    ------
    NothingToPrint
        There is no form.
    """
    if not placed:
        raise NothingToPrint
    parts = _parts(placed)
    if len(parts) == 1:
        return _print_part(parts[0], printed_at)
    printed = (_print_part(part, printed_at) for part in parts)
    return joined(printed, _name(placed), pdf_date(printed_at))


def _parts(placed: Sequence[Placed]) -> list[list[Placed]]:
    parts, pages = [list[Placed]()], 0
    for one in placed:
        if parts[-1] and pages + len(one.sheets) > BATCH_PAGES:
            parts.append([])
            pages = 0
        parts[-1].append(one)
        pages += len(one.sheets)
    return parts


def _print_part(placed: Sequence[Placed], printed_at: datetime) -> bytes:
    sheets = [_sheet_data(one, sheet) for one in placed for sheet in one.sheets]
    html = _template().render(
        sheets=sheets, name=_name(placed), looks=_looks(placed), printed_at=pdf_date(printed_at)
    )
    return to_pdf(html, _style(), _identifier(placed))


def _name(placed: Sequence[Placed]) -> str:
    return "; ".join(f"{one.form.title} {one.number}" for one in placed)


def _identifier(placed: Sequence[Placed]) -> str:
    numbers = "-".join(one.number.code for one in placed)
    return sha256(numbers.encode()).hexdigest()[:32]


@cache
def _style() -> str:
    return (files("forms") / "templates" / "sheets.css").read_text(encoding="utf-8")


@cache
def _template() -> Template:
    loader = PackageLoader("forms", "templates")
    environment = Environment(autoescape=True, undefined=StrictUndefined, loader=loader)
    return environment.get_template("sheets.html")


def _sheet_data(placed: Placed, sheet: Sheet) -> dict[str, object]:
    runs = [_text_data("p", text) for text in rows(sheet.texts)]
    return {
        "paper": placed.paper.name.lower(),
        "width": sheet.page.width,
        "height": sheet.page.height,
        "alt": f"Boxes, drawing and code of page {sheet.page.page}",
        "layers": _layers(sheet),
        "texts": [_text_data("h1", sheet.title), *runs],
    }


def _text_data(tag: str, text: Text) -> dict[str, str]:
    return {"tag": tag, "look": _look_name(text), "style": _spot(text), "text": text.text}


def _spot(text: Text) -> str:
    """Where a text begins; a width only where lines are set below each other by it."""
    if text.align == "left":
        return f"left:{text.x:.3f}mm;top:{text.y:.3f}mm"
    box = text_box(text)
    spot = f"left:{box.x:.3f}mm;top:{box.y:.3f}mm"
    return f"{spot};width:{box.width:.3f}mm;text-align:{text.align}"


def _look_name(text: Text) -> str:
    size, grey = round(100 * text.size_pt), round(100 * text.grey)
    return f"s{size}g{grey}" + ("b" if text.bold else "")


def _looks(placed: Sequence[Placed]) -> dict[str, str]:
    """Style of each look that texts have: one rule for hundreds of texts."""
    texts = (text for one in placed for sheet in one.sheets for text in (sheet.title, *sheet.texts))
    return {
        _look_name(text): f"font-size:{text.size_pt}pt;color:{_colour(text.grey)};"
        f"font-weight:{700 if text.bold else 400}"
        for text in texts
    }


def _layers(sheet: Sheet) -> list[_Layer]:
    """One path for each look; white and light first, so that black is never covered."""
    paths: dict[Look, list[str]] = {}
    for look, path in _drawn(sheet):
        paths.setdefault(look, []).append(path)
    looks = sorted(paths, key=lambda look: (look.width > 0, -look.grey, look.width))
    return [_layer(look, "".join(paths[look])) for look in looks]


def _layer(look: Look, path: str) -> _Layer:
    colour = _colour(look.grey)
    return (
        _Layer(path, "none", colour, look.width) if look.width else _Layer(path, colour, "none", 0)
    )


def _drawn(sheet: Sheet) -> Iterator[tuple[Look, str]]:
    yield _BLACK, code_path(sheet.page.code)
    for mark in sheet.page.marks:
        yield _BLACK, mark_path(mark)
    for box in sheet.outlines:
        yield OUTLINE, rectangle_path(box)
    for box in sheet.frames:
        yield FRAME, rectangle_path(box)
    for stroke in sheet.strokes:
        if stroke.fill is not None:
            yield Look(stroke.fill), stroke.path
        if stroke.width_mm:
            yield Look(stroke.grey, stroke.width_mm), stroke.path


def _colour(grey: float) -> str:
    return f"#{round(255 * grey):02x}" + f"{round(255 * grey):02x}" * 2
