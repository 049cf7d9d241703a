"""OpenCV, loaded in one place.

It reads its limit on picture size once, when it is loaded, so the limit is set here before.
Works with OpenCV 4.10 on and 5.
"""

import os

os.environ.setdefault("OPENCV_IO_MAX_IMAGE_PIXELS", str(120_000_000))  # 120 megapixels

import cv2

__all__ = ["cv2"]
