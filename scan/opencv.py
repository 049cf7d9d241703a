"""OpenCV as the reader uses it."""

import os
from collections.abc import Iterator
from contextlib import contextmanager

import numpy as np

from forms.opencv import cv2

__all__ = ["cv2", "sampled", "silenced"]


@contextmanager
def silenced() -> Iterator[None]:
    """Keep what decoders written in C say on the error stream to themselves.

    Whether a file could be decoded is told by what comes out; nobody can use the rest.
    """
    try:
        kept, nowhere = os.dup(2), os.open(os.devnull, os.O_WRONLY)
    except OSError:  # there is no error stream
        yield
        return
    try:
        os.dup2(nowhere, 2)
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)
        os.close(nowhere)


def sampled(grey: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Brightness (H, W) of a picture at ``places`` (H, W, 2), x and y; its edge goes on."""
    where = np.ascontiguousarray(places, dtype=np.float32)  # other orders are misread
    values = cv2.remap(  # an empty second map is not the same as none
        grey, where, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )  # type: ignore[call-overload]
    return np.asarray(values)
