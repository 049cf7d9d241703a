"""The simulated printer: a PDF's pages as pictures, with the faults that office printers have."""

from dataclasses import dataclass, replace

import cv2
import numpy as np
import pypdfium2 as pdfium
from numpy.typing import NDArray

from forms.field import Box, with_boxes
from forms.layout import Code, Mark, Page
from passport.booth.strokes import Picture

DPI = 300.0  # resolution of a printed page's picture [dots/in]
_MM_PER_INCH = 25.4  # exact by definition
_POINTS_PER_INCH = 72  # ISO 32000-1, 8.3.2.3: default user space


@dataclass(frozen=True)
class Faults:
    """What a printer does wrong.

    Attributes
    ----------
    shrink : float
        Share by which "fit to page" makes everything smaller, around the sheet's middle. [1]
    toner : float
        Blackness of what is printed, 1 full. [1]
    shift_mm : tuple of float
        How far everything is moved: right, down. [mm]
    streaks_mm : tuple of float
        Distances from the left edge of streaks along the feed where toner fails. [mm]
    """

    shrink: float = 0.0
    toner: float = 1.0
    shift_mm: tuple[float, float] = (0.0, 0.0)
    streaks_mm: tuple[float, ...] = ()


SOUND = Faults()
SHRUNK = Faults(shrink=0.03)
LIGHT_TONER = Faults(toner=0.45)
SHIFTED = Faults(shift_mm=(2.0, -1.5))
STREAKED = Faults(streaks_mm=(47.0, 48.2, 121.0))
_STREAK_MM = 0.35  # half width of a streak


def print_pages(pdf: bytes, dpi: float = DPI, faults: Faults = SOUND) -> tuple[Picture, ...]:
    """Print a document.

    Parameters
    ----------
    pdf : bytes
        The document.
    dpi : float
        Resolution of the pictures. [dots/in]

    Returns
    -------
    tuple of ndarray of shape (H, W)
        One grey picture a page, white paper 255.
    """
    document = pdfium.PdfDocument(pdf)
    try:
        return tuple(_printed(page, dpi, faults) for page in document)
    finally:
        document.close()


def _printed(page: pdfium.PdfPage, dpi: float, faults: Faults) -> Picture:
    bitmap = page.render(scale=dpi / _POINTS_PER_INCH, grayscale=True)
    picture = np.array(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width)
    page.close()
    return worn(picture, faults, px_per_mm(dpi))


def worn(picture: Picture, faults: Faults, scale: float) -> Picture:
    """Show a perfect print as a faulty printer would have made it.

    Parameters
    ----------
    picture : ndarray of shape (H, W)
        The perfect print.
    scale : float
        Its resolution. [px/mm]
    """
    height, width = picture.shape
    kept = 1 - faults.shrink
    to_sheet = np.array([[kept, 0, 0], [0, kept, 0]])
    to_sheet[:, 2] = faults.shrink * (np.array([width, height]) - 1) / 2
    to_sheet[:, 2] += scale * np.array(faults.shift_mm)
    moved = cv2.warpAffine(picture, to_sheet, (width, height), borderValue=(255,))
    pale = 255 - (255.0 - moved) * _toner(width, faults, scale)
    return np.round(pale).astype(np.uint8)


def _toner(width: int, faults: Faults, scale: float) -> NDArray[np.float64]:
    """Blackness that each column of the sheet gets, (W,)."""
    at = (np.arange(width) + 0.5) / scale
    toner = np.full(width, faults.toner)
    for streak in faults.streaks_mm:
        toner *= 1 - 0.9 * np.exp(-(((at - streak) / _STREAK_MM) ** 2))
    return toner


def as_printed(page: Page, faults: Faults) -> Page:
    """Where everything of a layout page stands on paper that came from a faulty printer."""

    def box(old: Box) -> Box:
        x, y = _placed(old.x, old.y, page, faults)
        return Box(x, y, *(side * (1 - faults.shrink) for side in (old.width, old.height)))

    def mark(old: Mark) -> Mark:
        corner = _placed(*old.corner, page, faults)
        return replace(old, corner=corner, size=old.size * (1 - faults.shrink))

    return replace(
        page,
        code=Code(page.code.text, box(page.code.box)),
        marks=tuple(mark(old) for old in page.marks),
        fields=tuple(with_boxes(field, box) for field in page.fields),
    )


def _placed(x: float, y: float, page: Page, faults: Faults) -> tuple[float, float]:
    kept, lost = 1 - faults.shrink, faults.shrink
    right, down = faults.shift_mm
    return x * kept + page.width * lost / 2 + right, y * kept + page.height * lost / 2 + down


def px_per_mm(dpi: float) -> float:
    """Resolution in the unit of the layout [px/mm]."""
    return dpi / _MM_PER_INCH
