"""The survey before a delivery: the way in, the room, the floor, who helps; two pages."""

from collections.abc import Mapping, Sequence
from datetime import date

from forms.field import Digits, Tick
from forms.form import HEADER_DRAWING_MM, Block, Form
from forms.numbers import grouped
from passport.drawing import draw
from passport.quantity_text import Units, length_text
from passport.table import Table
from passport.visit import Visit
from passport.visits.foot import SIDES, foot
from passport.visits.grid import (
    PITCH,
    choice,
    column,
    digit_boxes,
    digits,
    row_name,
    square,
    tick,
)
from passport.visits.ink import BESIDE, SMALL, WIDTH, Ink, centred, label, section, together
from passport.visits.kind import NOTHING_OPEN, LookFirst
from passport.visits.service import closing, opening
from passport.visits.survey import ids
from passport.visits.survey.passage import SIZES

KIND = "survey"
ROW = 12.6  # [mm] a line of sizes with their names above
_STEP = 47.5
WAY = (
    "Clear sizes between the narrowest points: handles, rails, lamps. Corners in the order they "
    "come. What is not on the way stays empty. Hook the tape, read to {step}. Stair: half a turn "
    "on a landing. Never carry a trial piece alone."
)
FLOOR = (
    "At each future foot: how far the floor lies BELOW its highest place there, by a line laser or "
    "a long level. Don’t look into the beam or its reflection, below eye height, class as on its "
    "label."
)
LOAD = (
    "Floor soft, springy, cracked, over a cellar or in doubt: tick it. A qualified person decides "
    "on the load before delivery; until then nothing is delivered."
)
POWER = (
    "Mains and fixed lights: a licensed electrician only. No wire where a foot or edge crushes it."
)
HELP = (
    "Crew and aids come from the employer’s lifting assessment; guests and passers-by don’t lift. "
    "Aid or helper missing: stop."
)


def form(
    table: Table,
    *,
    printed_on: date,
    last_visit: Visit | None,
    technicians: Sequence[str],
    look_first: LookFirst = NOTHING_OPEN,
) -> Form:
    """Draw up the delivery survey of a table; see ``MakesForm``."""
    drawing, board, units = draw(table, *HEADER_DRAWING_MM), table.board, Units(table.units)
    sizes = [length_text(mm, units) for mm in (board.length_mm, board.width_mm, board.thickness_mm)]
    blocks = (
        _way(table.units),
        _air_and_run_up(table),
        _seen(),
        _months(),
        _floor(table),
        _power(),
        _help(),
        closing.notes(technicians),
        closing.who(printed_on, technicians),
    )
    return Form(
        KIND,
        "Delivery survey",
        table.number,
        (
            f"{table.name}, {table.site}",
            f"Table {grouped(table.number)}",
            f"Board in one piece: {_sizes(sizes)}",
        ),
        blocks,
        foot(SIDES, printed_on),
        drawing.strokes,
        drawing.texts,
    )


def _tape(units: str, field_id: str, name: str, place: tuple[float, float]) -> Ink:
    """Boxes for one size read off a tape."""
    unit, decimals, high = ("mm", 0, 9999) if units == "metric" else ("in", 1, 999.9)
    boxes = digit_boxes(*place, 4, decimals)
    return digits(Digits(field_id, name, unit, boxes, decimals, 1, high), unit)


