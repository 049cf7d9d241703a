"""Files kept by their hash: written whole or not at all, found again, never written over."""

import errno
import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import NamedTemporaryFile

from passport.records.errors import DiskFull, HomeUnusable, PhotoUnknown

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


@dataclass(frozen=True)
class Shelf:
    """A folder of files by hash: ``ab/cdef….jpg`` is the file whose hash begins with abcdef."""

    home: Path
    name: str

    @property
    def folder(self) -> Path:
        """Where the files stand."""
        return self.home / self.name

    def keep(self, content: bytes) -> str:
        """Keep a file and return its hash; a file that is already kept is left as it is."""
        digest = sha256(content)
        path = self.folder / digest[:2] / f"{digest[2:]}{ending_of(content)}"
        with explained(self.home):
            if not path.exists():
                self._make_folder(path.parent)
                write_whole(path, content)
        return digest

    def path(self, digest: str) -> Path:
        """Find a kept file.

        Raises
        ------
        PhotoUnknown
            There is no file with this hash.
        """
        found = self.named(digest)
        if not found:
            raise PhotoUnknown(digest, str(self.folder))
        return found[0]

    def named(self, digest: str) -> list[Path]:
        """Find the files with a hash: one, or none."""
        return sorted((self.folder / digest[:2]).glob(f"{digest[2:]}.*")) if digest else []

    def files(self) -> tuple[Path, ...]:
        """All kept files, in the order of their hashes."""
        return tuple(sorted(self.folder.glob("[0-9a-f][0-9a-f]/[0-9a-f]*.*")))

    def whole(self) -> frozenset[str]:
        """Find the hashes of all kept files whose bytes still give their hash."""
        return frozenset(map(_hash_of, self.files())) - frozenset(map(_hash_of, self.altered()))

    def altered(self) -> tuple[Path, ...]:
        """Kept files whose bytes no longer give their hash."""
        return tuple(file for file in self.files() if sha256(file.read_bytes()) != _hash_of(file))

    def _make_folder(self, folder: Path) -> None:
        for one in (self.folder, folder):
            if not one.exists():
                one.mkdir(exist_ok=True)
                flush_folder(one.parent)


def _hash_of(file: Path) -> str:
    return file.parent.name + file.stem
