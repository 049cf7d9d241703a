"""How a visit opens: the area closed, the level checked both ways round, the air."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Protocol

from forms.field import Digits, Expectation
from forms.form import Block
from forms.typeface import wrap
from passport.table import Reads, Table, Ways
from passport.visit import Count, Visit
from passport.visits.answers import Answers
from passport.visits.grid import (
    LABEL,
    PITCH,
    digit_boxes,
    digits,
    heads,
    options,
    row_name,
    scale,
    tick,
)
from passport.visits.ink import (
    BESIDE,
    SMALL,
    TITLE,
    WIDTH,
    Ink,
    Paragraph,
    caution,
    label,
    paragraph,
    section,
)
from passport.visits.service import ids, own_numbers
from passport.visits.service.legs import plain_counts
from passport.visits.service.station import HEAD_GAP, LINE
from scan.reading import Value

AREA = (
    "Close the area first: children, guests and pets out until the table stands on all its legs. "
    "No tools, sprays or screws left lying."
)
CHECK = "One marked spot, both ways round. "
CHECK_ROWS = ("marked end LEFT", "turned round")
WAX = "A wax bead under a level is a card high: wipe its track before every reading."
AIR = "read last, hygrometer out of the sun"
QUICK = (
    "Five minutes: level check, each “found”, middle lane. All in heavy boxes, nothing turned: "
    "mark here, date, sign."
)
QUICK_BOTH = (
    "Five minutes: “found” both ways, middle lane. All OK, nothing turned: mark, date, sign."
)
_WORDS = 8.0  # [mm] where the words beside a tick begin
MORE = "more on the next actions"
# Air of a room that people use, any season: common practice, no source; so wide that it helps to
# tell tens apart, and only what few rooms have is looked at by a person.
_WARM = Expectation(21.0, 5.0)  # °C
_DAMP = Expectation(45.0, 15.0)  # % relative humidity
_AIR_LEFT, _QUICK_LEFT, _FIRST = 118.0, 95.0, 26.0


def blocks(table: Table, look_first: Sequence[str] = ()) -> tuple[Block, ...]:
    """Area and quick visit, what is still open; level check and air.

    Where every leg is read both ways round there is no level check: the pairs say the zero.
    """
    if table.kit.cross_read is Ways.BOTH:
        return (_area_and_air(table, look_first),)
    return (_area(table, look_first), _check_and_air(table))


def _area_and_air(table: Table, look_first: Sequence[str]) -> Block:
    """Put all that a form without a level check opens with beside the air."""
    width = _AIR_LEFT - 5.0
    care = caution(0, 0, width, AREA)
    y = 0.1 + care.height
    quick = tick(ids.NOTHING_TURNED, "Nothing turned, all within OK", 0, y - 0.8, "")
    ink = care.ink + quick + air(table).moved(_AIR_LEFT, -0.6)
    for said in _beside_the_tick(look_first, width - _WORDS):
        ink += said.ink.moved(_WORDS, y)
        y += said.height
    return ink.block("area and air", max(16.8, y + 0.1))


def _beside_the_tick(look_first: Sequence[str], width: float) -> Iterator[Paragraph]:
    yield paragraph(0, 0, width, QUICK_BOTH)
    if look_first:
        yield _look_first(look_first, width)
    yield paragraph(0, 0, width, WAX)


def _look_first(lines: Sequence[str], width: float, most: int = 2) -> Paragraph:
    """Say what is open in as many lines as there is room for."""
    first = paragraph(_FIRST, 0, width - _FIRST, shortened(lines, most, width - _FIRST))
    return Paragraph(label(0, 0, "LOOK HERE FIRST", SMALL, bold=True) + first.ink, first.height)


def _area(table: Table, look_first: Sequence[str]) -> Block:
    """Close the area; the five-minute route; what to look at first."""
    care = caution(0, 0.3, _QUICK_LEFT - 3.0, AREA)
    quick = tick(ids.NOTHING_TURNED, "Nothing turned, all within OK", _QUICK_LEFT, -0.5, "")
    words = paragraph(_QUICK_LEFT + 8.0, 0.3, WIDTH - _QUICK_LEFT - 8.0, QUICK)
    height = 0.3 + max(care.height, words.height)
    ink = care.ink + quick + words.ink
    if look_first:
        most = 2 if len(table.legs) > 2 else 1
        first = _look_first(look_first, WIDTH, most)
        ink += first.ink.moved(0, height + 0.2)
        height += 0.2 + first.height
    return ink.block("area", height + (0.4 if look_first else 1.2))  # white below the box


def shortened(lines: Sequence[str], most: int, width: float = WIDTH - _FIRST) -> str:
    """Put what is open into so many lines of paper; the rest stands on the next actions."""
    for count in range(len(lines), 0, -1):
        more = "" if count == len(lines) else f"; {MORE}"
        said = "; ".join(lines[:count]) + more + "."
        if len(wrap(said, width, SMALL)) <= most:
            return said
    return f"{MORE[:1].upper()}{MORE[1:]}."


def _check_and_air(table: Table) -> Block:
    counts = plain_counts(table.kit)
    said = CHECK + own_numbers.rule(table.kit)
    how = paragraph(BESIDE, 1.2, _AIR_LEFT - BESIDE - 4.0, said)
    top = how.height + 1.4
    row = top + LINE + HEAD_GAP
    ink = section("Level check", "").ink + how.ink + heads(counts.words, LABEL, top)
    for index, (field_id, words) in enumerate(zip(ids.CHECK, CHECK_ROWS, strict=True)):
        y = row + index * PITCH
        boxes = options(counts.values, LABEL, y, counts.bounds)
        ink += scale(field_id, f"Level check, {words}", counts.unit, boxes) + row_name(y, words)
    bubble = table.kit.cross_by is Reads.DIVISIONS
    ink += label(0, top + 0.4, "bubble LEFT ←" if bubble else "LEFT is low ←", SMALL, bold=True)
    right = ("→ bubble", "RIGHT") if bubble else ("→ RIGHT", "is low")
    ink += label(LABEL + 11 * PITCH + 1.6, top - 2.4, right[0], SMALL, bold=True)
    ink += label(LABEL + 11 * PITCH + 5.0, top + 0.5, right[1], SMALL, bold=True)
    wax = paragraph(0, 19.0, WIDTH - _AIR_LEFT, WAX).ink
    return (ink + (air(table) + wax).moved(_AIR_LEFT, 0)).block(
        "level check and air", row + 2 * PITCH + 0.4
    )


def air(table: Table) -> Ink:
    """Ask for the air's temperature and humidity, 52 × 18 mm."""
    field_id, unit, low, high, usual = _thermometer(table)
    y, count = 8.8, 2 if table.units == "metric" else 3
    boxes = digit_boxes(0, y, count)
    warmth = Digits(field_id, "Air temperature", unit, boxes, 0, low, high, expect=usual)
    wet = digit_boxes(29.0, y, 2)
    humidity = Digits(ids.HUMIDITY, "Relative humidity", "%", wet, 0, 1, 99, expect=_DAMP)
    return (
        label(0, 0.9, "Air", TITLE, bold=True)
        + label(9.0, 1.9, AIR, SMALL)
        + label(0, 5.6, "temperature")
        + label(29.0, 5.6, "relative humidity")
        + digits(warmth, unit)
        + digits(humidity, "%")
    )


