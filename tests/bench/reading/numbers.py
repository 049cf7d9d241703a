"""Sheets of nothing but numbers, 126 a page, so that fifty thousand are photographed in minutes.

As a program it goes on where it was stopped, and its lines are told like those of other sheets::

    python -m reading.numbers LINES.jsonl FIRST LAST [KEEP]
"""

import sys
from functools import cache

import numpy as np
from reading.people import SHEETS_EACH, person_of
from reading.press import Printed, printed
from reading.sheets import Taken, photographed, run

from forms.field import Box, Digits
from forms.form import Block, Form

WIDTH, HEIGHT, PITCH, POINT = 6.4, 8.0, 7.2, 1.2  # as on a service form [mm]
ROWS, COLUMNS, FIELD_MM, ROW_MM = 18, 7, 25.6, 10.4
KINDS = ((3, 1), (3, 1), (3, 0), (2, 0))  # boxes, and how many of them behind the point
DRAWN = ("curves", "pulses", "curves", "pulses")
# One writer in sixteen is held out: 400 sheets use none of the 500 pictures more than 19 times.
MODELS = (*DRAWN, "people", "curves", "pulses", "held out", *DRAWN, "people", *DRAWN[:3])


@cache
def numbers_form() -> Printed:
    """Print a page full of numbers; every value that its boxes hold is within bounds."""
    rows = tuple(Block(f"row {row}", ROW_MM, fields=_fields(row)) for row in range(ROWS))
    return printed(Form("sample", "Numbers", "401273456", ("Invented.",), rows, "", ()), 10)


def _fields(row: int) -> tuple[Digits, ...]:
    return tuple(_field(row, column) for column in range(COLUMNS))


def _field(row: int, column: int) -> Digits:
    count, decimals = KINDS[(row + column) % len(KINDS)]
    left = FIELD_MM * column
    boxes = tuple(
        Box(left + PITCH * at + POINT * (at >= count - decimals), 1.0, WIDTH, HEIGHT)
        for at in range(count)
    )
    most = 10 ** (count - decimals) - 10**-decimals
    return Digits(f"r{row}.c{column}", "number", "", boxes, decimals, 0, round(most, decimals))


def take(number: int) -> Taken:
    """Fill and photograph sheet ``number``; the same each time."""
    writer, rng = number // SHEETS_EACH, np.random.default_rng([number, 54])
    person = person_of(writer, MODELS)
    return photographed(numbers_form(), 1, number, person, rng)


if __name__ == "__main__":
    run(take, sys.argv[1:])
