"""Reading a folder in several processes: order, a few ahead, and files that break things."""

import os
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, datetime
from multiprocessing import get_context
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from passport.commands.photos import _under_a_bar
from passport.office import Office, readers
from passport.office.intake import State, Taken, intake
from passport.office.readers import FileNotRead, Job, read_all
from passport.records.store import Store
from passport.settings import Settings
from scan.reading import PhotoReading


def behave(path: Path, layout_of: object, **_: object) -> PhotoReading:
    """Read as the file's name says."""
    if path.stem == "kills":
        os._exit(9)
    if path.stem == "raises":
        raise MemoryError
    return PhotoReading(path.name, path.stem, (), ())


@pytest.fixture
def home(tmp_path, monkeypatch):
    Store.open(tmp_path / "home")
    fork = get_context("fork")
    monkeypatch.setattr(readers, "read_photo", behave)
    monkeypatch.setattr(readers, "_pool", lambda count: ProcessPoolExecutor(count, fork))
    return tmp_path / "home"


def names(found):
    return [one.sha256 if isinstance(one, PhotoReading) else one.cause for one in found]


def jobs(home, *stems):
    return [Job(Path(f"{stem}.jpg"), home, home / "crops", None) for stem in stems]


STEMS = ("a", "b", "kills", "c", "raises", "d", "e", "kills", "f")
DIED, FAILED = "the process that read it ended", "MemoryError"


@pytest.mark.parametrize("workers", [2, 3])
def test_files_that_break_their_process_harm_no_other(home, workers):
    found = names(read_all(jobs(home, *STEMS), dict.get, workers))

    assert found == ["a", "b", DIED, "c", FAILED, "d", "e", DIED, "f"]


def test_a_file_that_fails_here_harms_no_other(home):
    found = names(read_all(jobs(home, "a", "raises", "b"), {}.get, 1))

    assert found == ["a", FAILED, "b"]


def test_only_a_few_files_are_read_ahead(home):
    drawn = []
    many = (drawn.append(job) or job for job in jobs(home, *"abcdefghijklmnop"))

    next(read_all(many, {}.get, 2))

    assert len(drawn) == 6


def test_the_message_of_a_file_that_was_not_read():
    assert str(FileNotRead(Path("in/x.jpg"), "MemoryError")) == (
        "x.jpg could not be read: MemoryError. The other files are not affected. Take the picture "
        "anew, or save it as JPEG and take that in."
    )


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
