"""What is wrong with a photo in which no page was found."""

import numpy as np

from forms.marks import NotAFormCode, parse_page_code
from scan.arrays import Grey
from scan.codes import read_codes
from scan.errors import Blurred, Mirrored, Negative, NotAForm, Refused, TooDark, TooSmall
from scan.fiducials import ENOUGH, Pyramid, by_page, find_fiducials, pyramid
from scan.ink import DARKEST_PAPER
from scan.opencv import cv2

SOFTEST_EDGE_PX = 14.0  # a square's module is 13 pixels wide in a 12 megapixel photo
UNREAD_PX_PER_MM = 3.0  # squares of 10 mm are found down to about this


def advise(levels: Pyramid) -> Refused:
    """Name the strongest fault of a picture without squares.

    Parameters
    ----------
    levels : sequence of ndarray
        The picture, its half, quarter and eighth.
    """
    brightest = int(np.percentile(levels[3], 98))
    if brightest < DARKEST_PAPER:
        return TooDark(brightest)
    return _turned_round(levels[1]) or _unsharp_or_far(levels[0])


def _turned_round(grey: Grey) -> Refused | None:
    """Say whether squares appear in a picture (H, W) that is mirrored or inverted."""
    if _shows_a_page(grey[:, ::-1]):
        return Mirrored()
    return Negative() if _shows_a_page(255 - grey) else None


def _unsharp_or_far(grey: Grey) -> Refused:
    edge_px = edge_width(grey)
    if edge_px > SOFTEST_EDGE_PX:
        return Blurred(edge_px)
    if any(_is_ours(text) for text in read_codes(grey)):
        return TooSmall(UNREAD_PX_PER_MM)
    return NotAForm()


def _shows_a_page(grey: Grey) -> bool:
    """Tell whether enough squares of one page can be found in a picture (H, W)."""
    pages = by_page(find_fiducials(pyramid(np.ascontiguousarray(grey))))
    return any(len(squares) >= ENOUGH for squares in pages.values())


def edge_width(grey: Grey) -> float:
    """Width of the sharpest edges: contrast over steepest rise. [px]."""
    across = np.abs(cv2.Sobel(grey, cv2.CV_32F, 1, 0, ksize=3)) / 8
    along = np.abs(cv2.Sobel(grey, cv2.CV_32F, 0, 1, ksize=3)) / 8
    steepest = float(np.percentile(np.maximum(across, along)[::2, ::2], 99.8))
    low, high = np.percentile(grey[::4, ::4], (0.5, 99.5))
    return float(high - low) / max(steepest, 0.5)


def _is_ours(text: str) -> bool:
    try:
        parse_page_code(text)
    except NotAFormCode:
        return False
    return True
