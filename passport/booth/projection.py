"""Where each point of a sheet lands in its picture, and back.

Pixels are counted from the middle of the top left one, as OpenCV does.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from passport.booth.paper import Sheet
from passport.booth.shot import View
from passport.booth.strokes import Points

_FOCAL = 0.77  # focal length over the longer side: a phone's main camera, 26 mm equivalent
_NEWTON_STEPS = 6
_PROBE_MM = 0.05


@dataclass(frozen=True)
class Projection:
    """A bent sheet seen by a camera.

    Attributes
    ----------
    axes : ndarray of shape (3, 3)
        Rotation from the sheet's to the camera's axes.
    distance : float
        From the camera to the sheet's middle. [mm]
    shift : tuple of float
        Where the sheet's middle would be seen, from the picture's middle. [px]
    """

    sheet: Sheet
    size: tuple[int, int]
    axes: Points
    distance: float
    shift: tuple[float, float]
    lens: float

    def to_photo(self, points: Points) -> Points:
        """Points of the sheet, (N, 2) [mm], in the picture, (N, 2) [px]."""
        space = self.sheet.in_space(np.asarray(points, dtype=float)) * (1, 1, -1)
        seen = space @ self.axes.T + (0, 0, self.distance)
        focal = _FOCAL * max(self.size)
        flat = focal * seen[:, :2] / seen[:, 2:] + self.shift
        radius2 = (flat**2).sum(axis=1, keepdims=True) / (np.hypot(*self.size) / 2) ** 2
        return np.asarray(flat * (1 + self.lens * radius2) + (np.array(self.size) - 1) / 2)

    def to_page(self, pixels: Points) -> Points:
        """Points of the picture, (N, 2) [px], on the sheet, (N, 2) [mm], beyond its edge too.

        By Newton's method; off by less than 0.001 px.
        """
        page = np.full(pixels.shape, (self.sheet.width / 2, self.sheet.height / 2))
        limit = 1.5 * max(self.sheet.width, self.sheet.height)
        for _ in range(_NEWTON_STEPS):
            step = self._step(page, pixels)
            page = np.clip(page + step, -limit, 2 * limit)
        return page

    def _step(self, page: Points, pixels: Points) -> Points:
        here = self.to_photo(page)
        by_x, by_y = ((self.to_photo(page + d) - here) / _PROBE_MM for d in _PROBES)
        miss = pixels - here
        det = by_x[:, 0] * by_y[:, 1] - by_x[:, 1] * by_y[:, 0]
        x = (miss[:, 0] * by_y[:, 1] - miss[:, 1] * by_y[:, 0]) / det
        y = (by_x[:, 0] * miss[:, 1] - by_x[:, 1] * miss[:, 0]) / det
        return np.column_stack([x, y])


_PROBES = (np.array([_PROBE_MM, 0.0]), np.array([0.0, _PROBE_MM]))


def projection_of(view: View) -> Projection:
    """Place the camera so that the sheet fills the picture as far as was drawn."""
    axes = _axes(view)
    start = Projection(view.sheet, view.size, axes, 1.0, (0.0, 0.0), 0.0)
    near, far = (side * max(view.sheet.width, view.sheet.height) for side in (0.6, 8))

    def fill(distance: float) -> float:
        return _fill(replace(start, distance=distance))

    placed = replace(start, distance=_crossing(fill, view.fill, near, far))
    return replace(placed, shift=_shift(placed, view.offset), lens=view.lens)


def _axes(view: View) -> Points:
    turn, lean, tilt = (np.radians(a) for a in (view.turn_deg, view.lean_deg, view.tilt_deg))
    back = _about_z(-lean)
    over = np.array([[1, 0, 0], [0, np.cos(tilt), -np.sin(tilt)], [0, np.sin(tilt), np.cos(tilt)]])
    return np.asarray(_about_z(lean) @ over @ back @ _about_z(turn))


def _about_z(angle: float) -> Points:
    cos, sin = np.cos(angle), np.sin(angle)
    return np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1]])


def _extent(projection: Projection) -> tuple[Points, Points]:
    seen = projection.to_photo(projection.sheet.outline)
    return seen.min(axis=0), seen.max(axis=0)


def _fill(projection: Projection) -> float:
    """Extent of the sheet over the picture's, on the tighter side."""
    low, high = _extent(projection)
    return float(((high - low) / projection.size).max())


def _crossing(falling: Callable[[float], float], value: float, low: float, high: float) -> float:
    """Where a falling function takes a value, by bisection."""
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if falling(middle) > value else (low, middle)
    return (low + high) / 2


def _shift(projection: Projection, offset: tuple[float, float]) -> tuple[float, float]:
    """Move the sheet into the picture, off its middle by a share of the room that is left."""
    low, high = _extent(projection)
    size = np.array(projection.size)
    room = (size - (high - low)) / 2
    x, y = (size - 1) / 2 - (low + high) / 2 + np.array(offset) * room
    return float(x), float(y)
