"""The simulated printer: a PDF's pages as pictures, with the faults that office printers have."""

from dataclasses import dataclass, replace

import cv2
import numpy as np
import pypdfium2 as pdfium

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
    """

    shrink: float = 0.0
    toner: float = 1.0


SOUND = Faults()
SHRUNK = Faults(shrink=0.03)
LIGHT_TONER = Faults(toner=0.45)


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
    return worn(picture, faults)


def worn(picture: Picture, faults: Faults) -> Picture:
    """Show a perfect print, (H, W), as a faulty printer would have made it."""
    height, width = picture.shape
    kept = 1 - faults.shrink
    to_sheet = np.array([[kept, 0, 0], [0, kept, 0]])
    to_sheet[:, 2] = faults.shrink * (np.array([width, height]) - 1) / 2
    moved = cv2.warpAffine(picture, to_sheet, (width, height), borderValue=(255,))
    pale = 255 - (255.0 - moved) * faults.toner
    return np.round(pale).astype(np.uint8)


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
    return x * kept + page.width * lost / 2, y * kept + page.height * lost / 2


def px_per_mm(dpi: float) -> float:
    """Resolution in the unit of the layout [px/mm]."""
    return dpi / _MM_PER_INCH
