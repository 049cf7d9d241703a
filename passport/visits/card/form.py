"""The card: a postcard. In front the month's questions, on the back what it is for."""

from collections.abc import Sequence
from datetime import date

from forms.field import Box, Choice, Digits, Note, Option
from forms.form import Block, Form
from forms.numbers import grouped
from forms.paper import Card
from forms.typeface import line_mm
from passport.table import Table
from passport.visit import Visit
from passport.visits.card.back import back
from passport.visits.foot import foot
from passport.visits.grid import PITCH, choice, digit_boxes, digits, square, tick
from passport.visits.ink import SMALL, Ink, caution, centred, ending, label, paragraph, together
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
_SHORT = {"straight": "none", "left": "left", "right": "right"}
_SPOTS = {"label": "label’s end", "middle": "middle", "far": "far end"}

DRIFT_HOW = (
    "From the end with the code label push a weight gently down the middle, three times; nobody at "
    "the far end with hands on the board or in the gutter. Where does it drift? Write the side of "
    "the room, too (window, bar …):"
)
STOP = (
    "It rocks, cracks, a bolt is loose or a wire is bare: stop playing, keep everybody off it and "
    "call{phone}."
)
WIDTH = Card.QUARTER.body.width  # [mm] of the narrower card
_BESIDE = 19.0  # [mm] where a row begins beside its title
_STEPS = (_BESIDE, _BESIDE + 18.0, _BESIDE + 36.0)  # [mm] boxes of a row
_SPOT_STEPS = (_BESIDE, _BESIDE + 22.0, _BESIDE + 39.5)
_MONTH = 6.6  # [mm] from month to month


def form(
    table: Table,
    *,
    printed_on: date,
    last_visit: Visit | None,
    technicians: Sequence[str],
    look_first: LookFirst = NOTHING_OPEN,
) -> Form:
    """Draw up the check card of a table; nobody's name is on it. See ``MakesForm``."""
    return Form(
        KIND,
        "Monthly check card",
        table.number,
        (f"Table {grouped(table.number)}: {table.name}, {table.site}",),
        (_stop(table), _drift(), _noise(), _bare(), _day(printed_on), back(table, WIDTH)),
        foot("", printed_on),
        card=True,
    )


def _stop(table: Table) -> Block:
    phone = f", telephone {table.office_phone}" if table.office_phone else " the office"
    care = caution(0, 0.6, WIDTH - 33.0, STOP.format(phone=phone))
    words = "We stopped playing"
    ink = care.ink + tick(ids.UNSAFE, words, WIDTH - 30.0, 0.1, words)
    return ink.block("stop", max(care.height, PITCH) + 1.0)


def _row(title: str, y: float = 0.0) -> Ink:
    """Name a row at its left."""
    return label(0, y + PITCH / 2 - line_mm(9) / 2, title, 9, bold=True)


def _drift() -> Block:
    head = paragraph(_BESIDE, 0.8, WIDTH - _BESIDE, DRIFT_HOW)
    row = 0.8 + head.height
    ink = head.ink + label(0, 0.5, "Drift", 9, bold=True)
    places = [(x, row) for x in _STEPS]
    ink += choice(DRIFT, "Where a weight drifts", _labelled(DRIFTS, _SHORT), places)
    left = _STEPS[-1] + 20.0
    box = Box(left, round(row + 0.6, 3), round(WIDTH - left, 3), 6.6)
    ink += Ink(fields=(Note(SIDE, "Side of the room", box),))
    return ink.block("drift", row + PITCH + 0.6)


def _labelled(answers: dict[int | str, str], words: dict[str, str]) -> dict[int | str, str]:
    """Give the answers in the words that the card has room for."""
    return {answer: words[str(answer)] for answer in answers}


def _noise() -> Block:
    places = [(x, 0.0) for x in _STEPS]
    return (_row("Noise") + choice(NOISE, "Noise from the table", NOISES, places)).block(
        "noise", PITCH
    )


def _bare() -> Block:
    y = 0.4
    ink = _row("Bare spots", y)
    for x, (key, text) in zip(_SPOT_STEPS, _SPOTS.items(), strict=True):
        ink += tick(f"{BARE}.{key}", f"Bare spots {PLACES[key]}", x, y, text)
    field = Digits(
        ids.HUMIDITY, "Relative humidity", "%", digit_boxes(WIDTH - 18.0, 0.2, 2), 0, 1, 99
    )
    asked = ("humidity, if", "a hygrometer", "hangs there")
    words = (ending(WIDTH - 19.0, n * line_mm(SMALL), text) for n, text in enumerate(asked))
    return (ink + digits(field, "%") + together(*words)).block("bare spots and humidity", 9.2)


def _day(printed_on: date) -> Block:
    row, left = 4.4, -0.6
    places = [left + (n + 0.5) * _MONTH for n in range(12)]
    months = tuple(Option(n + 1, square(x, row)) for n, x in enumerate(places))
    names = (centred(x, row - 2.2, name) for x, name in zip(places, closing.MONTHS, strict=True))
    days = digit_boxes(82.0, row - 0.4, 2)
    next_year = square(104.0, row)
    ink = Ink(
        fields=(Choice(ids.MONTH, "Month", months), Digits(ids.DAY, "Day", "", days, 0, 1, 31))
    )
    ink += together(*names) + centred(89.0, row - 3.8, f"day, {printed_on.year}")
    ink += tick(ids.NEXT_YEAR, "Next year", next_year.x, row, "")
    ink += centred(104.0, row - 2.2, f"in {printed_on.year + 1}")
    return ink.block("day", row + 8.0)
