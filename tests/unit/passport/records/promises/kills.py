"""Kills a writer between every two steps of an intake: ``kills.py HOME KILLS_PER_POINT [FAULT]``.

A step is a statement of the database, the end of a transaction, or one thing done to the file
system. The first run names the steps; then, for each of them, a child takes in a photo that it
acknowledges and a second one during which it is killed at that point. Prints JSON: the steps, the
number of kills, and the promises broken. FAULT puts a known mistake in: then some must be broken.
"""

import json
import os
import signal
import sys
import tempfile
from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import sqlalchemy as sa

sys.path.insert(0, str(Path(__file__).parent))
from one_form import begin, begin_like, broken_promises, reads, take_in

from passport.records import Store, files
from passport.records.folder_shelf import FolderShelf


class Points:
    """Counts the steps, and kills its own process at one of them."""

    def __init__(self) -> None:
        self.names: list[str] = []
        self.kill_at: int | None = None
        self.counting = False

    def step(self, name: str) -> None:
        """Come to the point before a step."""
        if not self.counting:
            return
        if len(self.names) == self.kill_at:
            os.kill(os.getpid(), signal.SIGKILL)
        self.names.append(name)


POINTS = Points()


def watched(owner: Any, name: str) -> None:
    """Make a function a step."""
    inner = getattr(owner, name)

    def step(*args: Any, **kwargs: Any) -> Any:
        POINTS.step(f"file: {name}")
        return inner(*args, **kwargs)

    setattr(owner, name, step)


def half_written(write: Callable[[bytes], int]) -> Callable[[bytes], int]:
    """Write in two parts with a point between them."""

    def in_halves(content: bytes) -> int:
        middle = len(content) // 2
        write(content[:middle])
        POINTS.step("file: second half of the bytes")
        write(content[middle:])
        return len(content)

    return in_halves


def watch() -> None:
    """Make steps of all that an intake does."""
    for name in ("flush_file", "flush_folder", "write_whole"):
        watched(files, name)
    for name in ("replace", "mkdir"):
        watched(Path, name)
    whole = files.NamedTemporaryFile

    @contextmanager
    def opened(*args: Any, **kwargs: Any) -> Any:
        with whole(*args, **kwargs) as part:
            part.write = half_written(part.file.write)
            yield part

    files.NamedTemporaryFile = opened
    sa.event.listen(sa.Engine, "before_cursor_execute", _statement)
    sa.event.listen(sa.Engine, "commit", lambda _: POINTS.step("database: COMMIT"))


def _statement(_c: Any, _cursor: Any, text: str, *_rest: Any) -> None:
    POINTS.step("database: " + " ".join(text.split()[:3]))


def acknowledged_too_early(out: int) -> None:
    """Make a known mistake: say that a photo is in before it is."""
    record = Store.record_photo

    def early(self: Store, photo: Any, *rest: Any) -> Any:
        os.write(out, photo.sha256.encode() + b"\n")
        return record(self, photo, *rest)

    Store.record_photo = early


def photo_after_its_record(_out: int) -> None:
    """Make a known mistake: write the file when its record is there already."""
    record, keep = Store.record_photo, FolderShelf.keep

    def late(self: Store, photo: Any, content: bytes, *rest: Any) -> Any:
        FolderShelf.keep = lambda shelf, bytes_: (
            files.sha256(bytes_) if shelf.name == "photos" else keep(shelf, bytes_)
        )
        try:
            outcome = record(self, photo, content, *rest)
        finally:
            FolderShelf.keep = keep
        self.photos.keep(content)
        return outcome

    Store.record_photo = late


def each_page_for_itself(_out: int) -> None:
    """Make a known mistake: take the pages of one file in transactions of their own."""

    def by_page(self: Store, photo: Any, content: bytes, at: Any, crops: Any) -> Any:
        return [self.record_page(photo, page, content, at, crops) for page in photo.pages]

    Store.record_photo = by_page


FAULTS = {
    one.__name__: one
    for one in (acknowledged_too_early, photo_after_its_record, each_page_for_itself)
}


def killed(home: Path, point: int | None, fault: str | None) -> tuple[list[str], list[str]]:
    """Let a child work until it is killed at a point; what it acknowledged, and its steps."""
    inlet, out = os.pipe()
    child = os.fork()
    if child == 0:
        _work(home, point, fault, out)
    os.close(out)
    with os.fdopen(inlet) as said:
        lines = said.read().split()
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) == (point is not None), (point, status)
    steps = [one[5:].replace("_", " ") for one in lines if one.startswith("STEP:")]
    return [one for one in lines if not one.startswith("STEP:")], steps


def _work(home: Path, point: int | None, fault: str | None, out: int) -> None:
    try:
        watch()
        if fault is not None:
            FAULTS[fault](out)
        with Store.open(home) as store:
            os.write(out, take_in(store, "first").encode() + b"\n")
            POINTS.kill_at, POINTS.counting = point, True
            os.write(out, take_in(store, "second").encode() + b"\n")
            POINTS.step("the answer")
            steps = [one.replace(" ", "_") for one in POINTS.names]
            os.write(out, "".join(f"STEP:{one}\n" for one in steps).encode())
    finally:
        os._exit(0)


def again_is_as_once(home: Path, second: str) -> list[str]:
    """Take the interrupted photo in again: then it must be there, once."""
    with Store.open(home) as store:
        take_in(store, "second")
        found = len(reads(store, second))
    return [] if found == 2 else [f"after another go: {found} pages"]


def run(home: Path, kills: int, fault: str | None) -> dict[str, Any]:
    """Kill at every point so many times."""
    begin(home / "template")
    with tempfile.TemporaryDirectory(dir=home) as folder:
        begin_like(home / "template", Path(folder) / "store")
        said, steps = killed(Path(folder) / "store", None, fault)
    second = said[-1]
    broken: dict[str, list[str]] = {}
    for point, name in enumerate(steps):
        for _ in range(kills):
            found = _one(home, point, fault, second)
            if found:
                broken.setdefault(f"{point} {name}", []).extend(found)
    return {"steps": steps, "kills": kills * len(steps), "broken": broken}


def _one(home: Path, point: int, fault: str | None, second: str) -> list[str]:
    with tempfile.TemporaryDirectory(dir=home) as folder:
        store = Path(folder) / "store"
        begin_like(home / "template", store)
        said, _ = killed(store, point, fault)
        broken = broken_promises(store, said, [second])
        return broken or again_is_as_once(store, second)


if __name__ == "__main__":
    arguments = [*sys.argv[1:], None]
    print(json.dumps(run(Path(arguments[0]), int(arguments[1]), arguments[2])))
