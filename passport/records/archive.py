"""Backup and restore: one file that holds the whole store, with its head in a manifest.

A backup is an ordinary ZIP file without compression (photos are compressed already):
``manifest.json``, ``store.sqlite``, ``photos/…``, ``crops/…``.
"""

import json
import shutil
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory

from passport.records import files, sqlite
from passport.records.book import Book
from passport.records.errors import BackupUnusable, HomeNotEmpty, StoreError
from passport.records.shelf import Shelf

MANIFEST = "manifest.json"


@dataclass(frozen=True)
class Manifest:
    """What a backup holds: number of events, head hash, number of photos and cut-outs."""

    events: int
    head: str
    files: int


def backup(book: Book, path: Path) -> Manifest:
    """Write a backup, whole or not at all, while the store may be in use.

    The database is copied first: whatever its events name was on the disk before them.

    Raises
    ------
    HomeUnusable, DiskFull
        The backup can't be written there.
    """
    with files.explained(path.parent), TemporaryDirectory(dir=path.parent, prefix=".") as folder:
        store = Path(folder) / sqlite.STORE_FILE
        book.copy_database(store)
        kept = [(shelf, name) for shelf in (book.photos, book.crops) for name in shelf.names()]
        manifest = _manifest(Path(folder), len(kept))
        part = Path(folder) / "backup"
        _pack(part, manifest, store, kept)
        part.replace(path)
        files.flush_folder(path.parent)
    return manifest


def restore(path: Path, home: Path) -> Manifest:
    """Make a home folder from a backup, checked before it takes its name.

    Raises
    ------
    HomeNotEmpty
        There is something in the folder.
    BackupUnusable
        The file is no backup, is damaged, or its head is not what its manifest says.
    """
    if home.exists() and any(home.iterdir()):
        raise HomeNotEmpty(home)
    with files.explained(home):
        home.parent.mkdir(parents=True, exist_ok=True)
        with TemporaryDirectory(dir=home.parent, prefix=".") as folder:
            unpacked = Path(folder) / "home"
            manifest = _unpack(path, unpacked)
            _check(path, unpacked, manifest)
            unpacked.replace(home)
            files.flush_folder(home.parent)
    return manifest


def _manifest(folder: Path, kept: int) -> Manifest:
    """Read the copy's head: the live store may have gone on."""
    with Book.open(folder) as copy:
        head = copy.head()
    return Manifest(head.seq, head.hash, kept)


def _pack(part: Path, manifest: Manifest, store: Path, kept: Sequence[tuple[Shelf, str]]) -> None:
    with part.open("wb") as raw:
        with zipfile.ZipFile(raw, "w", zipfile.ZIP_STORED) as packed:
            packed.writestr(MANIFEST, json.dumps(vars(manifest), indent=1) + "\n")
            packed.write(store, sqlite.STORE_FILE)
            for shelf, name in kept:
                packed.writestr(f"{shelf.name}/{name}", shelf.read(name))
        raw.flush()
        files.flush_file(raw.fileno())


def _unpack(path: Path, home: Path) -> Manifest:
    """Unpack a backup's own files; anything else in it is left alone."""
    with _usable(path), zipfile.ZipFile(path) as packed:
        data = json.loads(packed.read(MANIFEST))
        manifest = Manifest(int(data["events"]), str(data["head"]), int(data["files"]))
        for name in packed.namelist():
            if _is_ours(name):
                _unpack_one(packed, name, home)
    return manifest


def _is_ours(name: str) -> bool:
    parts = PurePosixPath(name).parts
    if parts == (sqlite.STORE_FILE,):
        return True
    return len(parts) == 3 and parts[0] in ("photos", "crops") and ".." not in parts


def _unpack_one(packed: zipfile.ZipFile, name: str, home: Path) -> None:
    target = home / name
    target.parent.mkdir(parents=True, exist_ok=True)
    with packed.open(name) as source, target.open("wb") as out:
        shutil.copyfileobj(source, out)
        out.flush()
        files.flush_file(out.fileno())


def _check(path: Path, home: Path, manifest: Manifest) -> None:
    """Check the chain, its head and every file before anything takes the store's name."""
    if not (home / sqlite.STORE_FILE).exists():
        raise BackupUnusable(path, "the store is missing in it")
    try:
        with Book.open(home) as book:
            found = book.verify()
            wrong = [*book.photos.altered(), *book.crops.altered()]
            kept = len(book.photos.names()) + len(book.crops.names())
    except StoreError as error:
        raise BackupUnusable(path, f"the store in it is damaged ({error})") from error
    if found.head != manifest.head:
        raise BackupUnusable(path, f"its head is {found.head[:8]}, not {manifest.head[:8]}")
    if wrong:
        raise BackupUnusable(path, f"{len(wrong)} of its {kept} photos and cut-outs are altered")
    if kept != manifest.files:
        raise BackupUnusable(path, f"it holds {kept} of {manifest.files} photos and cut-outs")


@contextmanager
def _usable(path: Path) -> Iterator[None]:
    try:
        yield
    except FileNotFoundError as error:
        raise BackupUnusable(path, "there is no such file") from error
    except (IsADirectoryError, PermissionError) as error:
        raise BackupUnusable(path, "it can't be read") from error
    except (zipfile.BadZipFile, KeyError, TypeError, ValueError) as error:
        raise BackupUnusable(path, "it is not a backup, or it is damaged") from error
