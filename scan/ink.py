"""Flattened pieces of a page as darkness: 0 paper, 1 the print's own black, light divided out."""

from dataclasses import dataclass, replace

import numpy as np

from forms.field import Box
from forms.layout import Mark
from scan.arrays import Floats, Grey
from scan.errors import TooDark, TooSmall
from scan.fiducials import Pyramid
from scan.opencv import cv2, sampled
from scan.page import Flat
from scan.squares import LEAST_PX_PER_MM

PX_PER_MM = 8.0  # of flattened pieces: a 0.35 mm stroke is 3 pixels wide
WHITE_MM = 9.0  # dark things narrower than this do not darken the paper's white
FULL_DETAIL = 12.0  # [px/mm] above this the half picture holds enough
DARKEST_PAPER = 50  # of 255; below it, grain is as dark as pencil
EDGE_PX = 8.0  # a piece whose corners keep this far from the picture's edge is all in it
LEAST_BLACK = 0.25  # darkness of print below which it is taken for washed out


def grown(box: Box, by: float) -> Box:
    """Widen a box on all sides. [mm]."""
    return Box(box.x - by, box.y - by, box.width + 2 * by, box.height + 2 * by)


@dataclass(frozen=True)
class Area:
    """A flattened piece of the page.

    ``ink`` is (H, W) darkness, ``seen`` (H, W) whether the place is in the picture; ``frame`` its
    place on the page. [mm]
    """

    ink: Floats
    seen: np.ndarray
    frame: Box

    def cut(self, box: Box) -> Floats:
        """Darkness inside a box on the page. [mm]."""
        return self.ink[self._window(box)]

    def sees(self, box: Box) -> bool:
        """Tell whether the whole box is in the picture."""
        seen = self.seen[self._window(box)]
        return bool(seen.size and seen.all())

    def _window(self, box: Box) -> tuple[slice, slice]:
        x, y = box.x - self.frame.x, box.y - self.frame.y
        return _span(y, box.height, self.ink.shape[0]), _span(x, box.width, self.ink.shape[1])


def _span(start: float, length: float, most: int) -> slice:
    """Pixels of a stretch; boxes of one size have one number of pixels wherever they stand."""
    count = min(max(round(length * PX_PER_MM), 0), most)
    first = min(max(round(start * PX_PER_MM), 0), most - count)
    return slice(first, first + count)


@dataclass(frozen=True)
class Sight:
    """A flattened page in its photo, ready to be cut into areas.

    ``source`` is the picture at the resolution that serves, ``shrink`` its scale; ``white`` the
    paper's brightness everywhere at an eighth of the full size; ``black`` the darkness of print.
    """

    source: Grey
    shrink: float
    white: Grey
    flat: Flat
    black: float = 1.0

    def area(self, frame: Box) -> Area:
        """Flatten a piece of the page and divide the light out of it."""
        ink, seen = self.ink(frame, PX_PER_MM)
        return Area(ink, seen, frame)

    def ink(self, frame: Box, px_per_mm: float) -> tuple[Floats, np.ndarray]:
        """Darkness (H, W) of a piece of the page, and whether each place is in the picture."""
        places = self._places(frame, px_per_mm)
        seen = self._seen(places)
        piece = _brightness(self.source, places, self.shrink)
        ink = _brightness(self.white, places, 8.0)
        np.maximum(ink, 8.0, out=ink)
        np.divide(piece, ink, out=ink)
        np.subtract(1, ink, out=ink)
        ink /= np.float32(self.black)
        np.clip(ink, 0, 1.5, out=ink)
        if not seen.all():
            ink[~seen] = 0
        return ink, seen

    def _seen(self, places: np.ndarray) -> np.ndarray:  # (H, W) bool
        height, width = self.source.shape
        most = np.array((width - 1, height - 1), np.float32) * np.float32(self.shrink)
        ends = places[:: max(1, len(places) - 1), :: max(1, places.shape[1] - 1)]
        if (ends > EDGE_PX).all() and (ends < most - EDGE_PX).all():
            return np.broadcast_to(np.True_, places.shape[:2])
        return np.asarray(((places > 1) & (places < most)).all(axis=2))

    def picture(self, frame: Box) -> Grey:
        """Flatten a piece of the page as people look at it."""
        piece = _brightness(self.source, self._places(frame, PX_PER_MM), self.shrink)
        return np.asarray(piece, dtype=np.uint8)

    def _places(self, frame: Box, px_per_mm: float) -> np.ndarray:
        """Pixels of the full picture (H, W, 2) for each pixel of the flattened piece."""
        xs = frame.x + (np.arange(round(frame.width * px_per_mm)) + 0.5) / px_per_mm
        ys = frame.y + (np.arange(round(frame.height * px_per_mm)) + 0.5) / px_per_mm
        return self.flat.grid(xs, ys)


def _brightness(grey: Grey, places: np.ndarray, shrink: float) -> Floats:
    if shrink != 1:
        half = np.float32(0.5)
        places = places + half
        places /= np.float32(shrink)
        places -= half
    return np.asarray(sampled(grey, places), dtype=np.float32)


def sight_of(levels: Pyramid, flat: Flat, marks: tuple[Mark, ...]) -> Sight:
    """Make a page ready for cutting.

    Parameters
    ----------
    levels : sequence of ndarray
        The picture, its half, quarter and eighth.
    flat : Flat
        Where the page lies in it.
    marks : tuple of Mark
        The printed squares; they show how dark print is in this photo.

    Raises
    ------
    TooSmall, TooDark
        The photo does not show enough.
    """
    if flat.px_per_mm < LEAST_PX_PER_MM:
        raise TooSmall(flat.px_per_mm)
    level = 1 if flat.px_per_mm > FULL_DETAIL else 0
    sight = Sight(levels[level], 2.0**level, _white(levels[3], flat.px_per_mm / 8), flat)
    paper = _paper(sight)
    if paper < DARKEST_PAPER:
        raise TooDark(paper)
    return replace(sight, black=_black(sight, marks))


def _paper(sight: Sight) -> int:
    """Brightness of the paper in the page's middle half."""
    rows, columns = sight.flat.nodes.shape[:2]
    middle = sight.flat.nodes[rows // 4 : 3 * rows // 4, columns // 4 : 3 * columns // 4]
    return int(np.median(_brightness(sight.white, middle, 8.0)))


def _white(eighth: Grey, px_per_mm: float) -> Grey:
    """Brightness of the bare paper: close dark things, keep shadows."""
    reach = max(3, round(WHITE_MM * px_per_mm) | 1)
    brush = cv2.getStructuringElement(cv2.MORPH_RECT, (reach, reach))
    return np.asarray(cv2.morphologyEx(eighth, cv2.MORPH_CLOSE, brush), dtype=np.uint8)


def _black(sight: Sight, marks: tuple[Mark, ...]) -> float:
    """Darkness of the squares' black rims in this photo."""
    rims = []
    for mark in marks:
        x, y, module = *mark.corner, mark.size / 6
        area = sight.area(Box(x, y, mark.size, module))
        upper = Box(x + module / 2, y + module / 3, mark.size - module, module / 3)
        if area.sees(upper):
            rims.append(float(np.median(area.cut(upper))))
    return max(LEAST_BLACK, float(np.median(rims))) if rims else 1.0
