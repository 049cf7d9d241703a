"""The QR code of a page, by two readers: zxing-cpp first, zbar after it."""

from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np
import zxingcpp

from forms.field import Box
from scan.arrays import Grey, Points
from scan.opencv import cv2, sampled
from scan.page import Flat

PX_PER_MM = 10.0  # of the flattened code; ten pixels a module
QUIET_MM = 4.2  # white around the code, four modules (ISO/IEC 18004)

Reader = Callable[[Grey], list[str]]


def read_flat_code(grey: Grey, flat: Flat, box: Box) -> str | None:
    """Read the code where it was printed.

    Parameters
    ----------
    grey : ndarray of shape (H, W), uint8
        The full picture.
    flat : Flat
        Where millimetres lie in it.
    box : Box
        The code's modules on paper. [mm]

    Returns
    -------
    str or None
        Its text; None if neither reader can make it out, or they disagree.
    """
    frame = Box(
        box.x - QUIET_MM, box.y - QUIET_MM, box.width + 2 * QUIET_MM, box.height + 2 * QUIET_MM
    )
    return _first_text(_cut(grey, flat, frame))


class Placed(NamedTuple):
    """A code's text and its middle in the picture; (2,). [px]."""

    text: str
    middle: Points


def placed_codes(grey: Grey) -> list[Placed]:
    """Find every code in a whole picture."""
    return _zxing(grey) or _zbar(grey)


def read_codes(grey: Grey) -> list[str]:
    """Read every code in a whole picture, one entry a code."""
    return [code.text for code in placed_codes(grey)]


def zxing(grey: Grey) -> list[str]:
    """Read with zxing-cpp."""
    return [code.text for code in _zxing(grey)]


def zbar(grey: Grey) -> list[str]:
    """Read with zbar, where its library is installed."""
    return [code.text for code in _zbar(grey)]


def _zxing(grey: Grey) -> list[Placed]:
    found = zxingcpp.read_barcodes(grey, zxingcpp.barcode_formats_from_str("QRCode"))
    return [Placed(code.text, _middle(code.position)) for code in found if code.text]


def _middle(position: zxingcpp.Position) -> Points:
    corners = (position.top_left, position.top_right, position.bottom_right, position.bottom_left)
    return np.asarray(np.mean([(corner.x, corner.y) for corner in corners], axis=0), np.float64)


def _zbar(grey: Grey) -> list[Placed]:
    try:
        from pyzbar import pyzbar  # noqa: PLC0415  its library may be missing; zxing-cpp remains
    except ImportError:
        return []
    found = pyzbar.decode(grey, symbols=[pyzbar.ZBarSymbol.QRCODE])
    return [
        Placed(
            code.data.decode("ascii", errors="replace"),
            np.array((code.rect.left + code.rect.width / 2, code.rect.top + code.rect.height / 2)),
        )
        for code in found
        if code.data
    ]


def _first_text(crop: Grey) -> str | None:
    for reader in (zxing, zbar):
        for picture in _variants(crop):
            texts = set(reader(picture))
            if len(texts) == 1:
                return texts.pop()
    return None


def _variants(crop: Grey) -> Iterator[Grey]:
    """Give the crop as it is, with evened light, sharpened, and smaller."""
    yield crop
    even = np.asarray(cv2.createCLAHE(2.0, (4, 4)).apply(crop), dtype=np.uint8)
    yield even
    soft = cv2.GaussianBlur(even, (0, 0), 4)
    yield np.asarray(cv2.addWeighted(even, 2.5, soft, -1.5, 0), dtype=np.uint8)
    small = cv2.resize(crop, None, fx=0.6, fy=0.6, interpolation=cv2.INTER_AREA)
    yield np.asarray(small, dtype=np.uint8)


def _cut(grey: Grey, flat: Flat, frame: Box) -> Grey:
    xs = frame.x + (np.arange(round(frame.width * PX_PER_MM)) + 0.5) / PX_PER_MM
    ys = frame.y + (np.arange(round(frame.height * PX_PER_MM)) + 0.5) / PX_PER_MM
    places = flat.grid(xs, ys)
    return np.asarray(sampled(grey, places), dtype=np.uint8)
