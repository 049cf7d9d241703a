"""OpenCV, imported in one place.

The limit on picture size is read once, when OpenCV is first loaded, so it is set here before.
Works with OpenCV 4.10 on and 5.
"""

import os

os.environ.setdefault("OPENCV_IO_MAX_IMAGE_PIXELS", str(120_000_000))  # 120 megapixels

import cv2
import numpy as np

__all__ = ["cv2", "sampled"]


def sampled(grey: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Brightness (H, W) of a picture at ``places`` (H, W, 2), x and y; its edge goes on."""
    where = np.ascontiguousarray(places, dtype=np.float32)  # other orders are misread
    values = cv2.remap(  # an empty second map is not the same as none
        grey, where, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )  # type: ignore[call-overload]
    return np.asarray(values)
