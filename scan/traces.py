"""Marks so pale that no single point of them stands out from the grain: only their figure does.

Each box is held against figures that a hand makes: lines, crosses, ticks and dots, at many places
and slants. Along a figure grain averages out, a pen does not. How far the best figure stands above
grain is a number that means the same in a scan, in a photo and in its shadows.
"""

from collections.abc import Iterator, Sequence
from functools import cache

import numpy as np

from forms.field import Box
from scan.arrays import Floats, percentile
from scan.boxes import Cuts, nearest

PX_PER_MM = 4.0  # of the figures; half as fine as the flattened pieces
PEN_MM = 0.4  # width of a stroke
MOAT_MM = 0.25  # beside it, where blur carries its ink
LINE_MM = 2.5
ARM_MM = 1.4  # of a cross, from its middle
SHORT_MM, LONG_MM = 0.9, 2.0  # arms of a tick
DOTS_MM = (0.5, 0.75)  # radii
SLANTS = 12  # of lines, in half a turn
LEANS = tuple(np.radians((30, 45, 60)))  # of the arms of crosses and ticks, from level
LIKE = 15  # boxes close by, of which the quietest quarter says how strong grain is
QUIET = 25  # percentile
CLOTTED = (2.0, 4.0)  # what the quietest quarter of a page's boxes shows, from pure grain on
USUAL = 2.5  # and usually
STILL = 0.004  # grain at least: a scan whose paper is burnt out to white has none

Points = np.ndarray  # (2,): down, across [px]


def traces(cuts: Cuts, grain: np.ndarray) -> np.ndarray:  # (N,)
    """How far the figure that each box holds most of stands above its ``grain`` (N,).

    In standard deviations, and on a page whose grain is clotted, by blur or compression, in as many
    more as its blank boxes show: 5 in one blank box of 100, 6 in one of 1,000.
    """
    small = insides(cuts)
    figures = _figures(*small.shape[1:])
    found = (small.reshape(len(small), -1) @ figures.T).max(axis=1, initial=0) / grain
    usual = float(np.clip(np.percentile(found, QUIET), *CLOTTED))
    return np.asarray(found * USUAL / usual)


def grain_of(cuts: Cuts, boxes: Sequence[Box]) -> np.ndarray:  # (N,)
    """Measure grain: the standard deviation of bare paper in each box, whatever else is in it."""
    flat = insides(cuts).reshape(len(boxes), -1)
    away = np.abs(flat - percentile(flat, 50)[:, None])
    own = 1.48 * percentile(away, 50)
    near = percentile(own[nearest(boxes, LIKE)], QUIET)
    return np.asarray(np.maximum(np.minimum(own, near), STILL))


def insides(cuts: Cuts) -> Floats:
    """Cut out the insides of all boxes, four pixels to one (N, H, W)."""
    inside = cuts.inside(cuts.ink)
    rows, columns = (side // 2 for side in inside.shape[1:])
    even = inside[:, : 2 * rows, : 2 * columns]
    upper, lower = even[:, ::2], even[:, 1::2]
    four = upper[..., ::2] + upper[..., 1::2] + lower[..., ::2] + lower[..., 1::2]
    return np.asarray(four / 4)


@cache
def _figures(rows: int, columns: int) -> Floats:
    """All figures (K, P) in a box of so many pixels: ink against the paper around it.

    Each gives the same spread on white grain.
    """
    inks = (*_lines(rows, columns), *_crosses(rows, columns), *_ticks(rows, columns))
    figures = [_against_paper(away, PEN_MM / 2) for away in inks]
    figures += [
        _against_paper(away, radius) for radius in DOTS_MM for away in _dots(rows, columns, radius)
    ]
    bank = np.array([figure.ravel() for figure in figures]).reshape(-1, rows * columns)
    bank -= bank @ slopes(rows, columns)
    return np.asarray(bank / np.linalg.norm(bank, axis=1, keepdims=True), np.float32)


@cache
def slopes(rows: int, columns: int) -> np.ndarray:  # (P, P)
    """Project on what light and the blur of outlines do to a box: it bends, in both ways."""
    down, across = (at.ravel() for at in np.mgrid[-1 : 1 : rows * 1j, -1 : 1 : columns * 1j])
    terms = np.stack([down**0, down, across, down**2, across**2, down * across], axis=1)
    basis, _ = np.linalg.qr(terms)
    return np.asarray(basis @ basis.T)


def _against_paper(away: Floats, half: float) -> Floats:
    """Mean ink within ``half`` of a figure less that outside its moat; ``away`` (H, W). [mm]."""
    ink = np.clip(0.5 + (half - away) * PX_PER_MM, 0, 1)
    paper = np.clip(0.5 + (away - half - MOAT_MM) * PX_PER_MM, 0, 1)
    return np.asarray(ink / ink.sum() - paper / paper.sum())


def _away(size: tuple[int, int], start: Points, end: Points) -> Floats:
    """Distance of each pixel (H, W) from a stretch. [mm]."""
    at = np.moveaxis(np.mgrid[: size[0], : size[1]], 0, -1) / PX_PER_MM
    along = end - start
    share = np.clip(((at - start) @ along) / (along @ along), 0, 1)
    return np.asarray(np.linalg.norm(at - start - share[..., None] * along, axis=-1))


def _middles(size: tuple[int, int], up: float, across: float) -> Iterator[Points]:
    """Places, half a millimetre apart, that keep so far from the edge. [mm]."""
    most = [(side - 1) / PX_PER_MM for side in size]
    steps = [
        np.arange(keep, far - keep + 0.01, 0.5)
        for keep, far in zip((up, across), most, strict=True)
    ]
    return (np.array((y, x)) for y in steps[0] for x in steps[1])


def _towards(angle: float) -> Points:
    return np.array((-np.sin(angle), np.cos(angle)))


def _lines(*size: int) -> Iterator[Floats]:
    for angle in np.arange(SLANTS) * np.pi / SLANTS:
        half = LINE_MM / 2 * _towards(float(angle))
        for middle in _middles(size, *np.abs(half)):  # type: ignore[arg-type]
            yield _away(size, middle - half, middle + half)  # type: ignore[arg-type]


def _crosses(*size: int) -> Iterator[Floats]:
    for lean in LEANS:
        one, other = ARM_MM * _towards(lean), ARM_MM * _towards(np.pi - lean)
        for middle in _middles(size, *np.abs(one)):  # type: ignore[arg-type]
            arms = (_away(size, middle - arm, middle + arm) for arm in (one, other))  # type: ignore[arg-type]
            yield np.minimum(*arms)


def _ticks(*size: int) -> Iterator[Floats]:
    for lean in LEANS:
        short, long = SHORT_MM * _towards(np.pi - lean), LONG_MM * _towards(lean)
        half = np.array((-long[0] / 2, (long[1] - short[1]) / 2))
        to_corner = np.array((-long[0] / 2, -(long[1] + short[1]) / 2))
        for middle in _middles(size, *half):  # type: ignore[arg-type]
            low = middle + to_corner
            arms = (_away(size, low, low + arm) for arm in (short, long))  # type: ignore[arg-type]
            yield np.minimum(*arms)


def _dots(rows: int, columns: int, radius: float) -> Iterator[Floats]:
    at = np.moveaxis(np.mgrid[:rows, :columns], 0, -1) / PX_PER_MM
    for middle in _middles((rows, columns), radius, radius):
        yield np.asarray(np.linalg.norm(at - middle, axis=-1))
