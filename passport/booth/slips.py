"""Drawing what a hand does besides answering; ``acts`` says what there is."""

from dataclasses import dataclass, replace

import numpy as np

from forms.field import Box
from forms.layout import Page
from passport.booth import acts
from passport.booth.marks import line_strokes, scribble_strokes
from passport.booth.models import digit_strokes, mark_strokes
from passport.booth.pens import Pen
from passport.booth.places import box_of, digit_box, field_of
from passport.booth.strokes import Stroke, moved, pressed
from passport.booth.writer import Hand, MarkStyle, with_mark


@dataclass(frozen=True)
class Ink:
    """Strokes and the pen that they were drawn with."""

    strokes: tuple[Stroke, ...]
    pen: Pen


def ink_of(hand: Hand, page: Page, act: acts.Act, rng: np.random.Generator) -> tuple[Ink, ...]:
    """Ink that one act leaves, in the order in which it was drawn [mm of the page].

    Raises
    ------
    NoSuchField, NoSuchOption
        The act names what the page does not have.
    """
    match act:
        case acts.Erased():
            return _erased(hand, page, act, rng)
        case acts.Overwritten() | acts.StruckOut():
            return (Ink(_rewritten(hand, page, act, rng), hand.pen),)
        case acts.StrokeThrough() | acts.Stray():
            return (Ink(line_strokes(hand, _path(page, act), rng), hand.pen),)
        case _:
            return (Ink(_marked(hand, page, act, rng), hand.pen),)


def _box(page: Page, field: str, value: acts.Value) -> Box:
    return box_of(field_of(page, field), value)


def _marked(
    hand: Hand,
    page: Page,
    act: acts.TwoMarks | acts.ScribbledOut | acts.Faint | acts.Filled | acts.Ditto,
    rng: np.random.Generator,
) -> tuple[Stroke, ...]:
    match act:
        case acts.TwoMarks(field, first, second):
            boxes = (_box(page, field, value) for value in (first, second))
            return tuple(stroke for box in boxes for stroke in mark_strokes(hand, box, rng))
        case acts.ScribbledOut():
            return _scribbled(hand, page, act, rng)
        case acts.Faint(field, value, pressure):
            drawn = mark_strokes(hand, _box(page, field, value), rng)
            return tuple(pressed(stroke, pressure) for stroke in drawn)
        case acts.Filled(field, value):
            solid = with_mark(hand, MarkStyle.FILLED)
            return mark_strokes(solid, _box(page, field, value), rng)
        case acts.Ditto(field, value):
            return _ditto(hand, _box(page, field, value), rng)


def _scribbled(
    hand: Hand, page: Page, act: acts.ScribbledOut, rng: np.random.Generator
) -> tuple[Stroke, ...]:
    wrong = _box(page, act.field, act.wrong)
    drawn = mark_strokes(hand, wrong, rng) + scribble_strokes(hand, wrong, rng)
    if act.right is None:
        return drawn
    return drawn + mark_strokes(hand, _box(page, act.field, act.right), rng)


def _ditto(hand: Hand, box: Box, rng: np.random.Generator) -> tuple[Stroke, ...]:
    middle = box.y + box.height / 2
    strokes: tuple[Stroke, ...] = ()
    for share in (0.4, 0.6):
        x, half = box.x + share * box.width, 0.22 * box.height
        strokes += line_strokes(hand, ((x + 0.2, middle - half), (x - 0.2, middle + half)), rng)
    return strokes


def _erased(hand: Hand, page: Page, act: acts.Erased, rng: np.random.Generator) -> tuple[Ink, ...]:
    """Draw what the eraser left: the line, pale, and a broad, paler smear."""
    box = _box(page, act.field, act.value)
    line = Ink(mark_strokes(hand, box, rng), _paler(hand.pen, act.left))
    smear = replace(_paler(hand.pen, act.left * 0.35), width_mm=1.2)
    rubbed = Ink(scribble_strokes(hand, box, rng), smear)
    if act.then is None:
        return line, rubbed
    again = mark_strokes(hand, _box(page, act.field, act.then), rng)
    return line, rubbed, Ink(again, hand.pen)


def _paler(pen: Pen, left: float) -> Pen:
    blue, green, red = (1 - left * (1 - share) for share in pen.colour)
    return replace(pen, colour=(blue, green, red))


def _rewritten(
    hand: Hand, page: Page, act: acts.Overwritten | acts.StruckOut, rng: np.random.Generator
) -> tuple[Stroke, ...]:
    box = digit_box(field_of(page, act.field), act.box)
    middle = np.array([box.x + box.width / 2, box.y + box.height / 2])
    height = box.height * hand.size
    match act:
        case acts.Overwritten(_, _, first, second):
            digits = (digit_strokes(hand, digit, height, rng) for digit in (first, second))
            return tuple(stroke for drawn in digits for stroke in moved(drawn, middle))
        case acts.StruckOut(_, _, wrong, right):
            old = moved(digit_strokes(hand, wrong, height, rng), middle)
            line = line_strokes(hand, _across(box), rng)
            above = middle - (0, box.height * 0.85)
            return old + line + moved(digit_strokes(hand, right, height * 0.7, rng), above)


def _across(box: Box) -> tuple[tuple[float, float], ...]:
    left, bottom = box.x + 0.05 * box.width, box.y + 0.8 * box.height
    return (left, bottom), (box.x + 0.95 * box.width, box.y + 0.2 * box.height)


def _path(page: Page, act: acts.StrokeThrough | acts.Stray) -> list[tuple[float, float]]:
    if isinstance(act, acts.Stray):
        return [act.start, act.end]
    boxes = [_box(page, field, value) for field, value in act.boxes]
    return [(box.x + box.width / 2, box.y + box.height / 2) for box in boxes]
