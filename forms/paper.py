"""The papers, and where on them a form may stand: sheets and the cards cut from them. In mm."""

from enum import Enum
from typing import NamedTuple

from forms.field import Box

RIM = 2.0  # white around a fiducial; narrower rims are found less surely
HEADER_BOTTOM = 41.0  # of a sheet


class Measures(NamedTuple):
    """A paper [mm].

    ``margin`` is how near to the edge printers reach, ``mark`` the side of a fiducial's black
    square; ``code`` the upper left corner of the QR code, in whole dots of 600 dpi, its quiet zone
    beside the corner fiducial; ``top`` where the body begins, ``foot`` what is kept below it.
    """

    width: float
    height: float
    margin: float
    mark: float
    code: tuple[float, float]
    top: float
    foot: float = 0.0


def _sheet(width: float, height: float) -> Measures:
    return Measures(width, height, 8.0, 10.0, (22.098, 9.017), HEADER_BOTTOM)


def _card(width: float, height: float) -> Measures:
    return Measures(width, height, 5.0, 8.0, (19.304, 5.08), 30.5, 4.5)


class Format(Enum):
    """What sheets and cards have in common."""

    _value_: Measures

    @property
    def width(self) -> float:
        """Width as it is held [mm]."""
        return self._value_.width

    @property
    def height(self) -> float:
        """Height as it is held [mm]."""
        return self._value_.height

    @property
    def margin(self) -> float:
        """Nothing is printed nearer to the edge: printers clip there [mm]."""
        return self._value_.margin

    @property
    def mark(self) -> float:
        """Side of a fiducial's black square [mm]."""
        return self._value_.mark

    @property
    def code(self) -> tuple[float, float]:
        """Upper left corner of the QR code's modules [mm]."""
        return self._value_.code

    @property
    def inset(self) -> float:
        """From the edge to the body, past fiducial and rim [mm]."""
        return self.margin + self.mark + RIM

    @property
    def body(self) -> Box:
        """Where blocks are placed: inside the fiducials, below the header [mm]."""
        top, foot = self._value_.top, self.inset + self._value_.foot
        width, height = self.width - 2 * self.inset, self.height - top - foot
        return Box(self.inset, top, round(width, 3), round(height, 3))


class Card(Format):
    """Postcards: a quarter of a sheet that lies on its side.

    References
    ----------
    A6: ISO 216:2007, table 1. Quarter letter: 5.5 × 4.25 in of 25.4 mm.
    """

    A6 = _card(148.0, 105.0)
    QUARTER = _card(139.7, 107.95)


class Paper(Format):
    """Sheets, held upright.

    References
    ----------
    A4: ISO 216:2007, table 1. Letter: ANSI/ASME Y14.1, 8.5 × 11 in of 25.4 mm.
    Punch: A4 by ISO 838:1974; letter 2 3/4 in, common practice, no source.
    """

    A4 = _sheet(210.0, 297.0)
    LETTER = _sheet(215.9, 279.4)

    @property
    def punch(self) -> float:
        """Distance of the centres of two punch holes [mm]."""
        return {Paper.A4: 80.0, Paper.LETTER: 69.85}[self]

    @property
    def card(self) -> Card:
        """The card of which four make this sheet."""
        return {Paper.A4: Card.A6, Paper.LETTER: Card.QUARTER}[self]


FORMATS: tuple[Format, ...] = (*Paper, *Card)
