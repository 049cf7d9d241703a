"""Files on the disk: named by their hash, written whole or not at all."""

import errno
import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import NamedTemporaryFile

from passport.records.errors import DiskFull, HomeUnusable

# How a file of each kind begins (its own specification); the name's ending is only for people.
_BEGINNINGS = (
    (b"\xff\xd8\xff", ".jpg"),
    (b"\x89PNG\r\n\x1a\n", ".png"),
    (b"%PDF-", ".pdf"),
    (b"II*\x00", ".tif"),
    (b"MM\x00*", ".tif"),
    (b"BM", ".bmp"),
)


def sha256(content: bytes) -> str:
    """SHA-256 of a file's bytes, as 64 hexadecimal digits (FIPS 180-4)."""
    return hashlib.sha256(content).hexdigest()


def ending_of(content: bytes) -> str:
    """Name ending for a file, told by how it begins."""
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return ".webp"
    if content[4:8] == b"ftyp":
        return ".heic"
    return next((end for start, end in _BEGINNINGS if content.startswith(start)), ".bin")


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it is either whole under its name or not there at all.

    The bytes go to the disk under another name in the same folder, then take their name, then the
    folder goes to the disk.
    """
    with NamedTemporaryFile(dir=path.parent, prefix=".", suffix=".part", delete=False) as part:
        try:
            part.write(content)
            part.flush()
            flush_file(part.fileno())
            Path(part.name).replace(path)
        except BaseException:
            with suppress(FileNotFoundError):
                Path(part.name).unlink()
            raise
    flush_folder(path.parent)


def remove(path: Path) -> None:
    """Remove a file for good; one that is gone already is no error."""
    path.unlink(missing_ok=True)
    if path.parent.exists():
        flush_folder(path.parent)


def flush_file(handle: int) -> None:
    """Have an open file's bytes on the disk before going on."""
    os.fsync(handle)


def flush_folder(folder: Path) -> None:
    """Have a folder's names on the disk before going on."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def explained(home: Path) -> Iterator[None]:
    """Tell the user what an error of the file system means."""
    try:
        yield
    except OSError as error:
        if error.errno == errno.ENOSPC:
            raise DiskFull(home) from error
        raise HomeUnusable(home, error.strerror or str(error)) from error
