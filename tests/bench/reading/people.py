"""Who writes: one of three models of a hand, none of them known to the reader.

*curves*: shapes of digits as smooth curves; *pulses*: digits as sums of pulses of speed, by
another author; *people*: pictures of real handwriting, 1,797 digits of 8 × 8 pixels (Alpaydin and
Kaynak 1998, Optical Recognition of Handwritten Digits, UCI; its test part, by 13 writers), as
the package scikit-learn carries them. The digit network was trained on MNIST alone.
"""

from collections.abc import Mapping
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

MODELS = ("curves", "pulses", "pulses", "people")
SHEETS_EACH = 4


@dataclass(frozen=True)
class Person:
    hand: Hand
    model: str


def person_of(writer: int) -> Person:
    model = MODELS[writer % len(MODELS)]
    pen = ALL_PENS[np.random.default_rng([writer, 51]).integers(len(ALL_PENS))]
    hand = some_hand(10_000 + writer, pen)
    if model == "pulses":
        hand = replace(hand, model=Model.PULSES)
    return Person(hand, model)


@cache
def _images() -> Mapping[str, NDArray[np.float64]]:
    """For each digit its pictures, shuffled; share of ink.

    At 8 × 8 pixels a few lost the loop that made them a 9 and not a 3: those whose nearest five
    others do not all bear their digit are left out, as nobody could say what is written.
    """
    data = load_digits()
    near = NearestNeighbors(n_neighbors=6).fit(data.data).kneighbors(data.data)[1][:, 1:]
    clear = (data.target[near] == data.target[:, None]).all(axis=1)
    rng = np.random.default_rng(5)
    return {
        str(digit): rng.permutation(data.images[clear & (data.target == digit)] / 16)
        for digit in range(10)
    }


def write(
    sheet: Picture, page: Page, what: Fill, person: Person, number: int
) -> tuple[Picture, list[str]]:
    """Fill a page; also the names of the pictures of digits that were used."""
    answers: dict[str, Value] = dict(what.answers)
    stamped = {}
    if person.model == "people":
        stamped = {one: answers.pop(one.id) for one in digits_on(page, what.answers)}
    filled = fill(sheet, page, answers, person.hand, what.slips)
    scale = filled.shape[1] / page.width
    rng = np.random.default_rng([number, 52])
    used = []
    for one, answer in stamped.items():
        text = written(one, answer)
        for digit, box in zip(text, one.boxes[len(one.boxes) - len(text) :], strict=True):
            if digit != " ":
                pictures = _images()[digit]
                chosen = (number * 7 + len(used)) % len(pictures)
                at = Box(*(scale * v for v in (box.x, box.y, box.width, box.height)))
                stamp(filled, pictures[chosen], at, person.hand, rng)
                used.append(f"{digit}:{chosen}")
    return filled, used
