"""Pictures without what cameras write into them: no place, no time, no device, no small preview.

The picture's own bytes stay as they are wherever its format allows: notes are cut out from between
them. Only a picture that a note says to turn is turned and written anew, for without the note it
would lie on its side. What can't be taken apart is kept as it came: no photo is ever lost to this.

References
----------
ITU-T T.81 (JPEG), annex B.1.1: marker segments. W3C PNG (Third Edition), clause 5 and 11: chunks.
RFC 9649 (WebP), section 2.7: chunks and the flags of VP8X. CIPA DC-008 (Exif), tag 0x0112.
"""

import re
import struct
import warnings
from collections.abc import Callable, Iterator
from enum import StrEnum
from importlib import import_module
from io import BytesIO

from PIL import Image, ImageOps, ImageSequence
from PIL.TiffImagePlugin import AppendingTiffWriter


class Keeping(StrEnum):
    """How the owner wants photos kept."""

    BARE = "bare"  # without the camera's notes
    ORIGINALS = "originals"  # as they came


_ORIENTATION = 0x0112
_START_OF_SCAN, _END_OF_IMAGE = 0xDA, 0xD9
_JPEG_LEFT = frozenset({0xE0, 0xE2, 0xEE})  # JFIF, colour profile, the colours' meaning
_PNG_LEFT = frozenset({b"tRNS", b"gAMA", b"sRGB", b"cHRM", b"iCCP", b"pHYs", b"sBIT", b"cICP"})
_WEBP_GONE = frozenset({b"EXIF", b"XMP "})
_WEBP_NOTE_FLAGS = 0x08 | 0x04  # EXIF, XMP
_QUALITY = 95  # of a JPEG that must be written anew

_MARKER_IN_A_SCAN = re.compile(rb"\xff[^\x00\xff\xd0-\xd7]")  # no stuffed FF, no restart
_NOTE_IN_A_STREAM = re.compile(
    rb"\xff\xe1(?P<size>..)(?=Exif\x00\x00|http://ns\.adobe\.com/)", re.DOTALL
)


def bare(content: bytes) -> bytes:
    """Take the camera's notes out of a file.

    Parameters
    ----------
    content : bytes
        The file as it came, of any kind.

    Returns
    -------
    bytes
        The same picture without notes; the file as it is when it can't be taken apart.
    """
    rewrite = _rewriter(content)
    if rewrite is None:
        return content
    try:
        return rewrite(content)
    except MemoryError:
        raise
    except Exception:  # from a damaged file a decoder may raise anything
        return blanked(content)


def _rewriter(content: bytes) -> Callable[[bytes], bytes] | None:
    if content.startswith(b"%PDF-"):
        return blanked
    if content.startswith((b"II*\x00", b"MM\x00*")):
        return _tiff
    if content[4:8] == b"ftyp":
        return _as_jpeg
    cut = _cutter(content)
    return None if cut is None else lambda bytes_: cut(_upright(bytes_))


def _cutter(content: bytes) -> Callable[[bytes], bytes] | None:
    if content.startswith(b"\xff\xd8\xff"):
        return _jpeg
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return _png
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return _webp
    return None


def _upright(content: bytes) -> bytes:
    """Turn a picture that its note says to turn; leave any other as it is."""
    if not _turned(content):
        return content
    with _opened(content) as picture:
        return _written(ImageOps.exif_transpose(picture), picture.format or "PNG", picture)


def _turned(content: bytes) -> bool:
    """Say whether a picture's note says to turn it; damaged notes say nothing."""
    try:
        with _opened(content) as picture:
            return bool(picture.getexif().get(_ORIENTATION, 1) != 1)
    except MemoryError:
        raise
    except Exception:
        return False


def _written(picture: Image.Image, kind: str, like: Image.Image) -> bytes:
    out = BytesIO()
    lossless = {"lossless": True} if kind == "WEBP" else {}
    dpi = {"dpi": like.info["dpi"]} if "dpi" in like.info else {}
    picture.save(out, kind, quality=_QUALITY, subsampling=0, exif=b"", **lossless, **dpi)
    return out.getvalue()


def _opened(content: bytes) -> Image.Image:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # odd notes in a file: they are about to go
        return Image.open(BytesIO(content))


