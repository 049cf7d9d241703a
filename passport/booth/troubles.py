"""What a phone and a tired sheet add to a picture.

Glare, a second shadow, focus that rolls off, sharpening, coarse colour, crumpled paper, a sheet
folded in four, punched holes, a staple. The figures were chosen by looking (common practice, no
source).
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from passport.booth.grades import Grade, PhoneGrade
from passport.booth.strokes import Picture

Plane = NDArray[np.float32]


@dataclass(frozen=True)
class Glare:
    """A bright spot of a lamp or flash.

    Attributes
    ----------
    at : tuple of float
        Middle: right and down, each 0 to 1 over the picture. [1]
    radius : float
        Size over the picture's longer side. [1]
    strength : float
        Light added in its middle, of full. [1]
    """

    at: tuple[float, float]
    radius: float
    strength: float


@dataclass(frozen=True)
class Shadow:
    """One more shadow's edge: the side it lies on [degrees], where, how deep, how soft."""

    heading_deg: float
    at: float
    depth: float
    soft: float = 0.08


@dataclass(frozen=True)
class Troubles:
    """All that is added; nothing by default.

    Attributes
    ----------
    focus_px, focus_deg : float
        Further defocus at the far side of the picture, and which side that is. [px], [degrees]
    sharpening : float
        Share of its edges that the phone adds once more. [1]
    coarse_colour : bool
        Colour at half the resolution each way (4:2:0); else full.
    crumple_mm : float
        Standard deviation of the height of crumpled paper. [mm]
    quarters_deg : float
        Crease that is left where the sheet was folded in four. [degrees]
    holes : int
        Punched holes at the left edge.
    staple : bool
        A staple in the top left corner.
    """

    glare: Glare | None = None
    shadow: Shadow | None = None
    focus_px: float = 0.0
    focus_deg: float = 0.0
    sharpening: float = 0.0
    coarse_colour: bool = True
    crumple_mm: float = 0.0
    quarters_deg: float = 0.0
    holes: int = 0
    staple: bool = False


NONE = Troubles()


def some_troubles(grade: Grade, seed: int) -> Troubles:
    """Draw what is added to a picture of a grade; the worse, the more often.

    Paper folded in four, holes and staples come with any grade. Glare is strong only in bad ones.
    """
    rng = np.random.default_rng([seed, 44])
    sheet = Troubles(
        holes=int(rng.choice((0, 2, 3), p=(0.8, 0.1, 0.1))), staple=bool(rng.random() < 0.1)
    )
    if not isinstance(grade, PhoneGrade):
        return sheet
    hard = {"good": 0.15, "ordinary": 0.5}.get(grade.name, 1.0)
    return replace(
        sheet,
        glare=_glare(rng, hard) if rng.random() < 0.25 * hard else None,
        shadow=_shadow(rng, hard) if rng.random() < 0.4 * hard else None,
        focus_px=float(rng.uniform(0, 1.0 * hard)),
        focus_deg=float(rng.uniform(0, 360)),
        sharpening=float(rng.choice((0.0, 0.4, 0.8))),
        coarse_colour=bool(rng.random() < 0.8),
        crumple_mm=float(rng.uniform(0, 0.8)) * hard if rng.random() < 0.3 else 0.0,
        quarters_deg=float(rng.uniform(2, 8)) * hard if rng.random() < 0.3 else 0.0,
    )


def _glare(rng: np.random.Generator, hard: float) -> Glare:
    x, y = (float(rng.uniform(0.1, 0.9)) for _ in "xy")
    return Glare((x, y), float(rng.uniform(0.03, 0.10)), float(rng.uniform(0.2, 1.2)) * hard)


def _shadow(rng: np.random.Generator, hard: float) -> Shadow:
    heading, at = float(rng.uniform(0, 360)), float(rng.uniform(-0.6, 0.6))
    return Shadow(heading, at, float(rng.uniform(0.1, 0.5)) * hard, float(rng.uniform(0.02, 0.1)))


def dimmed(light: Plane, troubles: Troubles) -> Plane:
    """Brightness of the picture with one more shadow, (H, W)."""
    if troubles.shadow is None:
        return light
    shadow = troubles.shadow
    far = np.clip((_towards(light.shape, shadow.heading_deg) - shadow.at) / shadow.soft, -9, 9)
    return np.asarray(light * (1 - shadow.depth / (1 + np.exp(-4 * far))), np.float32)


def glaring(picture: Picture, troubles: Troubles) -> Picture:
    """Light that comes back from the paper as from a mirror, (H, W, 3)."""
    if troubles.glare is None:
        return picture
    height, width = picture.shape[:2]
    glare, longer = troubles.glare, max(height, width)
    y, x = np.ogrid[:height, :width]
    dx, dy = x - glare.at[0] * width, y - glare.at[1] * height
    spot = np.exp(-(dx**2 + dy**2) / (2 * (glare.radius * longer) ** 2)).astype(np.float32)
    added = np.asarray(255 * glare.strength * spot, np.float32)
    return np.asarray(cv2.merge([cv2.add(p, added, dtype=cv2.CV_8U) for p in cv2.split(picture)]))


