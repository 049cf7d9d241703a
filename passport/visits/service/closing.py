"""How a visit closes: surface, what changed, notes, date, technician, kit, signature."""

from collections.abc import Mapping, Sequence
from datetime import date

from forms.field import Box, Choice, Digits, Note, Option
from forms.form import Block
from forms.typeface import wrap
from passport.table import Table
from passport.visits.grid import BOX, PITCH, choice, column, digit_boxes, digits, square, tick
from passport.visits.ink import (
    BESIDE,
    COUNT,
    SMALL,
    WIDTH,
    Ink,
    caution,
    centred,
    ending,
    label,
    paragraph,
    section,
    together,
)
from passport.visits.service import ids, own_numbers

SURFACE = {
    "cleaned": "cleaned",
    "silicone": "silicone renewed",
    "wax_once": "waxed once",
    "wax_twice": "waxed twice",
    "bare_spots": "bare spots refilled",
    "worn": "worn or patchy",
    "damaged": "dent or crack",
}
CHANGED = {
    "moved": "table moved",
    "floor": "floor changed",
    "climate": "heating or air\nconditioning",
    "spill": "spill",
    "refinished": "refinished",
    "part": "part replaced",
}
PLAYED: Mapping[int | str, str] = {
    "little": "played little",
    "normal": "played normal",
    "heavy": "played heavy",
}
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

SURFACE_HOW = (
    "Clean first. Silicone: a fine mist settling from about 300 mm (12 in), never a jet at the "
    "wood; wipe lightly; wax twice. Renew after two to three months of average use."
)
SURFACE_CARE = (
    "Aerosol and wax: the label and the safety data sheet decide. Air the room; no flame, pilot "
    "light, heater, hot lamp or smoking; not near food or people. Cover the floor and wipe up: "
    "very slippery. Don’t breathe wax dust. Cans away from heat and children."
)
NOT_NOW = (
    "Not part of this visit: lifting or turning board or frame (crew and aids come from the "
    "employer’s lifting assessment; nobody under it, never held up with legs or back), overhead "
    "parts, mains and fixed lights (a licensed electrician). Unplug before moving wires; none "
    "where a nut, foot or edge can crush it."
)
UNSAFE = "Unsafe: close the table, tell the customer now; the office telephones today."
_COLUMNS = 4
_COLUMN = (WIDTH - BESIDE) / _COLUMNS
_NOTE_MM, _LEAST_NOTE_MM = 22.6, 15.4
_MANY = 8  # technicians; more stand in narrower columns


def blocks(table: Table, printed_on: date, technicians: Sequence[str]) -> tuple[Block, ...]:
    """Surface, changes, notes, and who signs when and with what kit."""
    return (
        surface(),
        _changed(),
        notes(technicians),
        _kit(table),
        who(printed_on, technicians),
    )


def _ticks(words: Mapping[str, str], named: str, row: float) -> Ink:
    """Ticks in columns beside the title, line by line."""
    placed = ((key, text, *_cell(index, row)) for index, (key, text) in enumerate(words.items()))
    return together(
        *(tick(f"{named}.{key}", _sentence(text), x, y, text) for key, text, x, y in placed)
    )


def _cell(index: int, row: float) -> tuple[float, float]:
    return BESIDE + index % _COLUMNS * _COLUMN, row + index // _COLUMNS * PITCH


def _sentence(text: str) -> str:
    return (text[0].upper() + text[1:]).replace("\n", " ")


def surface() -> Block:
    """Ask what was done to the surface and how it looks."""
    head = section("Surface", SURFACE_HOW, SURFACE_CARE)
    row = head.height - 0.6
    ink = head.ink + _ticks(SURFACE, ids.SURFACE, row)
    return ink.block("surface", row + 2 * PITCH + 0.2)


def _changed() -> Block:
    """Ask what changed and how much was played; say what this visit must not try."""
    row = -0.2
    ink = section("Changed", "").ink + label(0, 5.6, "since last visit", SMALL)
    ink += _ticks(CHANGED, ids.CHANGED, row)
    places = [_cell(index, row + 2 * PITCH) for index in range(len(PLAYED))]
    ink += choice(ids.PLAYED, "Played since the last visit", PLAYED, places)
    care = caution(BESIDE, row + 3 * PITCH + 0.2, WIDTH - BESIDE, NOT_NOW)
    return (ink + care.ink).block("changed", row + 3 * PITCH + care.height + 1.0)


