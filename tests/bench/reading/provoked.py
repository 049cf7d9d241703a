"""Sheets made to fool the reader where one guard stands; ``worth.py`` loosens the guards on them.

Each case writes many fields so that one guard has something to catch.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache

import cv2
import numpy as np
from reading.fills import Truth, Value
from reading.numbers import take
from reading.press import DPI, Printed, printed, service_form

from forms.field import Box, Choice, Digits, Expectation, Option, Tick
from forms.form import Block, Form, Text
from forms.layout import Layout, Page
from passport.booth import acts
from passport.booth.camera import photograph
from passport.booth.grades import FLAT_SCAN, GOOD
from passport.booth.hand import fill
from passport.booth.printer import px_per_mm
from passport.booth.script import note_strokes
from passport.booth.shot import Shot
from passport.booth.strokes import Picture, lay
from passport.booth.troubles import Troubles
from passport.booth.writer import Hand, some_hand

SCALE = px_per_mm(DPI)


@dataclass(frozen=True)
class Case:
    """A photo, and what is written on the page that it is of."""

    layout: Layout
    page: Page
    truth: Mapping[str, Truth]
    photo: bytes


@cache
def witnessed_form() -> Printed:
    """Print a form with digits that have a ladder for their last one and an expectation."""
    blocks = tuple(_station(f"s{number}") for number in range(1, 9))
    form = Form("sample", "Sample", "401273456", ("Invented.",), blocks, "Invented.", ())
    return printed(form, 9)


def _station(name: str) -> Block:
    ladder = tuple(Option(digit, Box(60 + 7.2 * digit, 4, 4.8, 4.8)) for digit in range(10))
    one, two = ((Box(x, 3, 6.5, 8.5), Box(x + 7.2, 3, 6.5, 8.5)) for x in (20, 38))
    fields = (
        Choice(f"{name}.last", "last", ladder),
        Digits(f"{name}.size", "size", "mm", one, 0, 0, 99, None, f"{name}.last"),
        Digits(f"{name}.wet", "wet", "%", two, 0, 0, 99, None, None, (), Expectation(42, 2)),
        Tick(f"{name}.done", "done", Box(140, 4, 4.8, 4.8)),
    )
    return Block(name, 14, (Text(0, 4, f"Station {name}", 9, bold=True),), (), fields)


def _shot(seed: int, **troubles: float) -> Shot:
    return Shot(replace(GOOD, folds=GOOD.motion_px), seed, troubles=Troubles(**troubles))


def _rows(page: Page) -> list[Choice]:
    return [field for field in page.fields if hasattr(field, "options") and len(field.options) > 2]


def _crosses(page: Page, rng: np.random.Generator) -> dict[str, int | str]:
    return {row.id: row.options[rng.integers(len(row.options))].value for row in _rows(page)}


def _plain(answers: Mapping[str, object]) -> dict[str, Truth]:
    return {name: Truth(value, (value,)) for name, value in answers.items()}


def _bent(seed: int) -> Case:
    """Crumple a sheet far beyond what a spline through the squares can follow."""
    return _marked(seed, lambda page: page, crumple_mm=4.0, quarters_deg=12.0)


def _torn(seed: int, columns: int) -> Case:
    """Lay two halves of a torn sheet so many columns of boxes apart."""
    by = round(7.2 * columns * SCALE)

    def shifted(page: Picture) -> Picture:
        cut = page.shape[0] // 2
        return np.vstack([page[:cut], np.roll(page[cut:], by, axis=1)])

    return _marked(seed, shifted)


def _swapped(seed: int) -> Case:
    """Paste another page's code over the code."""
    form = service_form()
    box, other = form.layout.pages[1].code.box, form.pictures[3]

    def pasted(page: Picture) -> Picture:
        rows = slice(round((box.y - 1) * SCALE), round((box.y + box.height + 1) * SCALE))
        columns = slice(round((box.x - 1) * SCALE), round((box.x + box.width + 1) * SCALE))
        page = page.copy()
        page[rows, columns] = cv2.cvtColor(other[rows, columns], cv2.COLOR_GRAY2BGR)
        return page

    return _marked(seed, pasted)


def _marked(seed: int, change: Callable[[Picture], Picture], **troubles: float) -> Case:
    form, rng = service_form(), np.random.default_rng([seed, 71])
    page, answers = form.layout.pages[1], {}
    answers = _crosses(page, rng)
    filled = change(fill(form.pictures[1], page, answers, some_hand(seed)))
    return Case(form.layout, page, _plain(answers), photograph(filled, _shot(seed, **troubles)))


