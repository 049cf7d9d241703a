"""Files that would bring the reader down are read in a child, and spoil only themselves."""

import zlib
from collections.abc import Iterator
from pathlib import Path

import pytest

from passport.office.apart import TOO_MUCH, Apart
from passport.office.readers import FileNotRead, Job

PAGE = b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]/Contents 4 0 R>>"


@pytest.fixture
def apart(tmp_path: Path) -> Iterator[Apart]:
    children = Apart(tmp_path / "home")
    yield children
    children.close()


def bomb() -> bytes:
    """Write a PDF of half a megabyte whose one page unfolds to 800 MB of drawing."""
    unfold = zlib.compressobj(9)
    stream = b"".join(unfold.compress(b"0 0 m 1 1 l S " * 2**16) for _ in range(900))
    stream += unfold.flush()
    head = b"%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n"
    pages = b"2 0 obj<</Type/Pages/Count 1/Kids[3 0 R]>>endobj\n3 0 obj" + PAGE + b"endobj\n"
    length = b"4 0 obj<</Filter/FlateDecode/Length %d>>stream\n" % len(stream)
    return head + pages + length + stream + b"\nendstream endobj\ntrailer<</Root 1 0 R>>\n"


@pytest.mark.long
def test_a_file_that_ends_the_reader_spoils_only_itself(apart: Apart, tmp_path: Path):
    bad, plain = tmp_path / "bad.pdf", tmp_path / "plain.jpg"
    bad.write_bytes(bomb())
    plain.write_bytes(b"no picture")
    jobs = [Job(path, tmp_path, tmp_path / "crops", None) for path in (bad, plain)]

    found = [apart(job) for job in jobs]
    assert str(found[0]) == str(FileNotRead(bad, TOO_MUCH))
    assert "damaged or of a kind that is not known" in found[1].problems[0].message
