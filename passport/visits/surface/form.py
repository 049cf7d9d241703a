"""The form of a visit for surface care: area, steps, what was used, notes; one page."""

from collections.abc import Sequence
from datetime import date

from forms.field import Box, Note
from forms.form import HEADER_DRAWING_MM, Block, Form
from forms.numbers import grouped
from passport.drawing import draw
from passport.table import Table
from passport.visit import Visit
from passport.visits.foot import foot
from passport.visits.grid import PITCH, choice
from passport.visits.ink import BESIDE, WIDTH, Ink, caution, label, paragraph, section
from passport.visits.kind import NOTHING_OPEN, LookFirst
from passport.visits.service import closing, opening

KIND = "surface"
USED = "used.text"
GLIDE = {"before": "glide.before", "after": "glide.after"}
GLIDES: dict[int | str, str] = {"even": "even", "slow": "slow in places", "stops": "sticks"}
USED_HOW = (
    "Copy from each container, as printed there: name, batch and hazard statements. Container "
    "without a readable label: don’t use it."
)
GLIDE_HOW = (
    "One weight pushed along each lane, from both ends, before cleaning and after the last wax. "
    "Nobody at the far end with hands on the board or in the gutter. Let what was sprayed dry "
    "first: a wet film slides otherwise."
)
LEVEL = "Nothing is turned on this visit: no nut, no foot. If the board looks out, say so in notes."


def form(
    table: Table,
    *,
    printed_on: date,
    last_visit: Visit | None,
    technicians: Sequence[str],
    look_first: LookFirst = NOTHING_OPEN,
) -> Form:
    """Draw up the surface care form of a table; see ``MakesForm``."""
    drawing = draw(table, *HEADER_DRAWING_MM)
    blocks = (
        _area(),
        _glides(),
        closing.surface(),
        _used(),
        closing.notes(technicians),
        closing.who(printed_on, technicians),
    )
    return Form(
        KIND,
        "Surface care",
        table.number,
        (f"{table.name}, {table.site}", f"Table {grouped(table.number)}"),
        blocks,
        foot("", printed_on),
        drawing.strokes,
        drawing.texts,
    )


def _area() -> Block:
    care = caution(0, 0.3, WIDTH / 2 - 4, opening.AREA)
    said = paragraph(WIDTH / 2 + 4, 0.3, WIDTH / 2 - 4, LEVEL)
    return (care.ink + said.ink).block("area", max(care.height, said.height) + 1.6)


def _glides() -> Block:
    head = section("Glide", GLIDE_HOW)
    ink, row = head.ink, head.height - 0.4
    for index, (when, field) in enumerate(GLIDE.items()):
        y = row + index * PITCH
        places = [(BESIDE + 16.0 + n * 34.0, y) for n in range(len(GLIDES))]
        ink += label(BESIDE, y + 2.2, when, bold=True)
        ink += choice(field, f"Glide {when}", GLIDES, places)
    return ink.block("glide", row + 2 * PITCH + 0.6)


def _used() -> Block:
    head = section("Used", USED_HOW)
    box = Box(BESIDE, head.height, WIDTH - BESIDE, 26.0)
    note = Ink(fields=(Note(USED, "What was used", box),))
    return (head.ink + note).block("used", head.height + 27.4)
