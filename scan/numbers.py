"""All numbers of a page: their boxes found, their digits read in one go."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from forms.field import Digits
from scan.boxes import cuts_of, outlines
from scan.cells import ASTRAY_MM, cells_of, in_place
from scan.digits import checked, read_number
from scan.guards import Guards
from scan.ink import Area
from scan.network import Guess, digit_network
from scan.pen import PALEST_OUTLINE
from scan.reading import Reading, Status

OUTLINE_MM = 0.3  # on both sides of the outline of a digit box; its neighbour stands 0.8 mm off
FARTHEST_MM = ASTRAY_MM - 0.1  # off their place; at the end of the search lies no outline
LOST = 0.4  # of the page's digit boxes' outlines, darkness below which one is not seen


@dataclass(frozen=True)
class Number:
    """A number's field, with its boxes where their outlines lie, and its piece of the page.

    ``near`` says whether they lie close to where the page's squares put them.
    """

    field: Digits
    area: Area
    near: bool


@dataclass(frozen=True)
class Numbers:
    """What the numbers of a page say by themselves, and the guesses at their digits.

    ``found`` names those whose boxes' outlines were all seen, on every side, close to their place.
    """

    fields: tuple[Digits, ...]
    readings: Mapping[str, Reading]
    guesses: Mapping[str, Sequence[Guess]]
    found: frozenset[str]

    def checked(self, others: Mapping[str, Reading], guards: Guards) -> dict[str, Reading]:
        """Hold each number against what else the page says, its own readings as they are there."""
        return {
            field.id: checked(field, others[field.id], others, guards, self.guesses[field.id])
            for field in self.fields
        }


def read_numbers(places: Sequence[tuple[Digits, Area]], guards: Guards) -> Numbers:
    """Read the numbers of a page.

    Parameters
    ----------
    places : sequence of tuple of Digits and Area
        Each field with its piece of the page.
    guards : Guards
        What makes a doubt.
    """
    found = [_in_place(field, area) for field, area in places]
    cells = [cells_of(one.area, one.field.boxes) for one in found]
    glyphs = [cell.glyph for row in cells for cell in row if cell.glyph is not None]
    guesses = iter(digit_network().guess(glyphs, guards) if glyphs else [])
    readings, own = {}, {}
    for one, row in zip(found, cells, strict=True):
        name = one.field.id
        own[name] = [next(guesses) for cell in row if cell.glyph is not None]
        readings[name] = read_number(one.field, row, own[name], guards)
    lost, whole = _outlined(found)
    fields = tuple(one.field for one in found)
    return Numbers(fields, readings | lost, own, whole)


def _in_place(field: Digits, area: Area) -> Number:
    boxes = tuple(in_place(area, field.boxes))
    (x, y), printed = boxes[0][:2], field.boxes[0]
    away = max(abs(x - printed.x), abs(y - printed.y))
    return Number(replace(field, boxes=boxes), area, away < FARTHEST_MM)


def _outlined(numbers: Sequence[Number]) -> tuple[dict[str, Reading], frozenset[str]]:
    """Numbers with a box whose outline is not where it was printed, or washed out; and whole ones.

    A whole one shows every side of every box.
    """
    owners = [one for one in numbers for _ in one.field.boxes]
    boxes = [box for one in numbers for box in one.field.boxes]
    if not boxes:
        return {}, frozenset()
    dark = outlines(cuts_of([one.area for one in owners], boxes), OUTLINE_MM)
    sides = np.median(dark, axis=1)
    least = max(LOST * float(np.median(sides)), PALEST_OUTLINE)
    gone = _owners(owners, sides < least)
    torn = _owners(owners, dark.min(axis=1) < least)
    lost = dict.fromkeys(sorted(gone), Reading(Status.OUTSIDE, None, 1.0))
    return lost, frozenset(one.field.id for one in numbers if one.near) - torn


def _owners(owners: Sequence[Number], of: np.ndarray) -> set[str]:
    """Names of the numbers to whom those boxes (N,) belong."""
    return {one.field.id for one, chosen in zip(owners, of, strict=True) if chosen}
