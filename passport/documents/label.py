"""The label at end A: code, table number, care address, on common label sheets or alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from functools import cache

from forms.numbers import grouped
from passport.documents import house
from passport.documents.codes import code_svg
from passport.documents.errors import NoLabels, StartOutsideSheet

TALL_MM = 60.0  # a label as high as this has a line below its code
CODE_SIDE_MM = 40.0  # wished for; the module is rounded down to whole printer dots


@dataclass(frozen=True)
class Geometry:
    """Where labels lie on a sheet, in millimetres.

    ``left`` and ``top`` are the first label's corner, ``step_x`` and ``step_y`` the distance from
    one label's corner to the next.
    """

    sheet_width: float
    sheet_height: float
    columns: int
    rows: int
    width: float
    height: float
    left: float
    top: float
    step_x: float
    step_y: float

    @property
    def name_most(self) -> int:
        """Characters of a table's name that a label has room for."""
        return 72 if self.height >= TALL_MM else 40

    @property
    def places(self) -> int:
        """Labels on a sheet."""
        return self.columns * self.rows

    def corner(self, place: int) -> tuple[float, float]:
        """Upper left corner [mm] of a place, counted from 1 along the rows."""
        row, column = divmod(place - 1, self.columns)
        return self.left + column * self.step_x, self.top + row * self.step_y


class LabelSheet(Enum):
    """Label sheets in common use (sizes in common use, no source), and one label by itself.

    A4: 99.1 × 67.7 mm, two by four, and 99.1 × 57 mm, two by five. Letter: 4 × 3 1/3 in, two by
    three, and 4 × 2 in, two by five. Single: a page of 100 × 68 mm for label printers and for
    cutting.
    """

    A4_8 = Geometry(210.0, 297.0, 2, 4, 99.1, 67.7, 4.65, 13.1, 101.6, 67.7)
    A4_10 = Geometry(210.0, 297.0, 2, 5, 99.1, 57.0, 4.65, 6.0, 101.6, 57.0)
    LETTER_6 = Geometry(215.9, 279.4, 2, 3, 101.6, 84.667, 3.969, 12.7, 106.362, 84.667)
    LETTER_10 = Geometry(215.9, 279.4, 2, 5, 101.6, 50.8, 3.969, 12.7, 106.362, 50.8)
    SINGLE = Geometry(100.0, 68.0, 1, 1, 100.0, 68.0, 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Label:
    """What stands on one label: number and name of the table, text of its code, office."""

    number: str
    name: str
    code: str
    address: str | None = None
    phone: str | None = None


def label_pdf(
    labels: Sequence[Label], sheet: LabelSheet, printed: datetime, *, start: int = 1
) -> bytes:
    """Print labels on label sheets.

    Parameters
    ----------
    labels : sequence of Label
        One for each place; repeat one for copies.
    sheet : LabelSheet
        Where labels lie.
    printed : datetime
        The clock; the same labels and clock give the same bytes.
    start : int
        First place to use, from 1 along the rows, so that a started sheet can be used up.

    Raises
    ------
    NoLabels
        Nothing to print.
    StartOutsideSheet
        The sheet has no such place.
    """
    geometry = sheet.value
    if not labels:
        raise NoLabels()
    if not 1 <= start <= geometry.places:
        raise StartOutsideSheet(start, geometry.places)
    return house.pdf(
        "label.html",
        printed,
        title="Labels: " + ", ".join(dict.fromkeys(grouped(label.number) for label in labels)),
        geometry=geometry,
        gutter_bar=_gutter_bar() if geometry.columns > 1 else None,
        sheets=_sheets(labels, geometry, start),
    )


@cache
def _gutter_bar() -> str:
    """Draw a bar of 100 mm that fits between the columns of labels."""
    ticks = "".join(f"M0.5 {7 + mark}H1.7" for mark in range(0, 101, 10))
    bar = f'<path fill="none" stroke="#000" stroke-width="0.2" d="M1.1 7V107{ticks}"/>'
    said = house.svg_text(0.0, 0.0, 7.0, "100 mm", "start")
    turned = f'<g transform="translate(2 117.5) rotate(-90)">{said}</g>'
    return house.picture(house.svg(2.2, 118.0, bar + turned))


@dataclass(frozen=True)
class _Placed:
    x: float
    y: float
    label: Label
    picture: str


def _sheets(labels: Sequence[Label], geometry: Geometry, start: int) -> list[list[_Placed]]:
    """Labels of each sheet with their corners."""
    sheets: list[list[_Placed]] = []
    for index, label in enumerate(labels, start - 1):
        sheet, place = divmod(index, geometry.places)
        if sheet == len(sheets):
            sheets.append([])
        picture = house.picture(code_svg(label.code, CODE_SIDE_MM))
        sheets[sheet].append(_Placed(*geometry.corner(place + 1), label, picture))
    return sheets
