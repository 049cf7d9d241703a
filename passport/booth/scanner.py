"""The simulated sheet-feed scanner: one sheet, or a stack as one PDF in any order."""

import hashlib
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
import pypdfium2 as pdfium

from passport.booth.paper import jpeg, speckled
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
    """One sheet of a scanned stack: which page it is, and how it went through."""

    index: int
    run: Pass


def feed_of(run: Pass, page_mm: tuple[float, float]) -> Feed:
    """Where everything of a sheet lands in its scan.

    Parameters
    ----------
    page_mm : tuple of float
        Width and height of the sheet. [mm]
    """
    scale = px_per_mm(run.dpi)
    turned = page_mm if round(run.turn_deg / 90) % 2 == 0 else (page_mm[1], page_mm[0])
    size = round(turned[0] * scale), round(turned[1] * scale)
    angle = np.radians(run.turn_deg + run.skew_deg)
    rotation = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    linear = scale * np.diag([1, run.stretch]) @ rotation
    middle = (np.array(size) - 1) / 2 + scale * np.array(run.shift_mm)
    offset = middle - linear @ (np.array(page_mm) / 2)
    return Feed(np.column_stack([linear, offset]), size)


def scan(page_image: Picture, dpi: float, run: Pass) -> Picture:
    """Scan one sheet.

    Parameters
    ----------
    page_image : ndarray of shape (H, W) or (H, W, 3)
        The flat page.
    dpi : float
        Resolution of the page's own picture. [dots/in]
    run : Pass
        How it goes through.

    Returns
    -------
    ndarray of shape (h, w) or (h, w, 3)
        Grey or colour like the page.
    """
    scale = px_per_mm(dpi)
    page_mm = page_image.shape[1] / scale, page_image.shape[0] / scale
    return _dusty(_through(page_image, scale, feed_of(run, page_mm)), run)


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


def _dusty(picture: Picture, run: Pass) -> Picture:
    rng = np.random.default_rng([run.seed, 44])
    height, width = picture.shape[:2]
    area_cm2 = height * width / (10 * px_per_mm(run.dpi)) ** 2
    spotted = speckled(picture, run.specks * area_cm2, rng)
    soft = cv2.GaussianBlur(spotted, (0, 0), run.blur_px)
    noise = rng.standard_normal((height, width), dtype=np.float32) * np.float32(run.noise)
    noisy = [cv2.add(plane, noise, dtype=cv2.CV_8U) for plane in cv2.split(soft)]
    return np.asarray(cv2.merge(noisy), np.uint8)


def stack_of(count: int, shot: Shot) -> tuple[Fed, ...]:
    """Draw the order in which a stack goes in, and each sheet's run; one machine for all."""
    rng = np.random.default_rng([shot.seed, 45])
    order = rng.permutation(count)
    machine = pass_of(shot)
    return tuple(Fed(int(index), _next_run(machine, shot, rng)) for index in order)


def _next_run(machine: Pass, shot: Shot, rng: np.random.Generator) -> Pass:
    """Draw a sheet's own skew, shift, turn and dust."""
    one = pass_of(replace(shot, seed=int(rng.integers(2**31))))
    return replace(
        machine, seed=one.seed, skew_deg=one.skew_deg, shift_mm=one.shift_mm, turn_deg=one.turn_deg
    )


def scan_pdf(page_images: Sequence[Picture], shot: Shot) -> bytes:
    """Scan a stack into one PDF, as ``stack_of(len(page_images), shot)`` says.

    Parameters
    ----------
    page_images : sequence of ndarray of shape (H, W) or (H, W, 3)
        The flat pages.

    Returns
    -------
    bytes
        A PDF with one picture a page. Same input, same bytes.
    """
    document = pdfium.PdfDocument.new()
    for fed in stack_of(len(page_images), shot):
        picture = scan(page_images[fed.index], shot.dpi, fed.run)
        _add_page(document, jpeg(picture, fed.run.quality), picture.shape, fed.run.dpi)
    file = io.BytesIO()
    document.save(file)
    document.close()
    return _steady(file.getvalue())


def _steady(pdf: bytes) -> bytes:
    """Replace the file's date and random identifier by ones that follow from its content.

    Same lengths, so that the file's table of places still holds.

    References
    ----------
    ISO 32000-1, 7.9.4 dates, 14.4 file identifiers.
    """
    dated = re.sub(rb"(?<=/CreationDate\(D:)\d{14}", b"20000101000000", pdf)
    start = dated.rindex(b"/ID")
    name = hashlib.sha256(dated[:start]).hexdigest().encode()
    named = re.sub(rb"[0-9A-Fa-f]{32}(?=>)", name[:32], dated[start:])
    return dated[:start] + named


def _add_page(
    document: pdfium.PdfDocument, data: bytes, shape: tuple[int, ...], dpi: float
) -> None:
    width, height = (side * _POINTS_PER_INCH / dpi for side in shape[1::-1])
    image = pdfium.PdfImage.new(document)
    image.load_jpeg(io.BytesIO(data), inline=True, autoclose=False)
    image.set_matrix(pdfium.PdfMatrix().scale(width, height))
    page = document.new_page(width, height)
    page.insert_obj(image)
    page.gen_content()
    page.close()
