"""The simulated hand: fills a printed page as a person with a pen does."""

import zlib
from collections.abc import Mapping, Sequence
from decimal import Decimal

import cv2
import numpy as np

from forms.field import Box, Choice, Digits, Field, Note, Scale, Tick
from forms.layout import Layout, Page
from passport.booth.acts import Act
from passport.booth.errors import DoesNotFit, NotOnTheForm, WrongKindOfAnswer
from passport.booth.models import digit_strokes, mark_strokes
from passport.booth.places import box_of, field_of
from passport.booth.script import note_strokes
from passport.booth.slips import ink_of
from passport.booth.strokes import Picture, Stroke, lay, moved
from passport.booth.writer import Hand

Answer = bool | int | str | Decimal


def fill(
    page_image: Picture,
    page: Page,
    answers: Mapping[str, Answer],
    hand: Hand,
    slips: Sequence[Act] = (),
) -> Picture:
    """Fill a printed page.

    A field's ink depends on the hand and the field only: changing one answer changes nothing else.

    Parameters
    ----------
    page_image : ndarray of shape (H, W) or (H, W, 3)
        The printed page; it stays as it is.
    page : Page
        Where the boxes stand; ``printer.as_printed`` if the printer moved them.
    answers : mapping of field id to answer
        A tick takes True or False, a choice or scale one of its values, digits a number or the
        text to be written right-aligned, a note a text. What is not named stays empty.
    slips : sequence of Act
        What the hand does besides, in this order.

    Returns
    -------
    ndarray of shape (H, W, 3)
        The filled page in colour: blue, green, red. Same input, same picture.

    Raises
    ------
    NoSuchField, NoSuchOption, DoesNotFit, WrongKindOfAnswer
        An answer that the page has no room for.
    """
    sheet = _in_colour(page_image)
    scale = sheet.shape[1] / page.width
    for name, answer in answers.items():
        rng = np.random.default_rng([hand.seed, 21, page.page, zlib.crc32(name.encode())])
        strokes = answer_strokes(hand, field_of(page, name), answer, rng)
        lay(sheet, strokes, hand.pen, rng, scale)
    for number, act in enumerate(slips):
        rng = np.random.default_rng([hand.seed, 22, page.page, number])
        for ink in ink_of(hand, page, act, rng):
            lay(sheet, ink.strokes, ink.pen, rng, scale)
    return sheet


def fill_form(
    page_images: Sequence[Picture], layout: Layout, answers: Mapping[str, Answer], hand: Hand
) -> tuple[Picture, ...]:
    """Fill all pages of a form, each with the answers whose fields it has.

    Parameters
    ----------
    page_images : sequence of ndarray of shape (H, W) or (H, W, 3)
        The printed pages in the layout's order; they stay as they are.
    answers : mapping of field id to answer
        As for ``fill``.

    Returns
    -------
    tuple of ndarray of shape (H, W, 3)

    Raises
    ------
    NotOnTheForm
        Answers for fields that no page has.
    """
    homes = {field.id: page.page for page in layout.pages for field in page.fields}
    strange = tuple(name for name in answers if name not in homes)
    if strange:
        raise NotOnTheForm(strange, layout.form)
    return tuple(
        fill(image, page, _of_page(answers, homes, page.page), hand)
        for image, page in zip(page_images, layout.pages, strict=True)
    )


def _of_page(
    answers: Mapping[str, Answer], homes: Mapping[str, int], page: int
) -> dict[str, Answer]:
    return {name: answer for name, answer in answers.items() if homes[name] == page}


def _in_colour(picture: Picture) -> Picture:
    if picture.ndim == 3:
        return picture.copy()
    return np.ascontiguousarray(cv2.cvtColor(picture, cv2.COLOR_GRAY2BGR), np.uint8)


def answer_strokes(
    hand: Hand, field: Field, answer: Answer, rng: np.random.Generator
) -> tuple[Stroke, ...]:
    """Give one answer.

    Returns
    -------
    tuple of Stroke
        In millimetres of the page; none for a tick that is False.

    Raises
    ------
    NoSuchOption, DoesNotFit, WrongKindOfAnswer
        The field has no room for the answer.
    """
    match field:
        case Tick():
            return _tick(hand, field, answer, rng)
        case Choice() | Scale():
            return mark_strokes(hand, box_of(field, answer), rng)
        case Digits():
            return _number(hand, field, answer, rng)
        case Note():
            return _note(hand, field, answer, rng)


def _tick(hand: Hand, field: Tick, answer: Answer, rng: np.random.Generator) -> tuple[Stroke, ...]:
    if not isinstance(answer, bool):
        raise WrongKindOfAnswer(field.id, answer, "True or False")
    return mark_strokes(hand, field.box, rng) if answer else ()


def _note(hand: Hand, field: Note, answer: Answer, rng: np.random.Generator) -> tuple[Stroke, ...]:
    if not isinstance(answer, str):
        raise WrongKindOfAnswer(field.id, answer, "a text")
    return note_strokes(hand, field.box, answer, rng)


def _number(
    hand: Hand, field: Digits, answer: Answer, rng: np.random.Generator
) -> tuple[Stroke, ...]:
    text = written(field, answer)
    boxes = field.boxes[len(field.boxes) - len(text) :]
    return tuple(
        stroke
        for digit, box in zip(text, boxes, strict=True)
        if digit != " "
        for stroke in digit_in_box(hand, digit, box, rng)
    )


def written(field: Digits, answer: Answer) -> str:
    """Spell the characters that a person writes into a number's boxes, right-aligned.

    Raises
    ------
    DoesNotFit
        Too many digits before or behind the point, or a sign.
    WrongKindOfAnswer
        Neither a number nor a text of digits and blanks.
    """
    if isinstance(answer, bool) or (isinstance(answer, str) and answer.strip("0123456789 ")):
        raise WrongKindOfAnswer(field.id, answer, "a number, or a text of digits and blanks")
    text = answer if isinstance(answer, str) else _scaled(field, Decimal(answer))
    if len(text) > len(field.boxes):
        raise DoesNotFit(field.id, answer, len(field.boxes), field.decimals)
    return text


def _scaled(field: Digits, number: Decimal) -> str:
    """Spell a number as its digits without the point, at least one before it."""
    whole = number.scaleb(field.decimals)
    if whole < 0 or whole != whole.to_integral_value():
        raise DoesNotFit(field.id, number, len(field.boxes), field.decimals)
    return str(int(whole)).zfill(field.decimals + 1)


def digit_in_box(hand: Hand, digit: str, box: Box, rng: np.random.Generator) -> tuple[Stroke, ...]:
    """Write a digit into its box: sized to the box, not quite in its middle."""
    height = min(box.height * hand.size, box.width * 1.45) * rng.normal(1, 0.04)
    middle = np.array([box.x + box.width / 2, box.y + box.height / 2])
    aim = middle + rng.normal(0, hand.wander * 0.5, 2) * (box.width, box.height)
    return moved(digit_strokes(hand, digit, height, rng), aim)