def _way(units: str) -> Block:
    step = "5 mm" if units == "metric" else "1/4 in (.2, .5, .7)"
    head = section("Way in", WAY.format(step=step))
    ink, y = head.ink, head.height + 0.8
    for place, names in SIZES.items():
        ink += label(0, y + 6.0, place.value, SMALL, bold=True)
        for index, name in enumerate(names):
            x = BESIDE + index % 3 * _STEP
            top = y + index // 3 * ROW
            field = ids.size(place, index, units)
            ink += label(x, top, name) + _tape(
                units, field, f"{_sentence(place.value)}, {name}", (x, top + 3.6)
            )
        y += ROW * -(-len(names) // 3)
    return ink.block("way in", y + 0.6)


def _air_and_run_up(table: Table) -> Block:
    ink = section("Room", "").ink + label(BESIDE, 1.2, "clear floor beyond the board")
    for index, (end, field) in enumerate(ids.RUN_UP.items()):
        x = BESIDE + index * 44.0
        ink += label(x, 5.6, f"at end {end}")
        ink += _tape(table.units, field, f"Run-up at end {end}", (x, 8.8))
    return (ink + opening.air(table).moved(WIDTH - 52.0, 0)).block("room", 18.2)


def _ticks(words: Mapping[str, str], named: str, row: float) -> Ink:
    """Ticks beside the title, four a line."""
    step = (WIDTH - BESIDE) / 4
    return together(
        *(
            tick(
                f"{named}.{key}",
                _sentence(text),
                BESIDE + index % 4 * step,
                row + index // 4 * PITCH,
                text,
            )
            for index, (key, text) in enumerate(words.items())
        )
    )


def _seen() -> Block:
    ink = section("Near it", "").ink + _ticks(ids.SEEN, ids.ROOM, 0.4)
    return ink.block("near it", 2 * PITCH + 1.4)


def _months() -> Block:
    ink = section("Months", "").ink
    left = BESIDE + 12.0
    ink += together(*(centred(column(n, left), 1.0, name) for n, name in enumerate(closing.MONTHS)))
    for index, (season, words) in enumerate(ids.SEASONS.items()):
        row = 3.4 + index * PITCH
        ink += row_name(row, words, left - 1.0)
        for number, name in enumerate(closing.MONTHS, start=1):
            box = square(column(number - 1, left), row)
            field = Tick(ids.month(season, number), f"{name} is {words}", box)
            ink += Ink(fields=(field,))
    return ink.block("months", 3.4 + 2 * PITCH + 1.0)


def _floor(table: Table) -> Block:
    head = section("Floor", FLOOR, LOAD)
    row = head.height
    step = (WIDTH - BESIDE) / 5
    places = [(BESIDE + n * step, row) for n in range(len(ids.FLOORS))]
    ink = head.ink + choice(ids.FLOOR, "Floor", ids.FLOORS, places)
    ink += tick(ids.DOUBTFUL, "Load in doubt", BESIDE + 4 * step, row, "LOAD IN DOUBT")
    y = row + PITCH + 4.0
    for index, leg in enumerate(table.legs):
        x, top = BESIDE + index % 2 * 72.0, y + index // 2 * 9.4
        ink += label(x, top + 2.4, leg.name, 9.0, bold=True)
        for side, dx in (("left", 7.0), ("right", 38.0)):
            ink += _below(table.units, (leg.name, side), (x + dx, top))
    for n in range(min(2, len(table.legs))):
        ink += label(BESIDE + n * 72.0 + 7.0, y - 3.2, "left foot")
        ink += label(BESIDE + n * 72.0 + 38.0, y - 3.2, "right foot")
    return ink.block("floor", y + 9.4 * -(-len(table.legs) // 2) + 0.4)


def _below(units: str, foot: tuple[str, str], place: tuple[float, float]) -> Ink:
    unit, decimals, high = ("mm", 0, 99) if units == "metric" else ("in", 1, 9.9)
    boxes = digit_boxes(*place, 2, decimals)
    name = f"Floor below its highest, {foot[0]} {foot[1]}"
    return digits(Digits(ids.below(*foot, units), name, unit, boxes, decimals, 0, high), unit)


def _power() -> Block:
    head = section("Sockets", "Who looked at the sockets and lights that the table needs?", POWER)
    places = [(BESIDE + n * 46.0, head.height - 0.4) for n in range(len(ids.SOCKETS_BY))]
    ink = head.ink + choice(ids.SOCKETS, "Who looked at the sockets", ids.SOCKETS_BY, places)
    return ink.block("sockets", head.height + PITCH + 0.4)


def _help() -> Block:
    head = section("Help", "Trained people and aids that are sure to be there.", HELP)
    row = head.height
    field = Digits(ids.HELPERS, "People who help", "people", digit_boxes(BESIDE, row, 2), 0, 0, 20)
    ink = head.ink + digits(field, "people") + _ticks(ids.AID_WORDS, ids.AIDS, row + 9.0)
    return ink.block("help", row + 9.0 + PITCH + 0.6)


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:]


def _sizes(sizes: Sequence[str]) -> str:
    """Name sizes one after another; a unit that all have stands once, at the end."""
    numbers, units = zip(*(size.rsplit(" ", 1) for size in sizes), strict=True)
    if len(set(units)) > 1 or any(" " in number for number in numbers):
        return " × ".join(sizes)
    return f"{' × '.join(numbers)} {units[0]}"
