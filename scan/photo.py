"""Files as they come: photos, multi-page scans and PDFs, as grey pictures."""

import importlib
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from io import BytesIO
from types import ModuleType
from typing import NamedTuple

import numpy as np
import pypdfium2
from PIL import Image, ImageOps

from scan.arrays import Grey
from scan.errors import FileUnreadable, HeicUnreadable
from scan.opencv import cv2, silenced

LEAST_DPI = 96  # what programs write that know no better is not believed
PDF_DPI = 220  # a 0.35 mm stroke is 3 pixels wide
MOST_PDF_PIXELS = 20_000_000  # of one page: a sheet at 220 dots an inch has 5 million
MOST_PIXELS = 120_000_000  # of a photo; a file can claim far more than it holds bytes
_HEIC_BRANDS = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif")
_SINGLE = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF", b"BM", b"GIF8")  # JPEG, PNG, WebP first


class Picture(NamedTuple):
    """A grey picture (H, W), and the dots an inch at which it was scanned, if the file says so."""

    grey: Grey
    dpi: float | None = None


def pictures(data: bytes, name: str) -> Iterator[Picture]:
    """Give the pictures of a file one after the other.

    Parameters
    ----------
    data : bytes
        The file as it came.
    name : str
        What to call it in messages.

    Yields
    ------
    Picture
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
        yield Picture(_single(data, name))


@contextmanager
def _refusing(name: str, found: str) -> Iterator[None]:
    """Refuse a file that its decoder stumbles over: from a damaged one it may raise anything."""
    try:
        yield
    except (MemoryError, FileUnreadable):
        raise
    except Exception as error:
        raise FileUnreadable(name, found) from error


def _single(data: bytes, name: str) -> Grey:
    """Decode JPEG, PNG, WebP straight to grey: a third of the time that colour takes."""
    if not data:
        raise FileUnreadable(name, "it is empty")
    if _claims_too_much(data):
        raise FileUnreadable(name, f"it claims more than {MOST_PIXELS // 1_000_000} megapixels")
    grey = None
    if data.startswith(_SINGLE):  # OpenCV would try a dozen other kinds
        with suppress(cv2.error), silenced():
            grey = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE)
    if grey is None:
        raise FileUnreadable(name, "it is damaged or of a kind that is not known")
    return np.asarray(grey, dtype=np.uint8)


def _claims_too_much(data: bytes) -> bool:
    """Say whether the head of a file claims more pixels than are read, before any is decoded."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            with Image.open(BytesIO(data)) as head:
                return head.width * head.height > MOST_PIXELS
        except Image.DecompressionBombError:
            return True
        except MemoryError:
            raise
        except Exception:  # what makes no sense to this reader, the decoder refuses
            return False


def _pdf(data: bytes, name: str) -> Iterator[Picture]:
    try:
        document = pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        raise FileUnreadable(name, "this PDF is damaged or locked by a password") from error
    try:
        for index in range(len(document)):
            with _refusing(name, f"page {index + 1} of this PDF is damaged"):
                page = document[index]
                picture = _rendered(page, name)
                page.close()
            yield picture
    finally:
        document.close()


def _rendered(page: pypdfium2.PdfPage, name: str) -> Picture:
    """Draw a page; a larger one in fewer dots, so that no page takes more memory than a photo."""
    width, height = (float(side) / 72 for side in page.get_size())  # in
    dpi = min(PDF_DPI, (MOST_PDF_PIXELS / max(width * height, 1e-9)) ** 0.5)
    if dpi < LEAST_DPI:
        size = f"{width * 25.4:.0f} × {height * 25.4:.0f} mm"
        raise FileUnreadable(name, f"a page of it is {size} large, which is no sheet of a form")
    bitmap = page.render(scale=dpi / 72, grayscale=True)
    grey = np.array(bitmap.to_numpy(), dtype=np.uint8)
    bitmap.close()
    return Picture(grey.reshape(grey.shape[:2]), dpi)


def _frames(data: bytes, name: str) -> Iterator[Picture]:
    """Read every frame of a TIFF; fax compression included."""
    number, count = 0, 1
    while number < count:
        with _refusing(name, "this TIFF is damaged or too large"):
            picture, count = _frame(data, number)
        yield picture
        number += 1


def _frame(data: bytes, number: int) -> tuple[Picture, int]:
    """Read one frame of a TIFF; and how many there are."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # odd notes in a file are no reason to refuse it
        with silenced(), Image.open(BytesIO(data)) as stack:
            stack.seek(number)
            grey = _grey(ImageOps.exif_transpose(stack))
            dpi = float(stack.info.get("dpi", (0, 0))[0])
            return Picture(grey, dpi if dpi > LEAST_DPI else None), getattr(stack, "n_frames", 1)


def _grey(picture: Image.Image) -> Grey:
    """Turn a picture to grey; of 16 bits the upper eight."""
    if picture.mode.startswith("I;16"):
        return np.asarray(np.array(picture) >> 8, dtype=np.uint8)
    return np.array(picture.convert("L"), dtype=np.uint8)


def _heic(data: bytes, name: str) -> Iterator[Picture]:
    opener = _heif_package()
    if opener is None:
        raise HeicUnreadable(name)
    with _refusing(name, "this HEIC photo is damaged"):
        picture = ImageOps.exif_transpose(opener.open_heif(data).to_pillow())
        grey = np.array(picture.convert("L"), dtype=np.uint8)
    yield Picture(grey)


def _heif_package() -> ModuleType | None:
    """Look for the optional package that opens HEIC photos."""
    try:
        return importlib.import_module("pillow_heif")
    except ImportError:
        return None
