"""How wide edges are in a picture, in four directions: out of focus, or moved as it was taken."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from scan.arrays import Grey
from scan.errors import Blurred, Moved
from scan.opencv import cv2

WIDER = 1.7  # times the narrowest edges, from which on the widest are those of a movement
STEEP = 99.8  # percentile of steepness: print's edges are that share of a picture with a page
DIAGONAL = 0.5**0.5
WAYS = (("left and right", 1.0, 0.0), ("aslant", DIAGONAL, DIAGONAL), ("up and down", 0.0, 1.0),
        ("aslant", DIAGONAL, -DIAGONAL))  # fmt: skip
BAND, EVERY = 96, 3  # rows in which edges are looked at, and in which bands of them
CELLS = 24  # each way, into which a picture is parted to see where it shows anything
ROUGH = 0.02  # of a picture's contrast, spread of brightness in a cell that shows something
PRINTED = 0.26  # share of such cells; the edges of a blank sheet are in fewer


@dataclass(frozen=True)
class Sharpness:
    """Width of the sharpest edges across each of ``WAYS`` (4,). [px]."""

    widths: np.ndarray

    def fault(self, softest_px: float) -> Blurred | Moved | None:
        """Say what made the picture soft, if its edges are wider than this."""
        widest, narrowest = float(self.widths.max()), float(self.widths.min())
        if widest > max(WIDER * narrowest, softest_px):
            return Moved(WAYS[int(self.widths.argmax())][0], widest)
        return Blurred(narrowest) if narrowest > softest_px else None


def sharpness(grey: Grey) -> Sharpness:
    """Measure the edges of a picture (H, W) in bands of it: contrast over steepest rise."""
    low, high = np.percentile(grey[::4, ::4], (0.5, 99.5))
    bands = [grey[at : at + BAND] for at in range(0, len(grey), BAND * EVERY)]
    across, along = (_rises(bands, *way) for way in ((1, 0), (0, 1)))
    steepest = [
        float(np.percentile(np.abs(x * across + y * along), STEEP)) for _, x, y in WAYS
    ]  # fmt: skip
    return Sharpness(float(high - low) / np.maximum(steepest, 0.5))


def _rises(bands: Sequence[Grey], x: int, y: int) -> np.ndarray:
    """Rise of brightness in one direction, at every other pixel of bands; none at their ends."""
    sobels = (cv2.Sobel(band, cv2.CV_32F, x, y, ksize=3)[1:-1:2, ::2] for band in bands)
    return np.asarray(np.concatenate(list(sobels)) / 8)


def shows_print(eighth: Grey) -> bool:
    """Tell a picture with something all over it from one of blank paper."""
    low, high = np.percentile(eighth, (0.5, 99.5))
    height, width = (side // CELLS for side in eighth.shape)
    cells = eighth[: height * CELLS, : width * CELLS].astype(np.float32)
    spread = cells.reshape(CELLS, height, CELLS, width).std(axis=(1, 3))
    return bool((spread > ROUGH * max(float(high - low), 1)).mean() > PRINTED)