def _lines(technicians: Sequence[str]) -> int:
    return max(1, -(-len(technicians) // _abreast(technicians)))


def _abreast(technicians: Sequence[str]) -> int:
    return _COLUMNS if len(technicians) <= _MANY else 6


def notes(technicians: Sequence[str]) -> Block:
    """Leave room for notes, less below a long list of technicians."""
    ink = section("Notes", "").ink + paragraph(0, PITCH + 1.0, BESIDE - 4.0, UNSAFE).ink
    for field_id, words, x in (
        (ids.UNSAFE, "UNSAFE, do not use", BESIDE),
        (ids.OFFICE_MUST_READ, "Office must read", BESIDE + 2 * _COLUMN),
    ):
        ink += tick(field_id, words, x, 0, words)
    high = max(_LEAST_NOTE_MM, _NOTE_MM - PITCH * max(0, _lines(technicians) - 2))
    box = Box(BESIDE, PITCH + 0.4, WIDTH - BESIDE, round(high, 3))
    return (ink + Ink(fields=(Note(ids.NOTES, "Notes", box),))).block("notes", PITCH + high + 1.3)


def _kit(table: Table) -> Block:
    """Another kit: its card and its bearing length, in the table's unit."""
    metric = table.units == "metric"
    card_unit, unit, high = ("0.001 mm", "mm", 2000) if metric else ("0.0001 in", "in", 99.9)
    cards = digit_boxes(72.0, 0.9, 3)
    bearing = digit_boxes(126.0, 0.9, 4 if metric else 3, 0 if metric else 1)
    card = Digits(ids.OTHER_CARD[table.units], "Other kit, one card", card_unit, cards, 0, 10, 999)
    field_id, decimals = ids.OTHER_BEARING[table.units], 0 if metric else 1
    length = Digits(field_id, "Other kit, bearing length", unit, bearing, decimals, high / 20, high)
    words = "Other kit used:\nlook-ups NOT valid"
    ink = section("Kit", "").ink + tick(ids.OTHER_KIT, "Other kit used", BESIDE, 0.9, words)
    ink += ending(70.6, 3.4, "one card") + digits(card, f"× {card_unit}")
    ink += ending(124.6, 3.4, "bearing") + digits(length, unit)
    if not table.number:  # a spare form knows no kit
        return ink.block("kit", 9.8, keep_with_next=True)
    own = paragraph(BESIDE, 10.1, WIDTH - BESIDE, own_numbers.said(table))
    return (ink + own.ink).block("kit", 10.9 + own.height, keep_with_next=True)


def who(printed_on: date, technicians: Sequence[str]) -> Block:
    """Ask for date, technician and signature."""
    top = 10.4
    y = top + _lines(technicians) * PITCH + 0.4
    box = Box(BESIDE, y, 70.0, 11.0)
    words = "All pages go back to the office, blank ones too; staple and punch where printed."
    ink = section("Visit", "").ink + day(printed_on) + _technicians(technicians, top)
    ink += label(0, top + 2.1, "Technician", SMALL, bold=True)
    ink += label(0, y + 4.0, "Signature", SMALL, bold=True)
    ink += Ink(fields=(Note(ids.SIGNATURE, "Signature", box),))
    ink += paragraph(BESIDE + 74.0, y + 2.4, WIDTH - BESIDE - 74.0, words).ink
    return ink.block("who", y + box.height + 0.6)


def day(printed_on: date) -> Ink:
    """Ask for the day: month by name, day by digits, year printed with the next."""
    row, left = 3.2, BESIDE - 1.2
    boxes = tuple(Option(n + 1, square(column(n, left), row)) for n in range(12))
    names = (centred(column(n, left), row - 2.0, name, SMALL) for n, name in enumerate(MONTHS))
    days = digit_boxes(120.0, row - 0.6, 2)
    later = f"next year\n({printed_on.year + 1})"
    return (
        Ink(fields=(Choice(ids.MONTH, "Month", boxes), Digits(ids.DAY, "Day", "", days, 0, 1, 31)))
        + together(*names)
        + ending(118.4, row + 2.2, "day", SMALL)
        + label(136.2, row + 1.6, str(printed_on.year), COUNT, bold=True)
        + tick(ids.NEXT_YEAR, "Next year", 147.6, row, later)
    )


def _technicians(names: Sequence[str], top: float) -> Ink:
    if not names:
        box = Box(BESIDE, top + 0.4, 70.0, PITCH - 0.8)
        return Ink(fields=(Note(ids.NAME, "Technician’s name", box),))
    abreast = _abreast(names)
    step = (WIDTH - BESIDE) / abreast
    places = [
        (BESIDE + index % abreast * step, top + index // abreast * PITCH)
        for index in range(len(names))
    ]
    words: dict[int | str, str] = {name: _two_lines(name, step) for name in names}
    return choice(ids.TECHNICIAN, "Technician", words, places)


def _two_lines(name: str, step: float) -> str:
    return "\n".join(wrap(name, step - BOX - 2.0, SMALL)[:2])
