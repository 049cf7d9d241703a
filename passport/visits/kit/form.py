"""The form of a measuring kit's check: cards, level, edge; one page."""

from collections.abc import Sequence
from datetime import date

from forms.field import Digits
from forms.form import HEADER_DRAWING_MM, Block, Form
from passport.drawing import draw
from passport.table import Table
from passport.visit import Visit
from passport.visits.foot import foot
from passport.visits.grid import (
    LABEL,
    PITCH,
    choice,
    digit_boxes,
    digits,
    heads,
    options,
    row_name,
    scale,
    tick,
)
from passport.visits.ink import BESIDE, NOTHING, SMALL, WIDTH, Ink, label, section
from passport.visits.kind import NOTHING_OPEN, LookFirst
from passport.visits.kit import ids
from passport.visits.kit.record import Pair
from passport.visits.service import closing, opening
from passport.visits.service.form import header

KIND = "kit"
MOST = 5
WORDS = ("more", "4", "3", "2", "1", "0", "1", "2", "3", "4", "more")
STEPS: dict[str, dict[int | str, str]] = {
    "metric": {"0.001 mm": "0.001 mm", "0.01 mm": "0.01 mm"},
    "imperial": {"0.0001 in": "0.0001 in", "0.001 in": "0.001 in"},
}
FEELER = {"metric": "0.01 mm", "imperial": "0.001 in"}
SIDES: dict[int | str, str] = {"middle": "gap in the middle", "ends": "rocks: gap\nat both ends"}

CARDS = (
    "Ten cards of one pack, wiped, squared up. Wipe and close the micrometer: it shows zero. Then "
    "read the stack at three places with the ratchet, near the edge and in the middle. Do it in "
    "the air in which the cards are used: they take up damp."
)
LEVEL = (
    "One marked spot on a firm surface, its track wiped. FIRST: marked end of the level to the "
    "left. Cards under the low end until the bubble is centred or the display shows level. Turn "
    "the level end for end on the same spot, count again. Three times over."
)
EDGE = (
    "Working edge on the twin’s, both wiped, before a light. Gap in the middle: the thickest "
    "feeler that passes there, and the next one, which does not. They rock: the same with equal "
    "feelers at both ends. Equal and opposite bows show no gap: a third edge tells them apart."
)
EDGE_CARE = "Feelers and edges cut: draw a feeler, never push with a finger behind it."


def form(
    table: Table,
    *,
    printed_on: date,
    last_visit: Visit | None,
    technicians: Sequence[str],
    look_first: LookFirst = NOTHING_OPEN,
) -> Form:
    """Draw up the check of the kit that looks after a table; see ``MakesForm``."""
    drawing = draw(table, *HEADER_DRAWING_MM)
    blocks = (
        _cards(table),
        _level(table),
        _edge(table),
        closing.notes(technicians),
        closing.who(printed_on, technicians),
    )
    return Form(
        KIND,
        "Measuring kit check",
        table.number,
        header(table),
        blocks,
        foot("These numbers are the kit’s own.", printed_on),
        drawing.strokes,
        drawing.texts,
    )


def _cards(table: Table) -> Block:
    head = section("Cards", CARDS)
    y = head.height + 4.2
    ink = head.ink + label(BESIDE, y - 3.5, "micrometer over ten cards, three places")
    for place in ids.PLACES:
        ink += _stack(table.units, place, BESIDE + (place - 1) * 48.0, y)
    row = y + 9.4
    places = [(BESIDE + 27.0, row), (BESIDE + 51.0, row)]
    ink += label(BESIDE, row + 2.2, "read to steps of") + choice(
        ids.STEP, "Micrometer read to steps of", STEPS[table.units], places
    )
    ink += tick(ids.ZERO, "Wiped and closed: shows zero", BESIDE + 78.0, row)
    return ink.block("cards", row + PITCH + 1.6)


def _stack(units: str, place: int, x: float, y: float) -> Ink:
    unit, count, high = ("mm", 4, 9.999) if units == "metric" else ("in", 5, 0.5)
    decimals = count - 1
    boxes = digit_boxes(x, y, count, decimals)
    name = f"Ten cards, place {place}"
    field = Digits(ids.stack(place, units), name, unit, boxes, decimals, high / 50, high)
    return digits(field, unit)


def _level(table: Table) -> Block:
    """Pairs of counts at the left, the air that they and the cards were measured in beside."""
    head = section("Level", LEVEL)
    top = head.height
    ink = head.ink + heads(WORDS, LABEL, top)
    ink += label(0, top + 0.4, "LEFT is low ←", SMALL, bold=True)
    ink += label(LABEL + 11 * PITCH + 1.6, top + 0.4, "→ RIGHT is low", SMALL, bold=True)
    for pair in ids.PAIRS:
        for index, (field_id, words) in enumerate(
            zip(ids.reversal(pair), ("first", "turned round"), strict=True)
        ):
            row = top + 3.9 + (2 * (pair - 1) + index) * PITCH
            boxes = options(range(-MOST, MOST + 1), LABEL, row, (-MOST, MOST))
            ink += scale(field_id, f"Level, pair {pair}, {words}", "card", boxes)
            ink += row_name(row, f"{pair}. {words}")
    ink += opening.air(table).moved(WIDTH - 52.0, top + 12.0)
    return ink.block("level", top + 3.9 + 6 * PITCH + 0.8)


def _edge(table: Table) -> Block:
    head = section("Edge", EDGE, EDGE_CARE)
    y = head.height + 3.2
    ink = head.ink + label(106.0, y - 3.4, "passes") + label(139.0, y - 3.4, "does not pass")
    for index, pair in enumerate(Pair):
        ink += _gap(table.units, pair, y + index * 9.4)
    return ink.block("edge", y + 3 * 9.4 + 0.4)


def _gap(units: str, pair: Pair, y: float) -> Ink:
    row, ink = y + 0.4, NOTHING
    for field_id, name, x, low in (
        (ids.passes(pair, units), f"{pair}, feeler that passes", 106.0, 0),
        (ids.stops(pair, units), f"{pair}, feeler that does not pass", 139.0, 1),
    ):
        boxes = digit_boxes(x, y, 2)
        field = Digits(field_id, _sentence(name), FEELER[units], boxes, 0, low, 99)
        ink += digits(field, f"× {FEELER[units]}")
    places = [(BESIDE, row), (BESIDE + 38.0, row)]
    name = _sentence(f"{pair}, where the gap is")
    return (
        ink + row_name(row, pair.value, BESIDE - 1.0) + choice(ids.side(pair), name, SIDES, places)
    )


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:]
