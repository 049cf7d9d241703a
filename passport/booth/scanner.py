"""The simulated sheet-feed scanner: one sheet, or a stack as one PDF in any order."""

import io
from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
import pypdfium2 as pdfium

from passport.booth.paper import speckled
from passport.booth.printer import px_per_mm
from passport.booth.shot import Pass, Shot, pass_of
from passport.booth.strokes import Picture, Points

_POINTS_PER_INCH = 72  # ISO 32000-1, 8.3.2.3: default user space
_BACKING = 250  # what the scanner sees beside the sheet


@dataclass(frozen=True)
class Feed:
    """A flat sheet run through a scanner.

    Attributes
    ----------
    matrix : ndarray of shape (2, 3)
        From millimetres of the sheet to pixels of the scan.
    size : tuple of int
        Width and height of the scan. [px]
    """

    matrix: Points
    size: tuple[int, int]

    def to_photo(self, points: Points) -> Points:
        """Points of the sheet, (N, 2) [mm], in the scan, (N, 2) [px]."""
        return np.asarray(points @ self.matrix[:, :2].T + self.matrix[:, 2])

    def to_page(self, pixels: Points) -> Points:
        """Points of the scan, (N, 2) [px], on the sheet, (N, 2) [mm]."""
        return np.asarray((pixels - self.matrix[:, 2]) @ np.linalg.inv(self.matrix[:, :2]).T)


@dataclass(frozen=True)
class Fed:
    """One sheet of a scanned stack: which page it is, and which way up it went in."""

    index: int
    turn_deg: float


def feed_of(shot: Shot, page_mm: tuple[float, float]) -> Feed:
    """Where everything of a sheet lands in its scan. Sizes in millimetres."""
    return _feed(pass_of(shot), page_mm)


def _feed(run: Pass, page_mm: tuple[float, float]) -> Feed:
    scale = px_per_mm(run.dpi)
    turned = page_mm if round(run.turn_deg / 90) % 2 == 0 else (page_mm[1], page_mm[0])
    size = round(turned[0] * scale), round(turned[1] * scale)
    angle = np.radians(run.turn_deg + run.skew_deg)
    rotation = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    linear = scale * np.diag([1, run.stretch]) @ rotation
    middle = (np.array(size) - 1) / 2 + scale * np.array(run.shift_mm)
    offset = middle - linear @ (np.array(page_mm) / 2)
    return Feed(np.column_stack([linear, offset]), size)


def scan(page_image: Picture, shot: Shot) -> tuple[Picture, int]:
    """Scan one sheet.

    Returns
    -------
    picture : ndarray of shape (h, w) or (h, w, 3)
        Grey or colour like the page.
    quality : int
        Quality figure for its JPEG file.
    """
    run = pass_of(shot)
    scale = px_per_mm(shot.dpi)
    page_mm = page_image.shape[1] / scale, page_image.shape[0] / scale
    feed = _feed(run, page_mm)
    rng = np.random.default_rng([shot.seed, 44])
    return _dusty(_through(page_image, scale, feed), run, rng), run.quality


def _through(page_image: Picture, scale: float, feed: Feed) -> Picture:
    """Show the sheet as the scanner's line of light passes it."""
    seen = float(np.hypot(*feed.matrix[:, 0]))
    softened = cv2.GaussianBlur(page_image, (0, 0), max(0.4 * scale / seen, 0.2))
    to_mm = np.array([[1 / scale, 0, 0.5 / scale], [0, 1 / scale, 0.5 / scale], [0, 0, 1]])
    return np.asarray(
        cv2.warpAffine(
            softened,
            feed.matrix @ to_mm,
            feed.size,
            flags=cv2.INTER_LINEAR,
            borderValue=(_BACKING,) * 3,
        ),
        np.uint8,
    )


def _dusty(picture: Picture, run: Pass, rng: np.random.Generator) -> Picture:
    soft = cv2.GaussianBlur(speckled(np.asarray(picture), run.specks, rng), (0, 0), run.blur_px)
    noise = rng.standard_normal(soft.shape, dtype=np.float32) * np.float32(run.noise)
    return np.asarray(np.clip(np.round(soft + noise), 0, 255), np.uint8)


def order_of(count: int, seed: int) -> tuple[Fed, ...]:
    """Draw the order and turn in which a stack of so many sheets goes in."""
    rng = np.random.default_rng([seed, 45])
    order = rng.permutation(count)
    turns = 180.0 * rng.integers(2, size=count)
    return tuple(Fed(int(i), float(turn)) for i, turn in zip(order, turns, strict=True))


def scan_pdf(page_images: Sequence[Picture], shot: Shot) -> bytes:
    """Scan a stack into one PDF, in the order and turns of ``order_of(len(...), shot.seed)``.

    Parameters
    ----------
    page_images : sequence of ndarray of shape (H, W) or (H, W, 3)
        The flat pages.

    Returns
    -------
    bytes
        A PDF with one picture a page.
    """
    document = pdfium.PdfDocument.new()
    for number, fed in enumerate(order_of(len(page_images), shot.seed)):
        sheet = replace(shot, seed=shot.seed * 1000 + number, turn_deg=fed.turn_deg)
        _add_page(document, *scan(page_images[fed.index], sheet), pass_of(sheet).dpi)
    file = io.BytesIO()
    document.save(file)
    document.close()
    return file.getvalue()


def _add_page(document: pdfium.PdfDocument, picture: Picture, quality: int, dpi: float) -> None:
    _, data = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, quality])
    width, height = (side * _POINTS_PER_INCH / dpi for side in picture.shape[1::-1])
    image = pdfium.PdfImage.new(document)
    image.load_jpeg(io.BytesIO(bytes(data)), inline=True, autoclose=False)
    image.set_matrix(pdfium.PdfMatrix().scale(width, height))
    page = document.new_page(width, height)
    page.insert_obj(image)
    page.gen_content()
    page.close()
