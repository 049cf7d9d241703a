"""The two papers, and where on them a form may stand. Everything in millimetres."""

from enum import Enum

from forms.field import Box

MARGIN = 8.0  # nothing is printed nearer to the edge: office printers clip there
MARK = 10.0  # side of a fiducial's black square
RIM = 2.0  # white around it; narrower rims are found less surely
INSET = MARGIN + MARK + RIM  # from the paper's edge to the body
HEADER_BOTTOM = 41.0


class Paper(Enum):
    """Sheet sizes: width, height [mm], and the distance of two punch holes' centres [mm].

    References
    ----------
    A4: ISO 216:2007, table 1. Letter: ANSI/ASME Y14.1, 8.5 × 11 in of 25.4 mm.
    Punch: A4 by ISO 838:1974; letter 2 3/4 in, common practice, no source.
    """

    A4 = (210.0, 297.0, 80.0)
    LETTER = (215.9, 279.4, 69.85)

    @property
    def width(self) -> float:
        """Width upright [mm]."""
        return self.value[0]

    @property
    def height(self) -> float:
        """Height upright [mm]."""
        return self.value[1]

    @property
    def punch(self) -> float:
        """Distance of the centres of two punch holes [mm]."""
        return self.value[2]

    @property
    def body(self) -> Box:
        """Where blocks are placed: inside the fiducials, below the header [mm]."""
        return Box(
            INSET,
            HEADER_BOTTOM,
            round(self.width - 2 * INSET, 3),
            round(self.height - INSET - HEADER_BOTTOM, 3),
        )
