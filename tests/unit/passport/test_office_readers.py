"""Reading files in processes of their own: order, a few ahead, and files that break things."""

import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from PIL import Image

from passport.commands.photos import _under_a_bar
from passport.office import Office, readers
from passport.office import intake as taking
from passport.office.intake import State, Taken, intake
from passport.office.readers import Order, bare_limited, read_limited
from passport.records.bare import bare
from passport.records.store import Store
from passport.settings import Settings

# A reader that behaves as the bytes of a file say.
BEHAVES = """
import json, os, signal, sys, time
while line := sys.stdin.buffer.readline():
    order = json.loads(line)
    word = sys.stdin.buffer.read(order["size"]).decode()
    if word == "killed":
        os.kill(os.getpid(), signal.SIGSEGV)
    if word == "computes":
        os.kill(os.getpid(), signal.SIGXCPU)
    if word == "silent":
        time.sleep(60)
    nothing = {"pages": [], "problems": [], "crops": {}}
    read = {"read": json.dumps({"file": word, "sha256": word, **nothing})}
    said = {"memory": {"memory": 7}, "ValueError": {"stopped": word}}
    print(json.dumps(said.get(word, read)), flush=True)
"""


@pytest.fixture
def readers_behave(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[int]]:
    """Count the processes that were started."""
    started: list[int] = []

    def start() -> "subprocess.Popen[bytes]":
        words = [sys.executable, "-c", BEHAVES]
        pipe = subprocess.PIPE
        child = subprocess.Popen(words, stdin=pipe, stdout=pipe, bufsize=0)
        started.append(child.pid)
        return child

    monkeypatch.setattr(readers, "_started", start)
    monkeypatch.setattr(readers, "_IDLE", [])
    yield started
    readers._end_all()


@pytest.fixture
def home(tmp_path: Path) -> Path:
    Store.open(tmp_path / "home").close()
    return tmp_path / "home"


def said(word: str) -> str:
    photo = read_limited(Order("x.jpg", word.encode()), lambda _form: None).photo
    return photo.problems[0].message if photo.problems else photo.file


WHOLE = (
    "x.jpg can't be opened as a picture: {}. Copy it again from the phone or scanner, as JPEG, "
    "PNG, TIFF or PDF."
)


@pytest.mark.parametrize(
    ("word", "found"),
    [
        ("killed", "it makes the reader stop (signal 11)"),
        ("computes", "it takes longer than 10 s and 5 s a page to read"),
        ("memory", "it needs more than 3072 MB of memory to read"),
        ("ValueError", "it is damaged (ValueError)"),
    ],
)
def test_a_file_that_breaks_its_reader_harms_no_other(readers_behave, word, found):
    assert [said("a"), said(word), said("b")] == ["a", WHOLE.format(found), "b"]


def test_a_file_that_breaks_the_process_that_strips_it_is_kept_with_zeros_for_notes(
    readers_behave, monkeypatch
):
    monkeypatch.setattr(readers, "decodes", lambda _content: True)
    monkeypatch.setattr(readers, "blanked", lambda content: b"zeros in " + content)

    assert bare_limited(b"killed") == b"zeros in killed"


def test_a_picture_that_must_be_turned_is_stripped_in_a_process_of_its_own():
    note = Image.Exif()
    note[0x0112] = 6
    Image.new("L", (40, 20), 90).save(file := BytesIO(), "JPEG", exif=note)

    kept = bare_limited(file.getvalue())

    assert kept == bare(file.getvalue())
    assert Image.open(BytesIO(kept)).size == (20, 40)


def test_a_reader_that_says_nothing_is_ended(readers_behave, monkeypatch):
    monkeypatch.setattr(readers, "SILENT_S", 0.2)

    assert said("silent").startswith("x.jpg can't be opened as a picture: it takes longer than")


def test_one_reader_reads_file_after_file(readers_behave):
    found = [said(word) for word in "abc"]

    assert (found, len(readers_behave)) == (["a", "b", "c"], 1)


def test_only_a_few_files_are_read_ahead(home, tmp_path, monkeypatch, readers_behave):
    begun: list[str] = []
    begin = taking._Pending.of.__func__
    monkeypatch.setattr(
        taking._Pending, "of", classmethod(lambda *a: (begun.append(a[2].name), begin(*a))[1])
    )
    paths = [tmp_path / f"{name}.jpg" for name in "abcdefghijklmnop"]
    for path in paths:
        path.write_text(path.name)

    next(intake(Office(Store.open(home)), paths, workers=2))

    assert len(begun) == 6


@pytest.mark.parametrize("workers", [1, 2])
def test_a_file_that_is_gone_ends_as_unusable_and_the_next_is_taken(home, tmp_path, workers):
    there, gone = tmp_path / "a.jpg", tmp_path / "gone.jpg"
    there.write_bytes(b"a")
    office = Office(Store.open(home), Settings(), now=lambda: datetime(2026, 3, 2, tzinfo=UTC))

    taken = list(intake(office, [gone, there], workers=workers))

    assert [(one.file, one.state) for one in taken] == [
        ("gone.jpg", State.CANNOT_BE_USED),
        ("a.jpg", State.CANNOT_BE_USED),
    ]


def test_a_bar_at_a_terminal_counts_how_files_end(monkeypatch):
    @click.command()
    def shown():
        results = [Taken("a.jpg", State.RECORDED), Taken("b.jpg", State.NEEDS_A_LOOK)]
        assert list(_under_a_bar(iter(results), 2)) == results

    monkeypatch.setattr("click._termui_impl.isatty", lambda stream: True)
    monkeypatch.setattr("passport.commands.photos._watched", lambda: True)
    text = CliRunner().invoke(shown, catch_exceptions=False).output

    assert "1 recorded, 1 needs a look" in text
