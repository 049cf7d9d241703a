"""Where the paper's millimetres lie in the picture, and how surely.

A flat or bent sheet through all corners of the squares gives perspective and curl, a thin-plate
spline through their middles what is left. The error at each square, predicted from the others,
gates everything.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.interpolate import RBFInterpolator

from forms.layout import Page
from scan.arrays import Floats, Points
from scan.errors import EdgeMissing
from scan.fiducials import PLACES, Fiducial
from scan.guards import GUARDS
from scan.squares import Square, consistent, squares_of, surface_through
from scan.surface import Bent, Surface

NODE_MM = 4.0  # spacing of the grid on which the map is kept
ENOUGH_FOR_SPLINE = 6
SMOOTHING = 0.5  # of the spline; scipy's unit


@dataclass(frozen=True)
class Flat:
    """A page's millimetres in the picture's pixels.

    ``nodes`` is (rows, columns, 2): the pixel of every fourth millimetre, from (0, 0).
    ``hull`` holds the middles of the squares that it rests on. [mm]
    """

    nodes: np.ndarray
    hull: Points
    residual_mm: float
    model: str
    px_per_mm: float

    def grid(self, xs: np.ndarray, ys: np.ndarray) -> np.ndarray:
        """Pixels of a grid of millimetres.

        Parameters
        ----------
        xs, ys : ndarray of shape (W,) and (H,)
            Places on the page. [mm]

        Returns
        -------
        ndarray of shape (H, W, 2), float32
            x and y. [px]
        """
        row, down = _split(ys, self.nodes.shape[0])
        column, right = _split(xs, self.nodes.shape[1])
        near = self.nodes[:, column.min() : column.max() + 2].reshape(len(self.nodes), -1)
        lines = near[row] + (near[1:] - near[:-1])[row] * down[:, None]
        column = column - column.min()
        places = _pairs(lines[:, 2:] - lines[:, :-2], column)
        places *= np.repeat(right, 2)
        places += _pairs(lines, column)
        return places.reshape(len(ys), len(xs), 2)

    def at(self, points: Points) -> Points:
        """Pixels (N, 2) of scattered points (N, 2). [mm -> px]."""
        row, down = _split(points[:, 1], self.nodes.shape[0])
        column, right = _split(points[:, 0], self.nodes.shape[1])
        upper = self.nodes[row, column] * (1 - right)[:, None]
        upper = upper + self.nodes[row, column + 1] * right[:, None]
        lower = self.nodes[row + 1, column] * (1 - right)[:, None]
        lower = lower + self.nodes[row + 1, column + 1] * right[:, None]
        return np.asarray(upper * (1 - down)[:, None] + lower * down[:, None], np.float64)

    def px(self, point: tuple[float, float]) -> Points:
        """Pixel of one point; (2,). [mm -> px]."""
        return np.asarray(self.at(np.array([point]))[0])


def _pairs(lines: np.ndarray, column: np.ndarray) -> np.ndarray:
    """Take the x and y (H, 2 W) of some columns (W,) from lines (H, 2 N) of them, float32."""
    both = np.ascontiguousarray(lines).view(np.complex64)  # moved together
    return np.take(both, column, axis=1).view(np.float32)


def _split(places: np.ndarray, count: int) -> tuple[np.ndarray, Floats]:
    """Node before each place, and how far it lies toward the next; beyond 0 and 1 at the ends."""
    at = places / NODE_MM
    node = np.clip(at.astype(int), 0, count - 2)
    return node, (at - node).astype(np.float32)


def flatten(found: Sequence[Fiducial], page: Page, *, stray_mm: float = GUARDS.stray_mm) -> Flat:
    """Fit the page to its squares.

    Parameters
    ----------
    found : sequence of Fiducial
        This page's squares in the picture, each number once.
    page : Page
        Where they were printed.
    stray_mm : float
        A square farther off than this from where the others put it is not this page's. [mm]

    Raises
    ------
    EdgeMissing
        Fewer than four squares, or all on one side.
    MarksDisagree
        They do not stand as on one sheet.
    """
    squares = consistent(squares_of(found, page.marks), page.page, stray_mm)
    if not squares:
        raise EdgeMissing(page.page, len(found), _missing(found))
    surface = surface_through(squares)
    spline = _spline(squares, surface)
    flat = Flat(
        nodes=_nodes(page, surface, spline),
        hull=np.stack([square.middle_mm for square in squares]),
        residual_mm=_residual(squares, surface),
        model=_model(surface, spline),
        px_per_mm=0.0,
    )
    return replace(flat, px_per_mm=_px_per_mm(flat, page))


def located(found: Sequence[Fiducial], page: Page, *, stray_mm: float = GUARDS.stray_mm) -> Flat:
    """Find where a page lies, well enough to read its code: without residual and fine shape.

    Parameters and refusals are those of ``flatten``.
    """
    squares = consistent(squares_of(found, page.marks), page.page, stray_mm)
    if not squares:
        raise EdgeMissing(page.page, len(found), _missing(found))
    surface = surface_through(squares)
    hull = np.stack([square.middle_mm for square in squares])
    return Flat(_nodes(page, surface, None), hull, np.inf, _model(surface, None), 0.0)


def _model(surface: Surface, spline: RBFInterpolator | None) -> str:
    if isinstance(surface, Bent):
        return "bend"
    return "homography" if spline is None else "spline"


def _missing(found: Sequence[Fiducial]) -> list[str]:
    """Name the places on the page whose squares were not found."""
    seen = {one.place for one in found}
    return [place for place in PLACES if place not in seen]


def _residual(squares: Sequence[Square], surface: Surface) -> float:
    """Root mean square of how far each square lies from where the others predict it. [mm]."""
    errors = [_left_out(squares, out, surface) for out in squares]
    return float(np.sqrt(np.mean(np.square(errors))))


def _left_out(squares: Sequence[Square], out: Square, surface: Surface) -> float:
    others = [square for square in squares if square is not out]
    fitted = surface_through(others, like=surface)
    spline = _spline(others, fitted)
    predicted = fitted.at(out.middle_mm[None])
    if spline is not None:
        predicted = predicted + spline(out.middle_mm[None])
    return out.away_mm(predicted[0])


def _spline(squares: Sequence[Square], surface: Surface) -> RBFInterpolator | None:
    """Fit what the surface leaves at the squares' middles. [mm -> px]."""
    if len(squares) < ENOUGH_FOR_SPLINE:
        return None
    middles = np.stack([square.middle_mm for square in squares])
    left = np.stack([square.middle_px for square in squares]) - surface.at(middles)
    return RBFInterpolator(middles, left, kernel="thin_plate_spline", smoothing=SMOOTHING)


def _nodes(page: Page, surface: Surface, spline: RBFInterpolator | None) -> np.ndarray:
    columns, rows = (int(np.ceil(length / NODE_MM)) + 2 for length in (page.width, page.height))
    ys, xs = np.mgrid[:rows, :columns] * NODE_MM
    points = np.stack([xs.ravel(), ys.ravel()], axis=1)
    px = surface.at(points)
    if spline is not None:
        px = px + spline(points)
    return np.asarray(px.reshape(rows, columns, 2), dtype=np.float32)


def _px_per_mm(flat: Flat, page: Page) -> float:
    """Resolution in the middle of the page: root of the area of a square millimetre. [px/mm]."""
    x, y = page.width / 2, page.height / 2
    a, b, c = (flat.px(point) for point in ((x, y), (x + 8, y), (x, y + 8)))
    one, other = (b - a) / 8, (c - a) / 8
    return float(np.sqrt(abs(one[0] * other[1] - one[1] * other[0])))


__all__ = ["PLACES", "Flat", "flatten", "located"]
