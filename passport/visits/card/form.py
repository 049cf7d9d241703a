"""The card's sheet: a postcard-sized check, and under it how to look after the table."""

from collections.abc import Sequence
from datetime import date

from forms.field import Box, Digits, Note
from forms.form import HEADER_DRAWING_MM, Block, Form
from forms.numbers import grouped
from passport.drawing import draw
from passport.table import Table
from passport.visit import Visit
from passport.visits.grid import PITCH, choice, digit_boxes, digits, tick
from passport.visits.ink import BESIDE, WIDTH, Ink, caution, label, paragraph, section
from passport.visits.kind import NOTHING_OPEN, LookFirst
from passport.visits.service import closing, ids

KIND = "card"
DRIFT, SIDE, NOISE, BARE = "drift", "drift.side", "noise", "bare"
DRIFTS: dict[int | str, str] = {
    "straight": "runs straight",
    "left": "drifts to the left",
    "right": "drifts to the right",
}
NOISES: dict[int | str, str] = {"none": "none", "rattles": "rattles", "cracks": "creaks or cracks"}
PLACES = {"label": "near the label’s end", "middle": "in the middle", "far": "at the far end"}

WHAT = (
    "Once a month, for the people at the table; two minutes, no tools. Stand at the end with the "
    "code label and look along the board: that makes left and right."
)
DRIFT_HOW = (
    "Push a weight gently down the middle, three times. Nobody at the far end with hands on the "
    "board or in the gutter. Which side of the room is that (window, bar, door …)? Write it here:"
)
STOP = (
    "It rocks, cracks, a bolt is loose or a wire is bare: stop playing, keep everybody off it and "
    "call{phone}. Never lift, move, jack or lean on the table; never undo a nut or foot. No "
    "climbing, sitting or crawling under it, above all by children."
)
PHOTO = (
    "Then take a photo of this whole page, flat on a dark plain ground, all its black corner marks "
    "in view, and send it to the office. What happens with the photo: a computer at the office "
    "reads the marks; photo and marks are kept with this table’s records and used to look after "
    "it, for nothing else; if something is unclear, you are asked. No names, no people, no "
    "signature: leave them out of writing and picture."
)
CARE = (
    "Sweep the wax up from the floor: very slippery. Wipe spills at once, dry. Sprays and wax "
    "locked away from children and heat.",
    "Keep the room’s air as even as you can; no heater, sun or vent straight at the board.",
    "Nothing hot, wet or heavy on the board. Fingers off its end and the gutter during play.",
    "Level, feet and nuts are the technician’s: this card asks nothing about them.",
)


def form(
    table: Table,
    *,
    printed_on: date,
    last_visit: Visit | None,
    technicians: Sequence[str],
    look_first: LookFirst = NOTHING_OPEN,
) -> Form:
    """Draw up the check card of a table; nobody's name is on it. See ``MakesForm``."""
    drawing = draw(table, *HEADER_DRAWING_MM)
    return Form(
        KIND,
        "Monthly check card",
        table.number,
        (f"{table.name}, {table.site}", f"Table {grouped(table.number)}"),
        (_stop(table), _drift(), _noise(), _bare(), _air(), _day(printed_on), _photo(), _care()),
        "Mark with a cross or a tick.",
        drawing.strokes,
        drawing.texts,
    )


def _stop(table: Table) -> Block:
    phone = f", telephone {table.office_phone}" if table.office_phone else " the office"
    said = paragraph(0, 0.3, WIDTH, WHAT)
    y = said.height + 1.6
    care = caution(0, y, WIDTH - 46.0, STOP.format(phone=phone))
    words = "We stopped playing"
    stopped = tick(ids.UNSAFE, words, WIDTH - 38.0, y, words)
    return (said.ink + care.ink + stopped).block("stop", y + max(care.height, PITCH) + 2.4)


def _drift() -> Block:
    head = section("Drift", DRIFT_HOW)
    row = head.height
    places = [(BESIDE, row + n * PITCH) for n in range(len(DRIFTS))]
    ink = head.ink + choice(DRIFT, "Where a weight drifts", DRIFTS, places)
    box = Box(BESIDE + 48.0, row + 1.2, WIDTH - BESIDE - 48.0, 3 * PITCH - 2.4)
    ink += Ink(fields=(Note(SIDE, "Side of the room", box),))
    return ink.block("drift", row + 3 * PITCH + 1.0)


def _noise() -> Block:
    places = [(BESIDE + n * 44.0, 0.6) for n in range(len(NOISES))]
    ink = section("Noise", "").ink + choice(NOISE, "Noise from the table", NOISES, places)
    return ink.block("noise", PITCH + 2.0)


def _bare() -> Block:
    ink = section("Bare spots", "").ink
    for index, (key, text) in enumerate(PLACES.items()):
        ink += tick(f"{BARE}.{key}", f"Bare spots {text}", BESIDE + index * 44.0, 0.6, text)
    return ink.block("bare spots", PITCH + 2.0)


def _air() -> Block:
    field = Digits(ids.HUMIDITY, "Relative humidity", "%", digit_boxes(BESIDE, 1.2, 2), 0, 1, 99)
    said = paragraph(BESIDE + 30.0, 3.6, 100.0, "if a hygrometer hangs in the room; else leave it")
    ink = section("Humidity", "").ink + digits(field, "%") + said.ink
    return ink.block("humidity", 11.0)


def _day(printed_on: date) -> Block:
    ink = section("Day", "").ink + closing.day(printed_on)
    return ink.block("day", 11.4)


def _photo() -> Block:
    head = section("Photo", PHOTO)
    return head.ink.block("photo", head.height + 1.0)


def _care() -> Block:
    ink, y = section("Care", "").ink, 1.2
    for text in CARE:
        said = paragraph(BESIDE + 4.0, y, WIDTH - BESIDE - 4.0, text)
        ink += label(BESIDE, y, "–") + said.ink
        y += said.height + 1.0
    return ink.block("care", y + 0.4)
