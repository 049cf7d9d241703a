"""Test shots on the drawn plan of the board, and one timed glide a direction.

Sign: a drift is positive to the left as seen from end A, whatever end the shot came from.
"""

from collections.abc import Sequence
from decimal import Decimal

from forms.field import Digits, Option, Scale
from forms.form import Block, Stroke
from passport.table import Table
from passport.visit import Glide, Shot
from passport.visits.answers import Answers
from passport.visits.grid import PITCH, column, digit_boxes, digits, heads, square, tick
from passport.visits.ink import COUNT, NOTHING, SMALL, Ink, centred, ending, label, section
from passport.visits.service import ids
from scan.reading import Value

LANES = ("left", "middle", "right")
ENDS = ("A", "B")
MOST = 6  # [in] the outer boxes: this far or farther
METRE_PER_FOOT = Decimal("0.3048")  # exact: international yard and pound agreement, 1959

HOW = (
    "Clean first. Three shots a lane and direction; mark the MIDDLE one: how far off its aim "
    "line the weight came to rest, on the side where it lies in the drawing, whichever end it "
    "came from. Quick visit: middle lane. One glide a direction, timed to rest. Both outer lanes "
    "drifting in alike is the hollow at work, not tilt; else raise the side that weights drift "
    "to, at the nearest leg, in small parts of a turn, and shoot again."
)
CARE = "Nobody at the far end with hands on the board or in the gutter while a weight runs."
_LEFT = 22.0  # [mm] left edge of the boxes
_RIM = 1.6  # [mm] from the boxes to the edge of the drawn board
_VALUES = tuple(range(MOST, -MOST - 1, -1))
_GLIDE_LEFT = _LEFT + len(_VALUES) * PITCH + 9.0


def blocks(table: Table) -> tuple[Block, ...]:
    """Draw the plan, end B at its head, with six rows of boxes; the glides beside."""
    head = section("Test shots", HOW, CARE)
    ink = head.ink + _plan(table).moved(0, head.height)
    ink += tick(ids.SHOTS_NOT_MEASURED, "No shots on this visit", 0.0, 5.2, "none on\nthis visit")
    return (ink.block("shots", head.height + _PLAN_MM + 0.6),)


_HEAD_MM = 4.2
_HALF_MM = 3 * PITCH
_GAP_MM = 4.4
_PLAN_MM = 2 * _HEAD_MM + 2 * _HALF_MM + _GAP_MM


def _plan(table: Table) -> Ink:
    rows = {"A": _HEAD_MM, "B": _HEAD_MM + _HALF_MM + _GAP_MM}  # shots rest at the far end
    ink = _outline() + _scale_words(table)
    for end, y in rows.items():
        for index, lane in enumerate(LANES):
            ink += _shot(lane, end, y + index * PITCH)
        ink += _glide(table, end).moved(_GLIDE_LEFT, y)
    return ink


def _outline() -> Ink:
    """Draw the board with end B at its head, the lanes' aim line in the middle."""
    left, right = _LEFT - _RIM, _LEFT + len(_VALUES) * PITCH + _RIM
    box = f"M{left} 0H{right}V{_PLAN_MM}H{left}Z"
    middle = column(MOST, _LEFT)
    aim = "".join(f"M{middle} {y - 0.6:.2f}V{y + 0.6:.2f}" for y in _between_rows())
    return (
        Ink(strokes=(Stroke(aim, 0.2, grey=0.5), Stroke(box, 0.5)))
        + centred(middle, 0.3, "END B", COUNT, bold=True)
        + centred(middle, _PLAN_MM - 4.0, "END A", COUNT, bold=True)
        + label(left + 2, 0.7, "LEFT", SMALL, bold=True)
        + ending(right - 2, 0.7, "RIGHT", SMALL, bold=True)
    )


def _between_rows() -> list[float]:
    """White between the rows: the aim line is broken there, no ink stands in a box."""
    tops = (_HEAD_MM, _HEAD_MM + _HALF_MM + _GAP_MM)
    return [top + index * PITCH for top in tops for index in range(len(LANES) + 1)]


