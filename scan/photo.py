"""Files as they come: photos, multi-page scans and PDFs, as grey pictures."""

import importlib
import warnings
from collections.abc import Iterator
from contextlib import suppress
from io import BytesIO
from types import ModuleType

import numpy as np
import pypdfium2
from PIL import Image, ImageOps

from scan.arrays import Grey
from scan.errors import FileUnreadable, HeicUnreadable
from scan.opencv import cv2

PDF_DPI = 220  # a 0.35 mm stroke is 3 pixels wide
_HEIC_BRANDS = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif")


def pictures(data: bytes, name: str) -> Iterator[Grey]:
    """Give the pictures of a file one after the other.

    Parameters
    ----------
    data : bytes
        The file as it came.
    name : str
        What to call it in messages.

    Yields
    ------
    ndarray of shape (H, W), uint8
        Grey, turned upright as far as the camera's note (EXIF) says.

    Raises
    ------
    FileUnreadable
        Not a picture, or damaged.
    HeicUnreadable
        A HEIC photo, and the package that opens it is not installed.
    """
    if data[:1024].lstrip()[:5] == b"%PDF-":
        yield from _pdf(data, name)
    elif data[:4] in (b"II*\0", b"MM\0*"):
        yield from _frames(data, name)
    elif data[4:8] == b"ftyp" and data[8:12] in _HEIC_BRANDS:
        yield from _heic(data, name)
    else:
        yield _single(data, name)


def _single(data: bytes, name: str) -> Grey:
    """Decode JPEG, PNG, WebP straight to grey: a third of the time that colour takes."""
    if not data:
        raise FileUnreadable(name, "it is empty")
    grey = None
    with suppress(cv2.error):
        grey = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE)
    if grey is None:
        raise FileUnreadable(name, "it is damaged or of a kind that is not known")
    return np.asarray(grey, dtype=np.uint8)


def _pdf(data: bytes, name: str) -> Iterator[Grey]:
    try:
        document = pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        raise FileUnreadable(name, "this PDF is damaged or locked by a password") from error
    try:
        for index in range(len(document)):
            page = document[index]
            yield _rendered(page)
            page.close()
    finally:
        document.close()


def _rendered(page: pypdfium2.PdfPage) -> Grey:
    bitmap = page.render(scale=PDF_DPI / 72, grayscale=True)
    grey = np.array(bitmap.to_numpy(), dtype=np.uint8)
    bitmap.close()
    return grey.reshape(grey.shape[:2])


def _frames(data: bytes, name: str) -> Iterator[Grey]:
    """Read every frame of a TIFF; fax compression included."""
    number, count = 0, 1
    while number < count:
        try:
            grey, count = _frame(data, number)
        except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
            raise FileUnreadable(name, "this TIFF is damaged or too large") from error
        yield grey
        number += 1


def _frame(data: bytes, number: int) -> tuple[Grey, int]:
    """Read one frame of a TIFF; and how many there are."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # odd notes in a file are no reason to refuse it
        with Image.open(BytesIO(data)) as stack:
            stack.seek(number)
            upright = ImageOps.exif_transpose(stack)
            return np.array(upright.convert("L"), dtype=np.uint8), getattr(stack, "n_frames", 1)


def _heic(data: bytes, name: str) -> Iterator[Grey]:
    opener = _heif_package()
    if opener is None:
        raise HeicUnreadable(name)
    try:
        picture = opener.open_heif(data).to_pillow()
    except (OSError, ValueError, EOFError, RuntimeError) as error:
        raise FileUnreadable(name, "this HEIC photo is damaged") from error
    yield np.array(ImageOps.exif_transpose(picture).convert("L"), dtype=np.uint8)


def _heif_package() -> ModuleType | None:
    """Look for the optional package that opens HEIC photos."""
    try:
        return importlib.import_module("pillow_heif")
    except ImportError:
        return None
