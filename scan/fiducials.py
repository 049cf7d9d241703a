"""The black squares at a page's edges: which page it is, and how it lies.

Squares of page p carry the numbers 8(p-1) to 8(p-1)+7: corners clockwise from the upper left,
then upper, right, lower and left edge.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from forms.marks import DICTIONARY, MARKS_PER_PAGE, MOST_PAGES, page_marks
from forms.paper import Card, Format, Paper
from scan.arrays import Grey, Points
from scan.opencv import cv2

PLACES = (
    "upper left corner",
    "upper right corner",
    "lower right corner",
    "lower left corner",
    "upper edge",
    "right edge",
    "lower edge",
    "left edge",
)
SMALLEST_SIDE = 700  # pixels of a picture's longer side in which squares are looked for
COARSE_RATE = 0.06  # least outline over the picture's side at a quarter; boxes are smaller
RATE = 0.03  # and at finer resolutions
KINDS = (Paper.LETTER, Card.QUARTER)  # to tell sheets apart by; the middle of A4 is 9 mm off
SAME_SHEET = 0.28  # of its height: apart, at most, where squares of one sheet put its middle
MOST_UNLIKE = 1.5  # times the size of a sheet's other squares
ENOUGH = 4  # squares to flatten a page by


@dataclass(frozen=True)
class Fiducial:
    """One square: its number and its corners, clockwise from its own upper left. [px]."""

    id: int
    corners: Points  # (4, 2)

    @property
    def middle(self) -> Points:
        """Where its diagonals meet, nearly; (2,). [px]."""
        return np.asarray(self.corners.mean(axis=0))

    @property
    def side(self) -> float:
        """Mean length of its sides. [px]."""
        return float(np.linalg.norm(self.corners - np.roll(self.corners, 1, axis=0), axis=1).mean())

    @property
    def page(self) -> int:
        """Page of the form that it stands on, from 1."""
        return self.id // MARKS_PER_PAGE + 1

    @property
    def place(self) -> str:
        """Where on the page it stands, in words."""
        return PLACES[self.id % MARKS_PER_PAGE]


Pyramid = Sequence[Grey]  # the picture, its half, its quarter, its eighth


def pyramid(grey: Grey) -> Pyramid:
    """Halve a picture three times; each pixel is the mean of four."""
    levels = [grey]
    for _ in range(3):
        height, width = levels[-1].shape
        size = (max(1, width // 2), max(1, height // 2))
        levels.append(np.asarray(cv2.resize(levels[-1], size, interpolation=cv2.INTER_AREA)))
    return levels


def find_fiducials(levels: Pyramid) -> list[Fiducial]:
    """Find the squares of all pages in a picture, coarse and cheap first.

    Parameters
    ----------
    levels : sequence of ndarray
        The picture, its half, quarter and eighth.

    Returns
    -------
    list of Fiducial
        Corners to a fraction of a pixel in the full picture. The same number twice means two
        sheets.
    """
    found: list[Fiducial] = []
    for level in (2, 1, 0):
        if max(levels[level].shape) < SMALLEST_SIDE and level:
            continue
        for fiducial in _detected(levels[level], level):
            if not any(_same(fiducial, other) for other in found):
                found.append(fiducial)
        if _all_complete(found) or (level == 1 and _all_enough(found)):
            break
    return [_refined(fiducial, levels) for fiducial in found]


def by_page(found: Sequence[Fiducial]) -> dict[int, list[Fiducial]]:
    """Sort squares by the page that they stand on."""
    pages: dict[int, list[Fiducial]] = {}
    for fiducial in sorted(found, key=lambda one: one.id):
        pages.setdefault(fiducial.page, []).append(fiducial)
    return pages


def by_sheet(found: Sequence[Fiducial]) -> list[list[Fiducial]]:
    """Sort squares by the sheet that they stand on, one sheet or several of each page.

    A few squares amid a sheet that has enough of its own are a chance likeness, such as a marked
    box in a heavy frame: no sheet shows its edge there.
    """
    pages = by_page(found).values()
    sheets = [sheet for squares in pages for sheet in _sheets_of(squares)]
    whole = [sheet for sheet in sheets if len(sheet) >= ENOUGH]
    return [sheet for sheet in sheets if not any(_is_amid(sheet, other) for other in whole)]


def _is_amid(few: Sequence[Fiducial], sheet: Sequence[Fiducial]) -> bool:
    """Whether fewer squares than a page is flattened by all lie between a sheet's own."""
    if len(few) >= ENOUGH:
        return False
    outline = cv2.convexHull(np.array([one.middle for one in sheet], np.float32))
    return all(cv2.pointPolygonTest(outline, tuple(one.middle), False) > 0 for one in few)


