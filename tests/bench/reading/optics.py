"""What light and lens do to a photo, written from optics alone.

Light adds up and is cut off by the sensor; so a lamp's or window's reflection on the toner and the
paper is added in linear light, and a shadow multiplies it. A pixel's value is taken for the power
1/2.2 of its light (IEC 61966-2-1, nearly). In the dark a sensor's own noise stays what it was.
"""

from collections.abc import Mapping

import cv2
import numpy as np

from forms.layout import Page
from passport.booth.strokes import Picture

GAMMA = 2.2
COARSE = 8  # light is smooth: it is reckoned for one pixel in so many, each way
PLACES: Mapping[str, tuple[float, float]] = {  # of the page's width and height
    "upper left": (0.2, 0.2),
    "upper right": (0.8, 0.2),
    "left": (0.2, 0.5),
    "middle": (0.5, 0.5),
    "right": (0.8, 0.5),
    "lower left": (0.2, 0.8),
    "lower": (0.5, 0.8),
    "lower right": (0.8, 0.8),
}
HALVES: Mapping[str, tuple[float, float]] = {  # which way a shadow deepens
    "left": (-1, 0),
    "right": (1, 0),
    "upper": (0, -1),
    "lower": (0, 1),
}
PENUMBRA = 0.06  # of the page: how soft a shadow's edge is
SHADOWED = 0.45  # of the page
READ_NOISE = 2.5  # of a sensor in the dark, in steps of 255


def sheet_to_photo(photo: Picture, page: Page) -> np.ndarray:
    """Find where a page lies by its squares: a homography (3, 3), millimetres to pixels."""
    squares = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50))
    found, ids, _ = squares.detectMarkers(cv2.resize(photo, None, fx=0.5, fy=0.5))
    corners = {mark.id: (*mark.corner, mark.size) for mark in page.marks}
    pairs = [
        ((x + dx * side, y + dy * side), 2 * px)
        for quad, id_ in zip(found, np.ravel(ids), strict=True)
        if int(id_) in corners
        for x, y, side in [corners[int(id_)]]
        for (dx, dy), px in zip(((0, 0), (1, 0), (1, 1), (0, 1)), quad.reshape(4, 2), strict=True)
    ]
    mm, px = (np.array(column, np.float64) for column in zip(*pairs, strict=True))
    return np.asarray(cv2.findHomography(mm, px, cv2.RANSAC, 8.0)[0])


def _millimetres(photo: Picture, onto: np.ndarray) -> np.ndarray:  # (h, w, 2)
    """Where each pixel of a picture COARSE times smaller lies on the sheet. [mm]."""
    height, width = photo.shape[0] // COARSE + 1, photo.shape[1] // COARSE + 1
    px = np.stack(np.meshgrid(np.arange(width), np.arange(height)), axis=2) * float(COARSE)
    back = cv2.perspectiveTransform(px.reshape(-1, 1, 2), np.linalg.inv(onto))
    return np.asarray(back.reshape(height, width, 2))


def _lit(photo: Picture, factor: np.ndarray | float, added: np.ndarray | float) -> Picture:
    """Multiply a picture's light and add to it (h, w); 1 is all that the sensor holds."""
    full = (photo.shape[1], photo.shape[0])
    light = (photo.astype(np.float32) / 255) ** GAMMA
    for value, change in ((factor, np.multiply), (added, np.add)):
        if isinstance(value, np.ndarray):
            whole = cv2.resize(value.astype(np.float32), full, interpolation=cv2.INTER_LINEAR)
            light = change(light, whole[:, :, None])
    return np.asarray(255 * np.clip(light, 0, 1) ** (1 / GAMMA))


def glared(photo: Picture, page: Page, place: str, strength: float) -> tuple[Picture, np.ndarray]:
    """Let a lamp shine on a place of the sheet.

    ``strength`` is the light it adds in its middle, as a share of what the sensor holds. Gives also
    the light that is added at each of the page's millimetres (rows, columns).
    """
    middle = np.array(PLACES[place]) * (page.width, page.height)
    away = np.linalg.norm(_millimetres(photo, sheet_to_photo(photo, page)) - middle, axis=2)
    return _lit(photo, 1, strength * _spot(away)).astype(np.uint8), strength * _spot(
        _away_on(page, middle)
    )


def _spot(away_mm: np.ndarray) -> np.ndarray:
    """Light of a frosted bulb on satin paper: flat in its middle, gone at twice that radius."""
    return np.asarray(np.exp(-((away_mm / 30.0) ** 4)))


def _away_on(page: Page, middle: np.ndarray) -> np.ndarray:
    xs, ys = np.meshgrid(np.arange(round(page.width)), np.arange(round(page.height)))
    return np.asarray(np.hypot(xs - middle[0], ys - middle[1]))


def shadowed(photo: Picture, page: Page, side: str, depth: float) -> Picture:
    """Let something stand in the light of one side of the sheet; ``depth`` is what it takes."""
    mm = _millimetres(photo, sheet_to_photo(photo, page)) / (page.width, page.height)
    along = (mm - 0.5) @ np.array(HALVES[side], float)
    dark = 1 / (1 + np.exp(-(along - (0.5 - SHADOWED)) / PENUMBRA * 4))
    return noisy(_lit(photo, 1 - depth * dark, 0))


def darkened(photo: Picture, share: float) -> Picture:
    """Take all but a share of the light from a photo."""
    small = np.full((2, 2), share)
    return noisy(_lit(photo, small, 0))


def noisy(picture: np.ndarray) -> Picture:
    noise = np.random.default_rng(7).normal(0, READ_NOISE, picture.shape[:2])
    return np.clip(picture + noise[:, :, None], 0, 255).astype(np.uint8)


def blurred(photo: Picture, sigma_px: float) -> Picture:
    return np.asarray(cv2.GaussianBlur(photo, (0, 0), sigma_px))


def moved(photo: Picture, length_px: float, angle_deg: float) -> Picture:
    """Move the camera while it takes the photo; 0 is sideways, 90 up and down."""
    side = 2 * int(length_px / 2) + 3
    way = np.array((np.cos(np.deg2rad(angle_deg)), np.sin(np.deg2rad(angle_deg))))
    path = np.zeros((side, side), np.float32)
    for at in np.linspace(-length_px / 2, length_px / 2, 8 * side):
        x, y = np.rint(side // 2 + at * way).astype(int)
        path[y, x] += 1
    return np.asarray(cv2.filter2D(photo, -1, path / path.sum()))
