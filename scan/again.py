"""A page found again in a photo that was read before, to be looked at by people."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np

from forms.errors import UserError
from forms.field import Box
from forms.layout import Page
from scan.arrays import Grey, Points
from scan.fiducials import Fiducial, Pyramid, by_page, find_fiducials, pyramid
from scan.ink import Sight, sight_of
from scan.page import flatten
from scan.photo import pictures
from scan.snap import settled


@dataclass(frozen=True)
class Again:
    """A page in its photo: the picture as it was taken (H, W), and its flattened sight."""

    picture: Grey
    sight: Sight

    def flat(self, frame: Box) -> Grey:
        """Flatten a piece of the page, eight pixels a millimetre. [mm]."""
        return self.sight.picture(frame)

    def corners(self, box: Box) -> Points:
        """Find a box's corners in the picture; (4, 2). [px]."""
        (x, y), (right, bottom) = box[:2], (box.x + box.width, box.y + box.height)
        places = ((x, y), (right, y), (right, bottom), (x, bottom))
        return self.sight.flat.at(np.array(places))


def find_again(data: bytes, position: int, page: Page) -> Again | None:
    """Find the page that stood at a place among all pages of a file.

    Parameters
    ----------
    data : bytes
        The file, as it came or without the camera's notes.
    position : int
        The place among all pages of the file, as ``read_photo`` counts them.
    page : Page
        Where everything was printed on it.

    Returns
    -------
    Again or None
        None when the file no longer shows it.
    """
    try:
        found = next(islice(_pages(data), position, None), None)
        if found is None:
            return None
        levels, squares = found
        sight = sight_of(levels, flatten(squares, page), page.marks)
        return Again(levels[0], replace(sight, flat=settled(sight, page)))
    except UserError:
        return None


def _pages(data: bytes) -> Iterator[tuple[Pyramid, list[Fiducial]]]:
    for picture in pictures(data, "the photo"):
        levels = pyramid(picture.grey)
        for squares in by_page(find_fiducials(levels)).values():
            yield levels, squares