def _sheets_of(squares: list[Fiducial]) -> list[list[Fiducial]]:
    """Split squares of one page, if any is there twice, by where each puts its page's middle.

    Taken for squares of another kind of paper, they scatter; of theirs, they make the fewest.
    """
    squares = _without_stray(squares)
    if len({one.id for one in squares}) == len(squares):
        return [squares]
    return min((_split(squares, kind) for kind in KINDS), key=len)


def _split(squares: list[Fiducial], kind: Format) -> list[list[Fiducial]]:
    sheets: list[list[Fiducial]] = []
    for one in squares:
        middle = _page_middle(one, kind)
        near = (sheet for sheet in sheets if _is_near(middle, sheet[0], kind))
        home = next(near, None)
        if home is None:
            sheets.append([one])
        else:
            home.append(one)
    return sheets


def _without_stray(squares: list[Fiducial]) -> list[Fiducial]:
    """Leave out one square that is there twice and far from the others' size: a chance likeness."""
    usual = float(np.median([one.side for one in squares]))
    ids = [one.id for one in squares]
    odd = [
        one
        for one in squares
        if ids.count(one.id) > 1 and not usual / MOST_UNLIKE < one.side < usual * MOST_UNLIKE
    ]
    return [one for one in squares if one is not odd[0]] if len(odd) == 1 else squares


def _is_near(middle: Points, first: Fiducial, kind: Format) -> bool:
    away = float(np.linalg.norm(middle - _page_middle(first, kind)))
    return away < SAME_SHEET * kind.height / kind.mark * first.side


def _page_middle(fiducial: Fiducial, kind: Format) -> Points:
    """Where a square by itself puts the middle of its page; (2,). [px]."""
    mark = page_marks(kind, fiducial.page)[fiducial.id % MARKS_PER_PAGE]
    middle = np.array([kind.width / 2, kind.height / 2])
    away = (middle - np.array(mark.corner) - mark.size / 2) / mark.size
    upper_left, upper_right, _, lower_left = fiducial.corners
    across, down = upper_right - upper_left, lower_left - upper_left
    return np.asarray(fiducial.middle + away[0] * across + away[1] * down)


def _detected(grey: Grey, level: int) -> list[Fiducial]:
    corners, ids, _ = _detector(COARSE_RATE if level == 2 else RATE).detectMarkers(grey)
    if ids is None:
        return []
    scale = 2.0**level
    return [
        Fiducial(int(id_), (np.asarray(quad, np.float64).reshape(4, 2) + 0.5) * scale - 0.5)
        for id_, quad in zip(np.asarray(ids).ravel(), corners, strict=True)  # (N,) or (N, 1)
        if id_ < MARKS_PER_PAGE * MOST_PAGES
    ]


def _detector(rate: float) -> cv2.aruco.ArucoDetector:
    """Make a detector of squares whose outline is at least this share of the picture's side."""
    dictionary = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, DICTIONARY))
    parameters = cv2.aruco.DetectorParameters()
    parameters.minMarkerPerimeterRate = rate
    return cv2.aruco.ArucoDetector(dictionary, parameters)


def _same(one: Fiducial, other: Fiducial) -> bool:
    near = float(np.linalg.norm(one.middle - other.middle)) < 0.5 * one.side
    return one.id == other.id and near


def _all_complete(found: Sequence[Fiducial]) -> bool:
    pages = by_page(found)
    return bool(pages) and all(len(marks) >= MARKS_PER_PAGE for marks in pages.values())


def _all_enough(found: Sequence[Fiducial]) -> bool:
    pages = by_page(found)
    return bool(pages) and all(len(marks) >= ENOUGH for marks in pages.values())


def _refined(fiducial: Fiducial, levels: Pyramid) -> Fiducial:
    """Sharpen the corners at half, then at full resolution."""
    corners = fiducial.corners
    for level in (1, 0):
        scale = 2.0**level
        reach = int(np.clip(fiducial.side / scale / 6 * 0.45, 2, 7))  # under half a module
        corners = (_sharpened(levels[level], (corners + 0.5) / scale - 0.5, reach) + 0.5) * scale
        corners = corners - 0.5
    return Fiducial(fiducial.id, corners)


def _sharpened(grey: Grey, corners: Points, reach: int) -> Points:
    """Move each corner to where its edges cross, unless that is farther than ``reach``. [px]."""
    edge = reach + 2
    height, width = grey.shape
    inside = (corners > edge).all() and (corners < (width - edge, height - edge)).all()
    if not inside:
        return corners
    start = corners.astype(np.float32).reshape(-1, 1, 2).copy()
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 30, 0.01)
    moved = cv2.cornerSubPix(grey, start, (reach, reach), (-1, -1), stop).reshape(-1, 2)
    near = np.linalg.norm(moved - corners, axis=1) <= reach
    return np.where(near[:, None], moved, corners).astype(np.float64)
