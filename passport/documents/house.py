"""The look that all documents share, and how they become PDF.

Quiet, black on white, the forms' own typeface. Templates escape every value; nothing is fetched
while printing.
"""

import re
from base64 import b64encode
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache, cached_property
from hashlib import sha256
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from forms.form import Stroke, Text
from forms.numbers import grouped
from forms.pdf import laid_out, pdf_date
from forms.typeface import FAMILY, MM_PER_PT, NO_BREAK, tied
from passport.climate.air import AirReading
from passport.documents import wording
from passport.drawing import Drawing
from passport.leveling.advice import Advice, StationState
from passport.leveling.advise import state_at
from passport.leveling.seasons import SeasonCourse, season_course
from passport.leveling.standing import Passed, Standing, passed
from passport.leveling.walks import Moment
from passport.table import Table
from passport.visit import Visit

if TYPE_CHECKING:
    from forms.engine import LaidOut

TEMPLATES = Path(__file__).parent / "templates"
FAMILIES = f"{FAMILY}, sans-serif"  # a picture on a screen has no shipped font at hand
_ONE_THING = re.compile(r"\b(left|right|ends) (?=high\b)|\b(from) (?=[AB]\b)")
_PAIRED = re.compile(r"\b(\w+(?:[-/]\w+)+)\b")
HEAD_SYMBOLS = 8  # of the record's head hash, printed to be compared by eye


@dataclass(frozen=True)
class Story:
    """All that the documents say of one table.

    Attributes
    ----------
    visits : tuple of Visit
        In the order of their dates.
    advice : Advice
        After the newest visit; its state is what that visit left.
    head : str
        Head hash of the record, hexadecimal.
    code : str
        Text of the table's QR code, see ``codes.care_code_text``.
    former : Advice or None
        After an earlier visit; what differs from it is marked.
    phone : str or None
        The office's telephone.
    stopped_by : str or None
        A paper beside the visits that forbids the table's use since: its kind and date.
    since : date or None
        Date of the passport that this one replaces; None where the visit before is meant.
    today : date or None
        The day on which it is told; without it nothing is said of the seasons to come.
    air : tuple of AirReading
        Air of the room between the visits.
    standing : Standing or None
        How the table stands, where that was worked out already.
    """

    table: Table
    visits: tuple[Visit, ...]
    advice: Advice
    head: str
    code: str
    former: Advice | None = None
    phone: str | None = None
    stopped_by: str | None = None
    since: date | None = None
    today: date | None = None
    air: tuple[AirReading, ...] = ()
    standing: Standing | None = None

    @cached_property
    def found(self) -> tuple[StationState, ...]:
        """What the newest visit found before anything was turned."""
        if self.standing is not None:
            return self.standing.found
        return state_at(self.table, self.visits[-1], Moment.FOUND) if self.visits else ()

    @cached_property
    def passed(self) -> tuple[Passed, ...]:
        """What the newest visits found and left."""
        if self.standing is not None:
            return self.standing.passed
        return passed(self.table, self.visits)

    @cached_property
    def season(self) -> SeasonCourse | None:
        """What was learned of the seasons; None as long as no visit tells of them."""
        if self.today is None:
            return None
        return season_course(self.table, self.visits, self.today, self.air)

    @property
    def before(self) -> Advice | None:
        """What the earlier visit left; None without such a visit."""
        return self.former if self.former and self.former.as_of else None

    def is_new(self, visit: Visit) -> bool:
        """Say whether a visit was made after what ``before`` tells of."""
        seen = self.before.as_of if self.before else None
        return seen is not None and (visit.date is None or visit.date > seen)

    @property
    def unsafe(self) -> bool:
        """Whether the newest visit, or a paper since then, forbids the table's use."""
        return self.stopped_by is not None or (bool(self.visits) and self.visits[-1].unsafe)

    @property
    def address(self) -> str | None:
        """Address in the code as people type it; None where the code carries words."""
        scheme, mark, rest = self.code.partition("://")
        host, slash, path = rest.partition("/")
        return f"{scheme.lower()}://{host.lower()}/{path}" if mark and slash else None

    @property
    def short_head(self) -> str:
        """First symbols of the record's head."""
        return self.head[:HEAD_SYMBOLS]


@cache
def environment() -> Environment:
    """Templates of this room: every value is escaped, an unknown one is an error."""
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(wording=wording)
    made.filters.update(
        capitalised=_capitalised,
        css=css_text,
        tel=dialled,
        day=wording.day,
        number=grouped,
        stamp=pdf_date,
        unparted=_unparted,
        month=wording.month,
        named=wording.named,
    )
    return made


