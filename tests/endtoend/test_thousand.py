"""A folder of a thousand small photos, a tenth of them by default: killed, taken up, two workers.

The same files once by one process in their order, and once by the command line with two workers, in
another order, ended by the kernel (SIGKILL) in the middle: both leave the same.
"""

import json
import os
import pty
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from random import Random

import cv2
import numpy as np
import pytest

from passport.booth.hand import fill
from passport.booth.printer import print_pages
from passport.booth.writer import some_hand
from passport.demo.tour import INVENTED
from passport.office import Office, printing
from passport.office.intake import State, files_in, intake
from passport.office.registering import register
from passport.records.store import Store
from passport.settings import Settings

FILES, FORMS = 1000, 5
BAD_EVERY = 25
DPI = 110
COMMAND = "import sys; from passport.cli import main; main()"
AT = re.compile(rb"(\d+)/(\d+)")  # how far the bar is


def office_in(home: Path) -> tuple[Office, list[printing.PrintedForm]]:
    """Open the same office with the same cards printed, every time."""
    office = Office(
        Store.open(home),
        Settings(phone="555-0100", technicians=("AB", "CD")),
        now=lambda: datetime(2026, 3, 2, 18, tzinfo=UTC),
        bits=Random(7).getrandbits,
    )
    table = register(office, INVENTED / "short.toml").table
    return office, [printing.print_form(office, "card", table.number) for _ in range(FORMS)]


@dataclass(frozen=True)
class Folder:
    """The photos, and how many of them are none."""

    path: Path
    files: int
    bad: int


@pytest.fixture
def folder(share, tmp_path) -> Folder:
    """Scan five cards again and again, each time in other light; some files are cut off."""
    _, forms = office_in(tmp_path / "printing")
    home, rng = tmp_path / "photos", np.random.default_rng(3)
    home.mkdir()
    cards = [card(form, number) for number, form in enumerate(forms)]
    count = round(FILES * share)
    for number in range(count):
        light = 0.75 + 0.25 * rng.random()
        picture = (cards[number % FORMS] * light).astype(np.uint8)
        data = cv2.imencode(".jpg", picture)[1].tobytes()
        bad = number % BAD_EVERY == 0
        (home / f"{number:04d}.jpg").write_bytes(data[:2000] if bad else data)
    return Folder(home, count, len(range(0, count, BAD_EVERY)))


def card(form: printing.PrintedForm, number: int) -> np.ndarray:
    page = form.layout.pages[0]
    rows = [one for one in page.fields if hasattr(one, "options")]
    answers = {one.id: one.options[number % len(one.options)].value for one in rows}
    filled = fill(print_pages(form.pdf, 2 * DPI)[0], page, answers, some_hand(number))
    half = cv2.resize(filled, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    return cv2.cvtColor(half, cv2.COLOR_BGR2GRAY)


def what_stands_in(home: Path, forms: list[printing.PrintedForm]) -> str:
    """Everything that was read, but for the names of files with cut-outs, and of which photos."""
    store = Store.open(home)
    found = {}
    for one in forms:
        form = one.layout.form
        said = store.readings(form).items()
        photos = sorted(photo.sha256 for photo in store.form(form).photos)
        found[form] = [photos, {name: str(replace(read, crop=None)) for name, read in said}]
    return json.dumps(found, sort_keys=True)


class Run:
    """An intake by the command line at a terminal."""

    def __init__(self, home: Path, files: list[Path]):
        ours, theirs = pty.openpty()
        words = ["--home", str(home), "intake", "--workers", "2", *map(str, files)]
        self._process = subprocess.Popen(
            [sys.executable, "-c", COMMAND, *words],
            stdout=subprocess.DEVNULL,
            stderr=theirs,
            start_new_session=True,
        )
        os.close(theirs)
        self._ours = ours
        self.shown = b""

    def bars(self) -> Iterator[tuple[int, int]]:
        """Give how far the bar is, of how many, each time that it is drawn."""
        with suppress(OSError):  # the other end is closed
            while piece := os.read(self._ours, 4096):
                self.shown += piece
                if found := AT.findall(self.shown):
                    yield int(found[-1][0]), int(found[-1][1])

    def kill(self) -> None:
        os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()
        os.close(self._ours)

    def ended(self) -> int:
        for _ in self.bars():
            pass
        os.close(self._ours)
        return self._process.wait()


def test_many_photos_end_the_same_by_any_way_there(folder, tmp_path):
    office, forms = office_in(tmp_path / "one")
    taken = list(intake(office, files_in([folder.path])[0]))
    other = tmp_path / "two"
    office_in(other)
    files = files_in([folder.path])[0]
    Random(5).shuffle(files)

    first = Run(other, files)
    reached = next(at for at, _ in first.bars() if at >= folder.files // 3)
    first.kill()
    second = Run(other, files)
    code = second.ended()

    assert reached < folder.files
    assert sum(one.state is State.CANNOT_BE_USED for one in taken) == folder.bad
    assert code == 4  # some could not be used, the rest was done
    assert f"{folder.files}/{folder.files}".encode() in second.shown
    assert b"seen before" in second.shown
    assert what_stands_in(other, forms) == what_stands_in(tmp_path / "one", forms)