def _jpeg(content: bytes) -> bytes:
    """Leave out the segments that hold notes, and whatever stands behind the picture."""
    kept, position = [content[:2]], 2
    while content[position + 1] not in (_START_OF_SCAN, _END_OF_IMAGE):
        marker, size = struct.unpack_from(">xBH", content, position)
        if content[position] != 0xFF:
            raise ValueError("no marker where one must stand")
        if marker in _JPEG_LEFT or not (0xE0 <= marker <= 0xEF or marker == 0xFE):
            kept.append(content[position : position + 2 + size])
        position += 2 + size
    end = _end_of_jpeg(content, position)
    return b"".join([*kept, content[position:end]])


def _end_of_jpeg(content: bytes, position: int) -> int:
    """Find the end of a picture of one or more scans; a cut-off one ends where the file ends."""
    while found := _MARKER_IN_A_SCAN.search(content, position):
        if found[0] == b"\xff\xd9":
            return found.end()
        position = found.end() + int(struct.unpack_from(">H", content, found.end())[0])
    return len(content)


def _png(content: bytes) -> bytes:
    kept = [content[:8]]
    for name, whole in _png_chunks(content):
        if name in _PNG_LEFT or not name[0] & 0x20:  # bit 5 of the first letter: not needed to show
            kept.append(whole)
        if name == b"IEND":
            return b"".join(kept)
    raise ValueError("the picture is cut off")


def _png_chunks(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    position = 8
    while position < len(content):
        size, name = struct.unpack_from(">I4s", content, position)
        yield name, content[position : position + 12 + size]
        position += 12 + size


def _webp(content: bytes) -> bytes:
    kept, position = [], 12
    while position < 8 + struct.unpack_from("<I", content, 4)[0]:
        name, size = struct.unpack_from("<4sI", content, position)
        end = position + 8 + size + size % 2
        if name not in _WEBP_GONE:
            kept.append(_without_flags(name, content[position:end]))
        position = end
    body = b"".join(kept)
    return b"RIFF" + struct.pack("<I", 4 + len(body)) + b"WEBP" + body


def _without_flags(name: bytes, chunk: bytes) -> bytes:
    if name != b"VP8X":
        return chunk
    return chunk[:8] + bytes([chunk[8] & ~_WEBP_NOTE_FLAGS]) + chunk[9:]


def _tiff(content: bytes) -> bytes:
    """Write every frame anew without loss: a TIFF's notes are tied to it by their places."""
    out = BytesIO()
    with _opened(content) as stack, AppendingTiffWriter(out) as file:
        dpi = {"dpi": stack.info["dpi"]} if "dpi" in stack.info else {}
        for frame in ImageSequence.Iterator(stack):  # one at a time in memory
            plain = _plain(frame)
            how = "group4" if plain.mode == "1" else "tiff_adobe_deflate"
            plain.save(file, "TIFF", compression=how, **dpi)
            file.newFrame()
    return out.getvalue()


def _plain(frame: Image.Image) -> Image.Image:
    upright = ImageOps.exif_transpose(frame)
    plain = Image.new(upright.mode, upright.size)
    if upright.palette is not None:
        plain.putpalette(upright.palette)
    plain.paste(upright)
    return plain


def _as_jpeg(content: bytes) -> bytes:
    """HEIC is read by an optional package only, which opens it for Pillow; else it stays."""
    try:
        picture = import_module("pillow_heif").open_heif(content).to_pillow()
    except (ImportError, RuntimeError) as error:
        raise ValueError("nothing here opens it") from error
    return _written(ImageOps.exif_transpose(picture).convert("RGB"), "JPEG", picture)


def decodes(content: bytes) -> bool:
    """Say whether a file's picture must be decoded to take its notes out, and not only cut."""
    rewrite = _rewriter(content)
    if rewrite in (_tiff, _as_jpeg):
        return True
    return _cutter(content) is not None and _turned(content)


def blanked(content: bytes) -> bytes:
    """Write zeros over the notes of pictures inside a file, so that nothing in it moves."""
    blank = bytearray(content)
    for found in _NOTE_IN_A_STREAM.finditer(content):
        (size,) = struct.unpack(">H", found["size"])
        start, end = found.end(), min(found.start() + 2 + size, len(content))
        blank[start:end] = bytes(end - start)
    return bytes(blank)
