"""The service form of the longest invented table, printed once on each printer."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cache
from importlib import resources
from random import Random

from forms.form import Form
from forms.layout import Layout, Page
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from forms.sheet import print_form
from passport.booth.printer import (
    LIGHT_TONER,
    SHIFTED,
    SHRUNK,
    SOUND,
    STREAKED,
    Faults,
    as_printed,
    print_pages,
    px_per_mm,
    worn,
)
from passport.booth.strokes import Picture
from passport.table_file import read_table
from passport.visits import KINDS

PRINTERS = {
    "sound": SOUND,
    "light toner": LIGHT_TONER,
    "shrunk 3 %": SHRUNK,
    "shifted": SHIFTED,
    "streaked": STREAKED,
}
DPI = 300.0


@dataclass(frozen=True)
class Printed:
    """A form on paper: where all of it was meant to stand, its pages' pictures, and its file."""

    layout: Layout
    pictures: tuple[Picture, ...]
    pdf: bytes


@cache
def service_form() -> Printed:
    text = (resources.files("passport") / "invented" / "long.toml").read_text()
    table = read_table(text, "long.toml", "401273456")
    form = KINDS["service"].form(
        table, printed_on=date(2026, 3, 2), last_visit=None, technicians=("AB", "CD", "EF")
    )
    return printed(form, 8)


def printed(form: Form, seed: int) -> Printed:
    """Print a form whose number follows from ``seed``."""
    placed = place(form, Paper.LETTER, FormNumber.new(Random(seed).getrandbits))
    pdf = print_form(placed, datetime(2026, 3, 2, tzinfo=UTC))
    return Printed(placed.layout, print_pages(pdf, DPI), pdf)


def on_paper(form: Printed, page: int, faults: Faults) -> tuple[Page, Picture]:
    """One page, counted from 1, and where everything of it stands on this printer's paper."""
    sound = form.layout.pages[page - 1], form.pictures[page - 1]
    if faults == SOUND:
        return sound
    return as_printed(sound[0], faults), worn(sound[1], faults, px_per_mm(DPI))