def page(template: str, **values: Any) -> str:
    """Fill a template."""
    return environment().get_template(template).render(values)


def pdf(template: str, printed: datetime, **values: Any) -> bytes:
    """Print a template as tagged PDF (PDF/UA-1); nothing is fetched.

    The same values and clock give the same bytes.
    """
    return laid(template, printed, **values).pdf()


def laid(template: str, printed: datetime, **values: Any) -> "LaidOut":
    """Lay out a template on its pages, without writing its file yet."""
    text = page(template, printed=printed, check_bar=_check_bar(), **values)
    text = _ONE_THING.sub(lambda one: one[0].strip() + NO_BREAK, tied(text))
    return laid_out(text, _style(), sha256(text.encode()).hexdigest()[:32])


@cache
def _check_bar() -> str:
    """Draw a bar of 100 mm, upright, that shows whether a printer kept the size."""
    ticks = "".join(
        f"M{4.5 - (3.0 if mark % 50 == 0 else 1.5)} {1 + mark}H4.5" for mark in range(0, 101, 10)
    )
    bar = f'<path fill="none" stroke="#000" stroke-width="0.2" d="M4.5 1V101{ticks}"/>'
    said = svg_text(0.0, 0.0, 7.0, "100 mm", "middle")
    return picture(svg(5.0, 102.0, f'{bar}<g transform="translate(2.9 26) rotate(-90)">{said}</g>'))


@cache
def _style() -> str:
    return (TEMPLATES / "house.css").read_text("utf-8")


def picture(svg: str) -> str:
    """Turn SVG into an address that holds the picture itself."""
    return "data:image/svg+xml;base64," + b64encode(svg.encode()).decode()


def drawing_svg(drawing: Drawing) -> str:
    """Draw a table as SVG in the documents' typeface."""
    shapes = "".join(map(_shape, drawing.strokes)) + "".join(map(_label, drawing.texts))
    return svg(drawing.width, drawing.height, shapes)


def svg(width: float, height: float, shapes: str) -> str:
    """Put shapes that are drawn in millimetres into an SVG."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}">{shapes}</svg>'
    )


def svg_text(x: float, baseline: float, size_pt: float, text: str, anchor: str) -> str:
    """Write text into an SVG that is drawn in millimetres; ``anchor`` as SVG names it."""
    return (
        f'<text x="{x:.2f}" y="{baseline:.2f}" font-family="{FAMILIES}" '
        f'font-size="{size_pt * MM_PER_PT:.4f}" text-anchor="{anchor}">{escape(text)}</text>'
    )


def _shape(stroke: Stroke) -> str:
    fill = "none" if stroke.fill is None else _grey(stroke.fill)
    return (
        f'<path d="{escape(stroke.path)}" fill="{fill}" stroke="{_grey(stroke.grey)}" '
        f'stroke-width="{stroke.width_mm}"/>'
    )


def _label(text: Text) -> str:
    anchor = {"left": "start", "center": "middle", "right": "end"}[text.align]
    size = text.size_pt * MM_PER_PT
    return (
        f'<text x="{text.x}" y="{text.y + size:.3f}" font-family="{FAMILIES}" '
        f'font-size="{size:.4f}" font-weight="{"bold" if text.bold else "normal"}" '
        f'text-anchor="{anchor}" fill="{_grey(text.grey)}">{escape(text.text)}</text>'
    )


def _grey(grey: float) -> str:
    return "#" + f"{round(grey * 255):02x}" * 3


def css_text(text: str) -> Markup:
    """Escape text for a quoted string in a style sheet inside a page (CSS Syntax 3, 4.3.7)."""
    return Markup("".join(c if c.isalnum() or c in " .-" else f"\\{ord(c):x} " for c in text))


def dialled(phone: str) -> str:
    """Reduce a telephone number to what is dialled (RFC 3966): digits and a leading plus."""
    digits = "".join(symbol for symbol in phone if symbol.isdigit())
    return ("+" if phone.strip().startswith("+") else "") + digits


def _unparted(text: str) -> Markup:
    """Escape text and keep look-up, mm/m and the like on one line."""
    return Markup(_PAIRED.sub(r'<span class="one">\1</span>', escape(text)))


def _capitalised(text: str) -> str:
    return text[:1].upper() + text[1:]
