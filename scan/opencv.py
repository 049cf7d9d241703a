"""OpenCV as the reader uses it."""

import numpy as np

from forms.opencv import cv2

__all__ = ["cv2", "sampled"]


def sampled(grey: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Brightness (H, W) of a picture at ``places`` (H, W, 2), x and y; its edge goes on."""
    where = np.ascontiguousarray(places, dtype=np.float32)  # other orders are misread
    values = cv2.remap(  # an empty second map is not the same as none
        grey, where, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )  # type: ignore[call-overload]
    return np.asarray(values)
