"""The back of the card: what it is for, what happens with its photo, how to treat the table."""

from forms.form import Block
from forms.typeface import line_mm, width_mm
from passport.table import Table
from passport.visits.ink import SMALL, Ink, caution, label, paragraph

_GAP = 4.0  # [mm] between the columns
_TITLE = 9.0  # [pt]

WHAT = (
    "A look once a month, two minutes, no tools: so the office sees early what the table needs. "
    "Level, feet and nuts are left alone."
)
PHOTO = (
    "Mark the front. Lay the card by itself on a dark plain ground, take a photo with all its "
    "black squares in view and send it to {office}."
)
KEPT = (
    "A computer at the office reads the marks. Photo and marks stay with this table’s records, to "
    "look after it and for nothing else. No names or people in it. We ask if something is unclear."
)
NEVER = (
    "Never lift, move, jack or lean on the table, never undo a nut or foot. No climbing, sitting "
    "or crawling under it, above all by children. Fingers off the board’s end and the gutter "
    "during play. Wax on the floor is very slippery: sweep it up. Sprays and wax locked away from "
    "children and heat."
)
KEEP = (
    "Wipe spills at once, dry. Nothing hot, wet or heavy on the board; no heater, sun or vent "
    "straight at it; the room’s air as even as you can."
)


def _office(table: Table, column: float) -> str:
    """Say where a photo is sent: by what is set, else to the one that gave the card.

    An address that is wider than the column [mm] can't be printed whole, so it is not printed.
    """
    email = table.office_email or ""
    ways = [f"telephone {table.office_phone}"] if table.office_phone else []
    ways += [f"e-mail {email}"] if email and width_mm(f"{email}.", SMALL) < column else []
    return f"the office, {' or '.join(ways)}" if ways else "the office that printed this card"


def back(table: Table, width: float) -> Block:
    """Fill the back of a card, two columns in a width [mm]."""
    column = (width - _GAP) / 2
    left = (("What it is for", WHAT), ("The photo", PHOTO.format(office=_office(table, column))),
            ("What happens with it", KEPT))  # fmt: skip
    right = (("At the table", NEVER), ("Keep it well", KEEP))
    one, other = (_column(parts, x, column) for parts, x in ((left, 0.0), (right, column + _GAP)))
    high = max(one[1], other[1])
    return (one[0] + other[0]).block("back", high, new_page=True)


def _column(parts: tuple[tuple[str, str], ...], x: float, width: float) -> tuple[Ink, float]:
    """Stack titles and texts; give them and how far down they reach [mm]."""
    ink, y = Ink(), 0.4
    for title, text in parts:
        ink += label(x, y, title, _TITLE, bold=True)
        y += line_mm(_TITLE) + 0.4
        said = caution(x, y, width, text) if text is NEVER else paragraph(x, y, width, text)
        ink, y = ink + said.ink, y + said.height + 1.1
    return ink, y
