"""The simulated camera: a filled page in, a JPEG file of its photo out."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from passport.booth.desk import bare_desk, desk_under
from passport.booth.grades import ScannerGrade
from passport.booth.light import Plane, Sight, brightness, page_map, sight_of
from passport.booth.printer import px_per_mm
from passport.booth.projection import Projection, projection_of
from passport.booth.scanner import Feed, feed_of, scan
from passport.booth.shot import TWELVE_MEGAPIXELS, Shot, View, pass_of, view_of
from passport.booth.strokes import Picture
from passport.booth.troubles import (
    NONE,
    dimmed,
    glaring,
    jpeg,
    punched,
    relief,
    sharpened,
    unfocused,
)


def photograph(page_image: Picture, shot: Shot) -> bytes:
    """Take a picture of a page, by phone or scanner as the shot's grade says.

    Parameters
    ----------
    page_image : ndarray of shape (H, W) or (H, W, 3)
        The flat page.
    shot : Shot
        How well, and which of all such pictures.

    Returns
    -------
    bytes
        A JPEG file. Same input, same bytes.
    """
    picture, quality = take(page_image, shot)
    return jpeg(picture, quality, shot.troubles)


def take(page_image: Picture, shot: Shot) -> tuple[Picture, int]:
    """Take the picture of ``photograph`` without writing its file.

    Returns
    -------
    picture : ndarray of shape (h, w, 3), or (h, w) from a scanner that was given a grey page
    quality : int
        Quality figure that its JPEG file would have.
    """
    if isinstance(shot.grade, ScannerGrade):
        run = pass_of(shot)
        page = punched(page_image, px_per_mm(shot.dpi), shot.troubles)
        return scan(page, shot.dpi, run), run.quality
    view = view_of(shot, page_size(page_image, shot))
    return expose(page_image, shot, view), view.quality


def empty_desk(shot: Shot) -> bytes:
    """Photograph the desk with no page on it: a JPEG file."""
    view = view_of(shot, (210.0, 297.0))
    rng = np.random.default_rng([shot.seed, 43])
    light = brightness(sight_of(projection_of(view)), view.light)
    lit = _lit(bare_desk(view.size, rng), light, view.light.tint)
    return jpeg(_noisy(_blurred(lit, view), view.noise, rng), view.quality, NONE)


def page_size(page_image: Picture, shot: Shot) -> tuple[float, float]:
    """Width and height of the sheet that a picture shows [mm]."""
    height, width = page_image.shape[:2]
    return width / px_per_mm(shot.dpi), height / px_per_mm(shot.dpi)


def geometry(shot: Shot, page_mm: tuple[float, float]) -> Projection | Feed:
    """Tell the true place of everything in the picture that ``photograph`` takes.

    Parameters
    ----------
    page_mm : tuple of float
        Width and height of the sheet. [mm]

    Returns
    -------
    Projection or Feed
        ``to_photo`` takes points of the sheet [mm] to the picture [px].
    """
    if isinstance(shot.grade, ScannerGrade):
        return feed_of(pass_of(shot), page_mm)
    return projection_of(view_of(shot, page_mm))


def expose(page_image: Picture, shot: Shot, view: View) -> Picture:
    """Take a phone picture with given numbers, (H, W, 3)."""
    sight = sight_of(projection_of(view))
    rng = np.random.default_rng([shot.seed, 43])
    troubles = shot.troubles
    page = punched(_in_colour(page_image), px_per_mm(shot.dpi), troubles)
    seen, shade = _lie_down(page, px_per_mm(shot.dpi), sight, _Lying(shot, rng))
    light = dimmed(brightness(sight, view.light), troubles)
    lit = glaring(_lit(seen, light if shade is None else light * shade, view.light.tint), troubles)
    focus = _at_size(troubles.focus_px, lit)
    soft = unfocused(_blurred(lit, view), troubles, focus)
    return sharpened(_noisy(soft, view.noise, rng), troubles)


@dataclass(frozen=True)
class _Lying:
    """How a sheet lies: which picture it is, and the dice that the desk is drawn with."""

    shot: Shot
    rng: np.random.Generator


def _lie_down(
    page_image: Picture, scale: float, sight: Sight, lying: _Lying
) -> tuple[Picture, Plane | None]:
    """Lay the page on the desk as the lens sees it, in even light; and how its relief is lit."""
    x_mm, y_mm, shade = _relief(page_map(sight), sight, lying.shot)
    ground = desk_under(sight.projection, lying.rng)
    page, scale = _no_finer(page_image, scale, sight.projection)
    x, y = x_mm * scale - 0.5, y_mm * scale - 0.5
    cv2.remap(page, x, y, cv2.INTER_LINEAR, ground, cv2.BORDER_TRANSPARENT)
    return ground, shade


def _relief(
    page: tuple[Plane, Plane], sight: Sight, shot: Shot
) -> tuple[Plane, Plane, Plane | None]:
    troubles = shot.troubles
    if troubles.crumple_mm == 0 and troubles.quarters_deg == 0:
        return *page, None
    sheet = sight.projection.sheet
    return relief(page, (sheet.width, sheet.height), troubles, shot.seed)


def _no_finer(page: Picture, scale: float, projection: Projection) -> tuple[Picture, float]:
    """Shrink a page that the picture could not resolve, so that thin lines stay even."""
    middle = np.array([projection.sheet.width, projection.sheet.height]) / 2
    near = projection.to_photo(np.array([middle, middle + np.array([1.0, 0.0])]))
    seen = float(np.hypot(*(near[1] - near[0])))  # [px/mm]
    if seen * 1.4 >= scale:
        return page, scale
    width = round(page.shape[1] * seen * 1.2 / scale)
    height = round(page.shape[0] * width / page.shape[1])
    small = cv2.resize(page, (width, height), interpolation=cv2.INTER_AREA)
    return np.asarray(small, np.uint8), scale * width / page.shape[1]


def _in_colour(picture: Picture) -> Picture:
    if picture.ndim == 3:
        return picture
    return np.asarray(cv2.cvtColor(picture, cv2.COLOR_GRAY2BGR), np.uint8)


def _lit(picture: Picture, light: Plane, tint: tuple[float, float, float]) -> Picture:
    planes = cv2.split(picture)
    lit = [
        cv2.multiply(plane, light, scale=gain, dtype=cv2.CV_8U)
        for plane, gain in zip(planes, tint, strict=True)
    ]
    return np.asarray(cv2.merge(lit), np.uint8)


def _at_size(length_px: float, picture: Picture) -> float:
    """Scale a length that holds at 12 megapixels to a picture of this size [px]."""
    pixels = picture.shape[0] * picture.shape[1]
    return length_px * float(np.sqrt(pixels / np.prod(TWELVE_MEGAPIXELS)))


def _blurred(picture: Picture, view: View) -> Picture:
    soft = cv2.GaussianBlur(picture, (0, 0), max(_at_size(view.blur_px, picture), 0.2))
    length = _at_size(view.motion_px, picture)
    if length < 0.5:
        return np.asarray(soft, np.uint8)
    return np.asarray(cv2.filter2D(soft, -1, _shake(length, view.motion_deg)), np.uint8)


def _shake(length: float, degrees: float) -> NDArray[np.float64]:
    """Kernel of a straight movement during the exposure."""
    half = int(np.ceil(length / 2)) + 1
    heading = np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
    kernel = np.zeros((2 * half + 1, 2 * half + 1))
    for along in np.linspace(-length / 2, length / 2, 41):
        x, y = half + along * heading
        column, row = int(x), int(y)
        right, down = x - column, y - row
        kernel[row : row + 2, column : column + 2] += np.outer((1 - down, down), (1 - right, right))
    return np.asarray(kernel / kernel.sum())


def _noisy(picture: Picture, sigma: float, rng: np.random.Generator) -> Picture:
    """Sensor noise: mostly grey and fine, a little of it coloured and coarse."""
    height, width = picture.shape[:2]
    fine = rng.standard_normal((height, width), dtype=np.float32)
    noisy = [
        cv2.add(plane, np.asarray(sigma * fine + coarse), dtype=cv2.CV_8U)
        for plane, coarse in zip(cv2.split(picture), _blotches(picture, sigma, rng), strict=True)
    ]
    return np.asarray(cv2.merge(noisy), np.uint8)


def _blotches(picture: Picture, sigma: float, rng: np.random.Generator) -> list[Plane]:
    height, width = picture.shape[:2]
    small = rng.standard_normal((3, height // 4 + 1, width // 4 + 1), dtype=np.float32)
    spread = (cv2.resize(0.35 * sigma * part, (width, height)) for part in small)
    return [np.asarray(part, np.float32) for part in spread]
