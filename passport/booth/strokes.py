"""Curves that a pen draws: smooth paths, the tremor and pressure of a hand, ink on a picture."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from passport.booth.pens import Pen

Points = NDArray[np.float64]  # (N, 2), x and y
Picture = NDArray[np.uint8]  # (H, W) grey or (H, W, 3) blue, green, red

STEP_MM = 0.15  # length of the straight pieces that a stroke is drawn with
_SAMPLES = 10  # points of a curve between two given ones
_OVERSAMPLING = 3  # ink is drawn this much finer than the picture, then averaged
_SUBPIXEL_BITS = 4


@dataclass(frozen=True)
class Stroke:
    """One pull of the pen, from setting down to lifting.

    Attributes
    ----------
    points : ndarray of shape (N, 2)
        Where the tip goes, evenly spaced. [mm]
    pressure : ndarray of shape (N,)
        How firmly: 1 normal, 0 hardly touching. [1]
    """

    points: Points
    pressure: NDArray[np.float64]


def curve(path: Sequence[Sequence[float]] | Points) -> Points:
    """Smooth line through points; a point given twice is a corner.

    Parameters
    ----------
    path : sequence of (x, y)
        At least two points.

    Returns
    -------
    ndarray of shape (M, 2)
        Points close together, the given ones among them.

    References
    ----------
    Catmull and Rom (1974), A class of local interpolating splines; the uniform form.
    """
    points = np.asarray(path, dtype=float)
    same = np.flatnonzero((np.diff(points, axis=0) == 0).all(axis=1)) + 1
    pieces = [_smooth(piece) for piece in np.split(points, same) if len(piece) > 1]
    return np.vstack(pieces)


def _smooth(points: Points) -> Points:
    ends = 2 * points[[0, -1]] - points[[1, -2]]
    padded = np.vstack([ends[:1], points, ends[1:]])
    a, b, c, d = (padded[i : len(padded) - 3 + i, None] for i in range(4))
    t = np.linspace(0, 1, _SAMPLES, endpoint=False)[:, None]
    between = b + 0.5 * t * (
        (c - a) + t * ((2 * a - 5 * b + 4 * c - d) + t * (3 * (b - c) + d - a))
    )
    return np.vstack([between.reshape(-1, 2), points[-1:]])


def evenly(points: Points, step: float = STEP_MM) -> Points:
    """Resample a line so that its points are ``step`` apart."""
    lengths = np.hypot(*np.diff(points, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(lengths)])
    count = max(3, round(along[-1] / step) + 1)
    wanted = np.linspace(0, along[-1], count)
    return np.column_stack([np.interp(wanted, along, points[:, axis]) for axis in (0, 1)])


def smooth_noise(rng: np.random.Generator, count: int, reach: float) -> NDArray[np.float64]:
    """Random values of unit standard deviation that change over about ``reach`` samples."""
    half = max(1, round(3 * reach))
    kernel = np.exp(-0.5 * (np.arange(-half, half + 1) / max(reach, 0.3)) ** 2)
    noise = rng.standard_normal(count + 2 * half)
    return np.convolve(noise, kernel / np.sqrt((kernel**2).sum()), mode="valid")


def pulled(points: Points, tremor_mm: float, rng: np.random.Generator) -> Stroke:
    """Draw a line as a hand does: trembling, harder at the start, lighter at the end.

    Parameters
    ----------
    points : ndarray of shape (N, 2)
        The line that was meant. [mm]
    tremor_mm : float
        Standard deviation of the tip beside that line. [mm]
    """
    line = evenly(points)
    reach = 0.8 / STEP_MM  # a hand shakes over about a millimetre and a half
    shake = [smooth_noise(rng, len(line), reach) for _ in (0, 1)]
    along = np.linspace(0, 1, len(line))
    fading = 1.05 - 0.1 * along - 0.25 * np.clip((along - 0.85) / 0.15, 0, 1)
    pressure = fading + 0.08 * smooth_noise(rng, len(line), 2 / STEP_MM)
    return Stroke(line + tremor_mm * np.column_stack(shake), np.clip(pressure, 0.3, 1.3))


def pressed(stroke: Stroke, factor: float) -> Stroke:
    """Give the same stroke another pressure."""
    return Stroke(stroke.points, stroke.pressure * factor)


def moved(strokes: Sequence[Stroke], by: Points) -> tuple[Stroke, ...]:
    """Shift strokes by (x, y) [mm]."""
    return tuple(Stroke(stroke.points + by, stroke.pressure) for stroke in strokes)


def lay(
    picture: Picture, strokes: Sequence[Stroke], pen: Pen, rng: np.random.Generator, scale: float
) -> None:
    """Put ink on a colour picture, in place.

    Parameters
    ----------
    picture : ndarray of shape (H, W, 3)
        The sheet; only the part under the strokes changes.
    scale : float
        Resolution of the picture. [px/mm]
    """
    window = _window(picture.shape, strokes, scale, pen.width_mm)
    if not strokes or window[0] >= window[2] or window[1] >= window[3]:
        return
    left, top, right, bottom = window
    cover = worn_cover(_cover(strokes, pen, window, scale, rng), pen, rng)
    part = picture[top:bottom, left:right]
    through = 1 - cover[:, :, None] * (1 - np.array(pen.colour))
    part[:] = np.round(part * through)


def _window(
    shape: tuple[Any, ...], strokes: Sequence[Stroke], scale: float, margin_mm: float
) -> tuple[int, int, int, int]:
    """Pixels under the strokes: left, top, right, bottom."""
    if not strokes:
        return 0, 0, 0, 0
    points = np.vstack([stroke.points for stroke in strokes])
    low = np.floor((points.min(axis=0) - margin_mm) * scale).astype(int)
    high = np.ceil((points.max(axis=0) + margin_mm) * scale).astype(int)
    left, top = (int(value) for value in np.maximum(low, 0))
    return left, top, min(int(high[0]), shape[1]), min(int(high[1]), shape[0])


def _cover(
    strokes: Sequence[Stroke],
    pen: Pen,
    window: tuple[int, int, int, int],
    scale: float,
    rng: np.random.Generator,
) -> NDArray[np.float64]:
    """Share of each pixel that is inked, 0 to 1; (h, w)."""
    left, top, right, bottom = window
    height, width = bottom - top, right - left
    canvas = np.zeros((height * _OVERSAMPLING, width * _OVERSAMPLING), np.uint8)
    for stroke in strokes:
        _draw(canvas, _flowing(stroke, pen, rng), pen, (left, top), scale)
    small = cv2.resize(canvas, (width, height), interpolation=cv2.INTER_AREA)
    return small.astype(float) / 255


def _flowing(stroke: Stroke, pen: Pen, rng: np.random.Generator) -> Stroke:
    """Give a stroke the gaps where the ink fails."""
    if pen.skipping == 0:
        return stroke
    flow = smooth_noise(rng, len(stroke.points), 1.2 / STEP_MM)
    gap = flow < np.quantile(flow, pen.skipping)
    return Stroke(stroke.points, np.where(gap, 0.25, 1) * stroke.pressure)


def _draw(canvas: Picture, stroke: Stroke, pen: Pen, origin: tuple[int, int], scale: float) -> None:
    fine = scale * _OVERSAMPLING
    shift = np.array(origin) * _OVERSAMPLING + 0.5
    at = np.round((stroke.points * fine - shift) * 2**_SUBPIXEL_BITS).astype(int)
    wide = pen.width_mm * fine * (1 + pen.spread * (stroke.pressure - 1))
    dark = np.clip(255 * stroke.pressure, 0, 255).astype(int)
    for i in np.argsort(dark[:-1], kind="stable"):  # the darkest last, so that it stays on top
        thick = max(1, round(wide[i]))
        ends = tuple(map(int, at[i])), tuple(map(int, at[i + 1]))
        cv2.line(canvas, *ends, int(dark[i]), thick, cv2.LINE_8, _SUBPIXEL_BITS)


def worn_cover(
    cover: NDArray[np.float64], pen: Pen, rng: np.random.Generator
) -> NDArray[np.float64]:
    """Ink after the paper's texture has kept some of it away."""
    if pen.grain == 0:
        return cover
    texture = cv2.GaussianBlur(rng.random(cover.shape), (0, 0), 0.7)
    rough = np.clip((texture - 0.5) * 3.5 + 0.5, 0, 1)
    return np.asarray(cover * (1 - pen.grain * rough))
