"""All numbers of a page: their boxes found, their digits read in one go."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from forms.field import Digits
from scan.boxes import cuts_of, outlines
from scan.cells import cells_of, in_place
from scan.digits import checked, read_number
from scan.guards import Guards
from scan.ink import Area
from scan.network import Guess, digit_network
from scan.pen import PALEST_OUTLINE
from scan.reading import Reading, Status

OUTLINE_MM = 0.3  # on both sides of the outline of a digit box; its neighbour stands 0.8 mm off
LOST = 0.4  # of the page's digit boxes' outlines, darkness below which one is not seen


@dataclass(frozen=True)
class Number:
    """A number's field, with its boxes where their outlines lie, and its piece of the page."""

    field: Digits
    area: Area


@dataclass(frozen=True)
class Numbers:
    """What the numbers of a page say by themselves, and the chance of each of their digits."""

    fields: tuple[Digits, ...]
    readings: Mapping[str, Reading]
    chances: Mapping[str, Sequence[float]]

    def checked(self, others: Mapping[str, Reading], guards: Guards) -> dict[str, Reading]:
        """Hold each number against what else the page says, its own readings as they are there."""
        return {
            field.id: checked(field, others[field.id], others, guards, self.chances[field.id])
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
    readings, chances = {}, {}
    for one, row in zip(found, cells, strict=True):
        own: list[Guess] = [next(guesses) for cell in row if cell.glyph is not None]
        readings[one.field.id] = read_number(one.field, row, own, guards)
        chances[one.field.id] = [guess.chance for guess in own]
    return Numbers(tuple(one.field for one in found), readings | _lost(found), chances)


def _in_place(field: Digits, area: Area) -> Number:
    return Number(replace(field, boxes=tuple(in_place(area, field.boxes))), area)


def _lost(numbers: Sequence[Number]) -> dict[str, Reading]:
    """Numbers whose boxes' outlines are not where they were printed, or washed out."""
    owners = [one for one in numbers for _ in one.field.boxes]
    boxes = [box for one in numbers for box in one.field.boxes]
    if not boxes:
        return {}
    dark = outlines(cuts_of([one.area for one in owners], boxes), OUTLINE_MM)
    sides = np.median(dark, axis=1)
    lost = sides < max(LOST * float(np.median(sides)), PALEST_OUTLINE)
    gone = {one.field.id for one, is_lost in zip(owners, lost, strict=True) if is_lost}
    return dict.fromkeys(sorted(gone), Reading(Status.OUTSIDE, None, 1.0))