def _thermometer(table: Table) -> tuple[str, str, float, float, Expectation]:
    if table.units == "metric":
        return ids.CELSIUS, "°C", 1, 50, _WARM
    return ids.FAHRENHEIT, "°F", 33, 122, Expectation(_WARM.value * 1.8 + 32, _WARM.u * 1.8)


def temperature_c(answers: Answers) -> float | None:
    """Read the air's temperature [°C]."""
    celsius, fahrenheit = answers.decimal(ids.CELSIUS), answers.decimal(ids.FAHRENHEIT)
    if fahrenheit is not None:
        return float((fahrenheit - 32) * 5) / 9  # exact by definition of the scale
    return None if celsius is None else float(celsius)


def humidity_pct(answers: Answers) -> float | None:
    """Read the air's relative humidity [%]."""
    humidity = answers.decimal(ids.HUMIDITY)
    return None if humidity is None else float(humidity)


def level_check(answers: Answers) -> tuple[Count, Count] | None:
    """Read both counts of the level check; None unless both are there."""
    first, turned = (answers.count(field_id) for field_id in ids.CHECK)
    return None if first is None or turned is None else (first, turned)


class HasAir(Protocol):
    """A record that holds the air."""

    @property
    def air_temperature_c(self) -> float | None:
        """Temperature [°C]."""

    @property
    def air_humidity_pct(self) -> float | None:
        """Relative humidity [%]."""


def air_answers(visit: HasAir) -> dict[str, Value]:
    """Give the answers that read as this air, the temperature in both units."""
    answers: dict[str, Value] = {}
    if visit.air_temperature_c is not None:
        answers[ids.CELSIUS] = Decimal(round(visit.air_temperature_c))
        answers[ids.FAHRENHEIT] = Decimal(round(visit.air_temperature_c * 9 / 5 + 32))
    if visit.air_humidity_pct is not None:
        answers[ids.HUMIDITY] = Decimal(round(visit.air_humidity_pct))
    return answers


def write(visit: Visit) -> dict[str, Value]:
    """Give the answers that read as this opening; the temperature in both units."""
    answers = air_answers(visit)
    if visit.level_check is not None:
        cards = (count.cards for count in visit.level_check)
        answers |= dict(zip(ids.CHECK, cards, strict=True))
    return answers | ({ids.NOTHING_TURNED: True} if visit.nothing_turned else {})