def _scale_words(table: Table) -> Ink:
    """Distances off the aim line, between both halves."""
    step = 25 if table.units == "metric" else 1
    words = [_distance(value, step) for value in _VALUES]
    y = _HEAD_MM + _HALF_MM + 0.3
    unit = "mm" if table.units == "metric" else "inches"
    return heads(words, _LEFT, y) + ending(_LEFT - _RIM - 1, y + 0.5, unit, SMALL)


def _distance(value: int, step: int) -> str:
    return f"{abs(value) * step}{'+' if abs(value) == MOST else ''}"


def _shot(lane: str, end: str, row: float) -> Ink:
    boxes = tuple(
        Option(value, square(column(index, _LEFT), row), abs(value) == MOST)
        for index, value in enumerate(_VALUES)
    )
    name = f"Shot from {end}, {lane} lane"
    field = Scale(ids.shot(lane, end), name, "in", boxes)
    return (
        Ink(fields=(field,))
        + ending(_LEFT - _RIM - 1, row + 2.1, lane, SMALL)
        + (label(0, row + 2.1, f"from {end}", SMALL, bold=True) if lane == "middle" else NOTHING)
    )


def _glide(table: Table, end: str) -> Ink:
    what, unit, high = _length(table)
    boxes = digit_boxes(0, 3.2, 3, 1)
    distance = Digits(
        ids.glide(end, what), f"Glide from {end}, distance", unit, boxes, 1, 0.1, high
    )
    timed = digit_boxes(0, 13.4, 3, 1)
    seconds = Digits(ids.glide(end, "seconds"), f"Glide from {end}, time", "s", timed, 1, 0.5, 60)
    return (
        label(0, 0, f"Glide from end {end}", SMALL, bold=True)
        + digits(distance, f"{unit} to rest")
        + digits(seconds, "seconds")
    )


def _length(table: Table) -> tuple[str, str, float]:
    return ("metres", "m", 9.9) if table.units == "metric" else ("feet", "ft", 30.0)


def read_shots(answers: Answers) -> tuple[Shot, ...]:
    """Read the shots that are sure."""
    found = ((lane, end, answers.count(ids.shot(lane, end))) for end in ENDS for lane in LANES)
    return tuple(
        Shot(lane, end, count.cards, count.bound) for lane, end, count in found if count is not None
    )


def read_glides(answers: Answers) -> tuple[Glide, ...]:
    """Read the glides; a direction with neither distance nor time is left out."""
    glides = (Glide(end, _metres(answers, end), _seconds(answers, end)) for end in ENDS)
    return tuple(one for one in glides if (one.distance_m, one.seconds) != (None, None))


def _metres(answers: Answers, end: str) -> float | None:
    feet = answers.decimal(ids.glide(end, "feet"))
    metres = answers.decimal(ids.glide(end, "metres"))
    if feet is not None:
        return float(feet * METRE_PER_FOOT)
    return None if metres is None else float(metres)


def _seconds(answers: Answers, end: str) -> float | None:
    seconds = answers.decimal(ids.glide(end, "seconds"))
    return None if seconds is None else float(seconds)


def write(shots: Sequence[Shot], glides: Sequence[Glide]) -> dict[str, Value]:
    """Give the answers that read as these shots and glides; distances in both units."""
    answers: dict[str, Value] = {
        ids.shot(shot.lane, shot.from_end): shot.off_line_in for shot in shots
    }
    for glide in glides:
        answers |= _written(glide)
    return answers


def _written(glide: Glide) -> dict[str, Value]:
    answers: dict[str, Value] = {}
    if glide.distance_m is not None:
        metres = Decimal(str(glide.distance_m))
        answers[ids.glide(glide.from_end, "metres")] = _tenths(metres)
        answers[ids.glide(glide.from_end, "feet")] = _tenths(metres / METRE_PER_FOOT)
    if glide.seconds is not None:
        answers[ids.glide(glide.from_end, "seconds")] = _tenths(Decimal(str(glide.seconds)))
    return answers


def _tenths(value: Decimal) -> Decimal:
    return value.quantize(Decimal("0.1"))