def unfocused(picture: Picture, troubles: Troubles, blur_px: float) -> Picture:
    """Blur that grows toward one side: ``blur_px`` at 12 megapixels' scale is the most of it."""
    if blur_px < 0.3:
        return picture
    soft = cv2.GaussianBlur(picture, (0, 0), blur_px)
    share = np.clip(_towards(picture.shape[:2], troubles.focus_deg), 0, 1).astype(np.float32)
    return np.asarray(cv2.blendLinear(soft, picture, share, 1 - share), np.uint8)


def sharpened(picture: Picture, troubles: Troubles) -> Picture:
    """Add a share of the edges once more, as phones do."""
    if troubles.sharpening == 0:
        return picture
    soft = cv2.GaussianBlur(picture, (0, 0), 1.5)
    gain = troubles.sharpening
    return np.asarray(cv2.addWeighted(picture, 1 + gain, soft, -gain, 0), np.uint8)


def jpeg(picture: Picture, quality: int, troubles: Troubles) -> bytes:
    """Write a JPEG file with colour as coarse as asked for."""
    fine, coarse = cv2.IMWRITE_JPEG_SAMPLING_FACTOR_444, cv2.IMWRITE_JPEG_SAMPLING_FACTOR_420
    factor = coarse if troubles.coarse_colour else fine
    options = [cv2.IMWRITE_JPEG_QUALITY, quality, cv2.IMWRITE_JPEG_SAMPLING_FACTOR, factor]
    return bytes(cv2.imencode(".jpg", picture, options)[1])


def relief(
    page: tuple[Plane, Plane], page_mm: tuple[float, float], troubles: Troubles, seed: int
) -> tuple[Plane, Plane, Plane]:
    """Move what is seen of a crumpled or folded sheet, and shade it.

    Parameters
    ----------
    page : tuple of ndarray of shape (H, W)
        For each pixel, the point of the flat sheet seen there: right, down. [mm]

    Returns
    -------
    x, y, shade : ndarray of shape (H, W)
        Points of the relief's sheet [mm] and share of light.
    """
    height = _height(page_mm, troubles, seed)
    slope_y, slope_x = np.gradient(height)
    lean = np.asarray(np.clip(1 + 0.7 * slope_x + 0.5 * slope_y, 0.6, 1.3), np.float32)
    x, y = page
    seen = [cv2.remap(part, x, y, cv2.INTER_LINEAR) for part in (height, lean)]
    middle = page_mm[0] / 2, page_mm[1] / 2
    away = 1.25 * max(page_mm)  # about where the camera is [mm]
    nearer = np.asarray(seen[0] / away, np.float32)
    moved = [
        np.asarray(p - nearer * (p - m), np.float32) for p, m in zip(page, middle, strict=True)
    ]
    shade = np.where(seen[1] == 0, 1, seen[1]).astype(np.float32)
    return moved[0], moved[1], shade


def _height(page_mm: tuple[float, float], troubles: Troubles, seed: int) -> Plane:
    """Height of the sheet above its plane for each millimetre of it [mm]."""
    rng = np.random.default_rng([seed, 45])
    width, length = (int(np.ceil(side)) + 1 for side in page_mm)
    small = rng.normal(0, 1, (length // 22 + 2, width // 22 + 2)).astype(np.float32)
    facets = cv2.resize(small, (width, length), interpolation=cv2.INTER_LINEAR)
    y, x = np.ogrid[:length, :width]
    rise = np.tan(np.radians(troubles.quarters_deg / 2))
    edge = min(width, length) / 8  # a crease lies flat again a little away from it
    ridges = sum(
        rise * np.maximum(edge - np.abs(at - middle), 0)
        for at, middle in ((x, width / 2), (y, length / 2))
    )
    return np.asarray(troubles.crumple_mm * facets + ridges, np.float32)


def punched(page: Picture, scale: float, troubles: Troubles) -> Picture:
    """Punch holes 6 mm wide, 12 mm from the left edge (ISO 838), and staple the corner.

    Parameters
    ----------
    page : ndarray of shape (H, W, 3)
        The page in colour; it stays as it is.
    scale : float
        Resolution. [px/mm]
    """
    if not troubles.holes and not troubles.staple:
        return page
    sheet, middle = page.copy(), page.shape[0] / scale / 2
    places = {2: (-40, 40), 3: (-108, 0, 108)}.get(troubles.holes, ())
    for place in places:
        at = round(12 * scale), round((middle + place) * scale)
        cv2.circle(sheet, at, round(3 * scale), (60, 55, 50), cv2.FILLED, cv2.LINE_AA)
    if troubles.staple:
        ends = (round(6 * scale), round(14 * scale)), (round(15 * scale), round(8 * scale))
        cv2.line(sheet, *ends, (120, 120, 125), max(1, round(0.7 * scale)), cv2.LINE_AA)
    return sheet


def _towards(shape: tuple[int, ...], degrees: float) -> NDArray[np.float64]:
    """How far each pixel lies toward a heading, -1 to 1 along the longer side, (H, W)."""
    height, width = shape[:2]
    y, x = np.ogrid[:height, :width]
    angle, half = np.radians(degrees), max(height, width) / 2
    return np.asarray(((x - width / 2) * np.cos(angle) + (y - height / 2) * np.sin(angle)) / half)
