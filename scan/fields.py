"""All fields of a flattened page, one reading each."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from forms.field import Box, Choice, Digits, Field, Note, Scale, Tick, boxes_of
from forms.layout import Page
from scan.arrays import Floats
from scan.boxes import GRAIN_PX
from scan.digits import doubted
from scan.guards import GUARDS, Guards
from scan.ink import PX_PER_MM, Area, Sight, grown
from scan.marks import BoxInk, read_choice, read_tick
from scan.numbers import Numbers, read_numbers
from scan.opencv import cv2
from scan.reading import Reading, Status, Why
from scan.rows import Row, row_inks
from scan.strokes import gap_between, is_crossed

AROUND_MM = 1.6  # flattened around a field's boxes
AROUND_DIGITS_MM = 2.8  # and around those of a number, whose digits reach beyond their boxes
BEYOND_MM = 16.0  # outside the squares that the page rests on, values are doubtful
ASTRAY = (Why.TWO_MARKS, Why.BESIDE)  # what the outlines of boxes that lie elsewhere look like
MANY = 6  # such doubts that tell of a page, and not of its hand
NOTE_EDGE_MM = 0.8  # a note's own outline
NOTE_INK = 0.0015  # share of a note's area that is dark when something is written
NOTE_DARK = 0.3  # darkness of what is surely ink
NOTE_FAINT = 0.07  # and of the palest pencil, on paper without grain
NOTE_GRAINS = 7.0  # times the spread of paper's grain
NOTE_STROKE_MM = 1.0  # length of the shortest stroke of writing

Keep = Callable[[Field, Area], str | None]


@dataclass(frozen=True)
class Cut:
    """A field and its flattened piece of the page."""

    field: Field
    area: Area


def read_fields(sight: Sight, page: Page, guards: Guards = GUARDS) -> dict[str, Reading]:
    """Read every field of a page.

    Parameters
    ----------
    sight : Sight
        The flattened page.
    page : Page
        Where its fields are.
    guards : Guards, optional
        What makes a doubt.

    Returns
    -------
    dict of str to Reading
        By field id, in the page's order.
    """
    cuts = [Cut(field, sight.area(frame_of(field))) for field in page.fields]
    seen = [cut for cut in cuts if _is_seen(cut)]
    readings = {cut.field.id: Reading(Status.OUTSIDE, None, 1.0) for cut in cuts}
    written = [(cut.field, cut.area) for cut in seen if isinstance(cut.field, Digits)]
    numbers = read_numbers(written, guards)
    marks = _marks(sight, seen, guards)
    readings |= marks | dict(numbers.readings) | _notes(seen)
    readings |= _struck_through(sight, page, readings)
    flat = sight.flat.residual_mm <= guards.residual_mm and not _is_astray(marks, guards.astray)
    bent = _bent(sight, page, numbers, flat, guards)
    readings |= _doubted_as_bent(readings, bent)  # a witness first, then what it would confirm
    readings |= _witnessed(seen, numbers, readings, guards)
    readings |= _doubted_as_bent(readings, bent)
    return {field.id: readings[field.id] for field in page.fields}


def frame_of(field: Field) -> Box:
    """Rectangle around all boxes of a field, with a rim. [mm]."""
    boxes = np.array(boxes_of(field))
    left, top = boxes[:, :2].min(axis=0)
    right, bottom = (boxes[:, :2] + boxes[:, 2:]).max(axis=0)
    rim = AROUND_DIGITS_MM if isinstance(field, Digits) else AROUND_MM
    return grown(Box(float(left), float(top), float(right - left), float(bottom - top)), rim)


def _is_seen(cut: Cut) -> bool:
    return all(cut.area.sees(box) for box in boxes_of(cut.field))


def _marks(sight: Sight, cuts: list[Cut], guards: Guards) -> dict[str, Reading]:
    """Read ticks, choices and scales, each held against the others of the page."""
    marked = [cut for cut in cuts if isinstance(cut.field, Tick | Choice | Scale)]
    inks = row_inks(
        sight, [Row(boxes_of(cut.field), cut.area) for cut in marked], guards.faint_band
    )
    return {
        cut.field.id: _mark(cut.field, row, guards) for cut, row in zip(marked, inks, strict=True)
    }


def _mark(field: Field, inks: list[BoxInk], guards: Guards) -> Reading:
    if isinstance(field, Choice | Scale):
        values = [option.value for option in field.options]
        return read_choice(values, inks, guards.second_mark)
    return read_tick(inks[0])


def _notes(cuts: list[Cut]) -> dict[str, Reading]:
    notes = [cut for cut in cuts if isinstance(cut.field, Note)]
    return {cut.field.id: _note(cut) for cut in notes}


def _note(cut: Cut) -> Reading:
    inside = cut.area.cut(grown(boxes_of(cut.field)[0], -NOTE_EDGE_MM))
    if float((inside > NOTE_DARK).mean()) > NOTE_INK:
        return Reading(Status.SURE, None, 0.99, ink=True)
    if _holds_pale_strokes(inside):
        return Reading(Status.DOUBTFUL, None, 0.6, Why.FAINT, ink=True)
    return Reading(Status.EMPTY, None, 0.99, ink=False)


def _holds_pale_strokes(ink: Floats) -> bool:
    """Tell hard pencil from paper's grain: it makes lines."""
    soft = np.asarray(cv2.GaussianBlur(ink, (0, 0), GRAIN_PX))
    paper = float(np.median(soft))
    grain = 1.48 * float(np.median(np.abs(soft - paper)))
    dark = soft > paper + max(NOTE_FAINT, NOTE_GRAINS * grain)
    _, _, stats, _ = cv2.connectedComponentsWithStats(dark.astype(np.uint8), connectivity=8)
    longest = stats[1:, [cv2.CC_STAT_WIDTH, cv2.CC_STAT_HEIGHT]].max(initial=0)
    return bool(longest > NOTE_STROKE_MM * PX_PER_MM)


