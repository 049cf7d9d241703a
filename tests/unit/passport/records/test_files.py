import errno
import os
from pathlib import Path

import pytest

from passport.records import files
from passport.records.errors import DiskFull, HomeUnusable, PhotoUnknown
from passport.records.files import ending_of
from passport.records.folder_shelf import FolderShelf


@pytest.fixture
def shelf(tmp_path):
    return FolderShelf(tmp_path, "photos")


def test_a_file_is_kept_by_its_hash(shelf):
    # SHA-256 of "abc": FIPS 180-4 examples
    digest = shelf.keep(b"abc")

    assert digest == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert shelf.path(digest).relative_to(shelf.home).as_posix() == (
        "photos/ba/7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad.bin"
    )


def test_a_file_kept_twice_is_there_once(shelf):
    shelf.keep(b"abc")
    shelf.keep(b"abc")

    assert [shelf.read(name) for name in shelf.names()] == [b"abc"]


@pytest.mark.parametrize(
    ("start", "ending"),
    [
        (b"\xff\xd8\xff\xe0", ".jpg"),
        (b"\x89PNG\r\n\x1a\n", ".png"),
        (b"%PDF-1.7", ".pdf"),
        (b"II*\x00", ".tif"),
        (b"MM\x00*", ".tif"),
        (b"BM", ".bmp"),
        (b"RIFF\x00\x00\x00\x00WEBP", ".webp"),
        (b"\x00\x00\x00\x18ftypheic", ".heic"),
        (b"<html>", ".bin"),
    ],
)
def test_a_file_gets_its_ending_from_how_it_begins(start, ending):
    assert ending_of(start) == ending


def test_a_file_that_is_not_there_is_said_so(shelf):
    with pytest.raises(PhotoUnknown):
        shelf.path("ab" * 32)


def test_a_file_whose_writing_fails_leaves_nothing_behind(shelf, monkeypatch):
    def fail(_handle):
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(files, "flush_file", fail)

    with pytest.raises(HomeUnusable):
        shelf.keep(b"abc")

    assert [one for one in shelf.folder.rglob("*") if one.is_file()] == []


def test_a_full_disk_is_said_so(shelf, monkeypatch):
    def full(_handle):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(files, "flush_file", full)

    with pytest.raises(DiskFull):
        shelf.keep(b"abc")


def test_the_bytes_are_on_the_disk_before_they_have_their_name(shelf, monkeypatch):
    seen = []
    monkeypatch.setattr(files, "flush_file", lambda _handle: seen.append(list(shelf.names())))

    shelf.keep(b"abc")

    assert seen == [[]]


def test_the_name_is_on_the_disk_before_the_file_is_acknowledged(shelf, monkeypatch):
    flushed = []
    monkeypatch.setattr(
        os, "fsync", lambda handle: flushed.append(Path(f"/proc/self/fd/{handle}").readlink())
    )

    digest = shelf.keep(b"abc")

    assert flushed[-1] == shelf.path(digest).parent


def test_an_altered_file_is_found(shelf):
    digest = shelf.keep(b"abc")
    shelf.path(digest).write_bytes(b"abd")

    assert shelf.altered() == (shelf.find(digest),)