def _slipped(seed: int, slip: Callable[[str, Value, Value], tuple[acts.Act, Truth]]) -> Case:
    """Let the hand slip in every other row; the rest shows how it usually marks."""
    form, rng = service_form(), np.random.default_rng([seed, 72])
    page = form.layout.pages[1]
    made, answers = {}, {}
    for number, row in enumerate(_rows(page)):
        first, second = (
            row.options[i].value for i in rng.choice(len(row.options), 2, replace=False)
        )
        if number % 2:
            made[row.id] = slip(row.id, first, second)
        else:
            answers[row.id] = first
    slips = [act for act, _ in made.values()]
    filled = fill(form.pictures[1], page, answers, some_hand(seed), slips)
    truth = _plain(answers) | {name: one for name, (_, one) in made.items()}
    return Case(form.layout, page, truth, photograph(filled, _shot(seed)))


def _erased(seed: int) -> Case:
    return _slipped(
        seed, lambda name, a, b: (acts.Erased(name, a, None, 0.2), Truth(None, (None,)))
    )


def _two(seed: int) -> Case:
    return _slipped(seed, lambda name, a, b: (acts.TwoMarks(name, a, b), Truth(None, ())))


def _lettered(seed: int) -> Case:
    """Write letters into the boxes of numbers."""
    form, rng = witnessed_form(), np.random.default_rng([seed, 73])
    page, hand = form.layout.pages[0], some_hand(seed)
    sheet = np.ascontiguousarray(cv2.cvtColor(form.pictures[0], cv2.COLOR_GRAY2BGR))
    truth = {}
    for field in page.fields:
        if isinstance(field, Digits):
            for box in field.boxes:
                letter = "abdehnst"[rng.integers(8)]
                lay(sheet, note_strokes(hand, box, letter, rng), hand.pen, rng, SCALE)
            truth[field.id] = Truth(None, ())
    return Case(form.layout, page, truth, photograph(sheet, _shot(seed)))


def _numbered(seed: int, *, lying: bool) -> Case:
    """Write numbers; when ``lying``, others than the ladder says and than is expected."""
    form, rng = witnessed_form(), np.random.default_rng([seed, 74])
    page, answers, truth = form.layout.pages[0], {}, {}
    for field in page.fields:
        if not isinstance(field, Digits):
            continue
        value = int(rng.integers(38, 47)) if field.expect else int(rng.integers(10, 100))
        written = (value + int(rng.integers(11, 40))) % 90 + 10 if lying else value
        answers[field.id] = written
        truth[field.id] = Truth(value, () if lying else (value,))
        if field.witness:
            answers[field.witness] = value % 10
            if lying and written % 10 == value % 10:
                del answers[field.id], truth[field.id]
    hand: Hand = some_hand(seed)
    filled = fill(form.pictures[0], page, answers, hand)
    return Case(form.layout, page, truth, photograph(filled, _shot(seed)))


def _scanned(seed: int) -> Case:
    case = _marked(seed, lambda page: page)
    form, answers = service_form(), {name: one.meant for name, one in case.truth.items()}
    filled = fill(form.pictures[1], case.page, answers, some_hand(seed))
    return replace(case, photo=photograph(filled, Shot(FLAT_SCAN, seed)))


def _real_digits(seed: int) -> Case:
    """Stamp a page of held-out digits and photograph it badly; numbers with a slip don't count."""
    taken = take(32 * seed + 31)  # of every eighth writer, held out; the fourth sheet, bad
    plain = {name: one for name, one in taken.truth.items() if not one.slip}
    return Case(taken.layout, taken.layout.pages[0], plain, taken.photo)


CASES: Mapping[str, Callable[[int], Case]] = {
    "crumpled beyond measure": _bent,
    "torn and laid a column apart": lambda seed: _torn(seed, 1),
    "torn and laid two columns apart": lambda seed: _torn(seed, 2),
    "another page's code": _swapped,
    "marks rubbed out": _erased,
    "two marks in a row": _two,
    "letters for digits": _lettered,
    "plain numbers": lambda seed: _numbered(seed, lying=False),
    "numbers that were not meant": lambda seed: _numbered(seed, lying=True),
    "real digits, a bad photo": _real_digits,
    "flat scan": _scanned,
}
