"""OpenCV is loaded in one place, which sets the limit on picture size before."""

from pathlib import Path

import forms
import passport
import scan

ROOTS = [Path(package.__file__).parent for package in (forms, scan, passport)]
APART = ("booth", "demo")  # they draw photos, and read no stranger's


def test_nothing_but_one_module_loads_opencv():
    loads = [
        path.relative_to(root.parent).as_posix()
        for root in ROOTS
        for path in root.rglob("*.py")
        if "\nimport cv2" in path.read_text() and not set(APART) & set(path.parts)
    ]

    assert loads == ["forms/opencv.py"]


def test_the_limit_is_set_before_opencv_is_loaded():
    text = (ROOTS[0] / "opencv.py").read_text()

    assert text.index("OPENCV_IO_MAX_IMAGE_PIXELS") < text.index("import cv2")