def _struck_through(
    sight: Sight, page: Page, readings: Mapping[str, Reading]
) -> dict[str, Reading]:
    """Doubt every row that shares one stroke with a row above or below it."""
    marked = {
        field.id: box
        for field in page.fields
        if (box := _marked_box(field, readings[field.id])) is not None
    }
    names = _sharing_a_stroke(sight, marked)
    return {name: doubted(readings[name], Why.STROKE_THROUGH) for name in names}


def _sharing_a_stroke(sight: Sight, marked: Mapping[str, Box]) -> set[str]:
    found: set[str] = set()
    rows = sorted(marked, key=lambda name: marked[name].y)
    for place, upper in enumerate(rows):
        for lower in rows[place + 1 :]:
            gap = gap_between(marked[upper], marked[lower])
            if gap is not None and is_crossed(sight.ink(gap, PX_PER_MM)[0]):
                found |= {upper, lower}
    return found


def _marked_box(field: Field, reading: Reading) -> Box | None:
    match field:
        case Tick(box=box):
            return box if reading.value is True else None
        case Choice(options=options) | Scale(options=options):
            boxes = {option.value: option.box for option in options}
            return boxes.get(reading.value)  # type: ignore[arg-type]
        case _:
            return None


def _witnessed(
    cuts: list[Cut], numbers: Numbers, readings: Mapping[str, Reading], guards: Guards
) -> dict[str, Reading]:
    """Hold each number and each expected scale against what else the page says."""
    held = dict(readings) | numbers.checked(readings, guards)
    held |= {
        cut.field.id: _as_expected(cut.field, readings[cut.field.id], guards.expectation)
        for cut in cuts
        if isinstance(cut.field, Scale)
    }
    return held | _disagreeing(numbers.fields, held)


def _disagreeing(numbers: Sequence[Digits], readings: Mapping[str, Reading]) -> dict[str, Reading]:
    """Doubt what a number was held against as well: either of them may be the wrong one."""
    names = {
        name
        for field in numbers
        if readings[field.id].why is Why.WITNESS
        for name in (field.witness, *field.sum_of)
        if name in readings
    }
    return {str(name): doubted(readings[str(name)], Why.WITNESS) for name in names}


def _as_expected(field: Scale, reading: Reading, most: float) -> Reading:
    """Doubt a count far from what was expected when the form was printed."""
    if field.expect is None or not isinstance(reading.value, int):
        return reading
    away = abs(reading.value - field.expect.value)
    far = away > most * float(np.hypot(field.expect.u, 1.0))
    return doubted(reading, Why.UNEXPECTED) if far else reading


def _is_among_squares(sight: Sight, field: Field) -> bool:
    """Tell whether a field lies between the page's squares, or close outside them."""
    hull = sight.flat.hull
    low, high = hull.min(axis=0) - BEYOND_MM, hull.max(axis=0) + BEYOND_MM
    middles = np.array([(box.x + box.width / 2, box.y + box.height / 2) for box in boxes_of(field)])
    return bool(((middles >= low) & (middles <= high)).all())


def _is_astray(marks: Mapping[str, Reading], most: float) -> bool:
    """Tell a page whose boxes lie elsewhere than its squares say, by ink beside and in two boxes.

    Paper that is crumpled between its squares leaves them all in their places.
    """
    odd = sum(reading.why in ASTRAY for reading in marks.values())
    return odd >= MANY and odd > most * len(marks)


def _bent(sight: Sight, page: Page, numbers: Numbers, flat: bool, guards: Guards) -> list[str]:
    """Name the fields on paper that is not flat enough, or far outside the page's squares.

    Marks are judged by the page, numbers whose outlines were all found by these.
    """
    shown = numbers.found if sight.flat.residual_mm <= guards.outlines_mm else frozenset()
    return [
        field.id
        for field in page.fields
        if not ((flat or field.id in shown) and _is_among_squares(sight, field))
    ]


def _doubted_as_bent(readings: Mapping[str, Reading], names: Sequence[str]) -> dict[str, Reading]:
    return {name: _as_bent(readings[name]) for name in names}


def _as_bent(reading: Reading) -> Reading:
    if reading.status is Status.EMPTY:
        return replace(reading, status=Status.DOUBTFUL, confidence=0.5, why=Why.PAGE_BENT)
    return doubted(reading, Why.PAGE_BENT)
