"""The squares of one page, on paper and in the picture: which of them stand as on one sheet."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from forms.layout import Mark
from scan.arrays import Points
from scan.errors import MarksDisagree, TooSmall
from scan.fiducials import ENOUGH, Fiducial
from scan.surface import Bent, Surface, bent_through, plane_through

LEAST_PX_PER_MM = 3.9  # 100 dpi
MOST_STRAYS = 2
FLAT_MM = 0.1  # root mean square of what a plane leaves at the corners, up to which a sheet is flat
ENOUGH_BENT = 6  # squares to tell how a sheet is bent
BENT_MM = 0.2  # what a bent sheet may leave where strays are not left out; a torn one leaves .3


@dataclass(frozen=True)
class Square:
    """A square on paper and in the picture, by its corners (4, 2), clockwise."""

    mm: Points
    px: Points

    @property
    def middle_mm(self) -> Points:
        """Middle on paper; (2,)."""
        return np.asarray(self.mm.mean(axis=0))

    @property
    def middle_px(self) -> Points:
        """Where the diagonals meet; unlike the mean, it keeps its place in perspective."""
        (a, b, c, d) = self.px
        one, other = c - a, d - b
        cross = one[0] * other[1] - one[1] * other[0]
        share = ((b - a)[0] * other[1] - (b - a)[1] * other[0]) / cross
        return np.asarray(a + share * one)

    @property
    def px_per_mm(self) -> float:
        """Scale along its diagonal."""
        return float(
            np.linalg.norm(self.px[0] - self.px[2]) / np.linalg.norm(self.mm[0] - self.mm[2])
        )

    def away_mm(self, middle_px: Points) -> float:
        """How far a place in the picture (2,) lies from its middle. [mm]."""
        error = float(np.linalg.norm(middle_px - self.middle_px) / self.px_per_mm)
        return error if np.isfinite(error) else np.inf


def squares_of(found: Sequence[Fiducial], marks: Sequence[Mark]) -> list[Square]:
    """Pair what was found with what was printed."""
    printed = {mark.id: mark for mark in marks}
    return [Square(_corners(printed[one.id]), one.corners) for one in found if one.id in printed]


def _corners(mark: Mark) -> Points:
    x, y, side = *mark.corner, mark.size
    return np.array([[x, y], [x + side, y], [x + side, y + side], [x, y + side]])


def surface_through(squares: Sequence[Square], like: Surface | None = None) -> Surface:
    """Fit a flat sheet, or where that leaves too much a bent one; or one ``like`` another."""
    mm, px = _all_corners(squares)
    if isinstance(like, Bent):
        return bent_through(mm, px, [like.direction])
    plane = plane_through(mm, px)
    if like is not None or len(squares) < ENOUGH_BENT or _left_mm(squares, plane) <= FLAT_MM:
        return plane
    return bent_through(mm, px)


def _all_corners(squares: Sequence[Square]) -> tuple[Points, Points]:
    mm = np.concatenate([square.mm for square in squares])
    return mm, np.concatenate([square.px for square in squares])


def _left_mm(squares: Sequence[Square], surface: Surface) -> float:
    """Root mean square of what a surface leaves at all corners. [mm]."""
    mm, px = _all_corners(squares)
    away = np.linalg.norm(surface.at(mm) - px, axis=1)
    scale = np.repeat([square.px_per_mm for square in squares], 4)
    left = float(np.sqrt(np.mean((away / scale) ** 2)))
    return left if np.isfinite(left) else np.inf


def consistent(squares: list[Square], page: int, stray_mm: float) -> list[Square]:
    """Leave out squares that do not stand where the others say; none if too few remain.

    Parameters
    ----------
    squares : list of Square
        Of one page.
    page : int
        Its number, for the message.
    stray_mm : float
        How far one may lie from where the others put it on a flat sheet, unless all of them lie on
        a bent one. [mm]

    Raises
    ------
    MarksDisagree, TooSmall
        So many are off that it is not one sheet, or they are too small to tell.
    """
    kept = list(squares)
    while len(kept) >= ENOUGH:
        worst = _worst(kept)
        if worst <= stray_mm or _lie_on_a_bend(kept):
            return kept if _wide_enough(kept) else []
        few = len(squares) < ENOUGH_BENT  # of a curled sheet, they say little of the others' places
        if few or len(kept) == ENOUGH or len(squares) - len(kept) == MOST_STRAYS:
            small = _too_small(squares)
            if few and small is None:
                return []
            raise small or MarksDisagree(page, worst)
        kept = min(([one for one in kept if one is not out] for out in kept), key=_misfit)
    return []


def _too_small(squares: Sequence[Square]) -> TooSmall | None:
    """Say whether squares are so small that their corners can't be placed well."""
    usual = float(np.median([square.px_per_mm for square in squares]))
    return TooSmall(usual) if usual < LEAST_PX_PER_MM else None


def _worst(squares: Sequence[Square]) -> float:
    """How far a square lies at most from where a flat sheet through the others puts it. [mm]."""
    planes = (
        (out, plane_through(*_all_corners([one for one in squares if one is not out])))
        for out in squares
    )
    return max(out.away_mm(plane.at(out.middle_mm[None])[0]) for out, plane in planes)


def _lie_on_a_bend(squares: Sequence[Square]) -> bool:
    if len(squares) < ENOUGH_BENT:
        return False
    return _left_mm(squares, bent_through(*_all_corners(squares))) <= BENT_MM


def _misfit(squares: Sequence[Square]) -> float:
    mm, px = _all_corners(squares)
    error = np.abs(plane_through(mm, px).at(mm) - px).max()
    return float(error) if np.isfinite(error) else np.inf


def _wide_enough(squares: Sequence[Square]) -> bool:
    """Tell whether the squares span the page both ways; four along one edge do not."""
    middles = np.stack([square.middle_mm for square in squares])
    return bool((np.ptp(middles, axis=0) > 80).all())
