"""Cuts the power of a disk: ``power.py IMAGE MOUNTED CUTS [FAULT]``; needs the right to mount.

A writer works on a loop-mounted disk and says what is in. At a random moment it is stopped, and
the disk's file is copied: what the writer's kernel had not yet put on the disk is missing from the
copy, as it would be after a power cut. The copy is mounted and looked at. FAULT ``no-sync`` has the
database and the file system's flushes switched off: then acknowledged photos must be missing.
"""

import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from one_form import FORM, begin, broken_promises, take_in

from passport.records import EventKind, Store, files, sqlite

CHANCE = random.Random(20261124)


def write(home: Path, fault: str | None, name: str, out: int) -> None:
    """Take in photos until stopped."""
    if fault == "no-sync":
        files.flush_file = files.flush_folder = lambda _: None
        sqlite.PRAGMAS = tuple(
            one.replace("synchronous=FULL", "synchronous=OFF") for one in sqlite.PRAGMAS
        )
    with Store.open(home) as store:
        for number in range(100_000):
            os.write(out, take_in(store, f"{name} {number}").encode() + b"\n")


@contextmanager
def mounted(image: Path, folder: Path):
    """Mount a disk as long as it is needed."""
    subprocess.run(["mount", "-o", "loop", str(image), str(folder)], check=True)
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


def cut(image: Path, home: Path, fault: str | None, name: str) -> tuple[int, list[str]]:
    """One power cut: how many photos were acknowledged, and the promises broken."""
    inlet, out = os.pipe()
    writer = os.fork()
    if writer == 0:
        write(home, fault, name, out)
        os._exit(0)
    os.close(out)
    with tempfile.TemporaryDirectory() as folder, os.fdopen(inlet) as said:
        first = said.readline().strip()
        time.sleep(CHANCE.uniform(0.05, 0.6))
        os.kill(writer, signal.SIGSTOP)
        copy = Path(folder) / "copy.img"
        shutil.copyfile(image, copy)
        os.kill(writer, signal.SIGKILL)
        os.waitpid(writer, 0)
        acknowledged = [first, *said.read().split()]
        return len(acknowledged), _after(copy, Path(folder) / "after", acknowledged)


def _after(copy: Path, folder: Path, acknowledged: list[str]) -> list[str]:
    folder.mkdir()
    with mounted(copy, folder) as disk:
        home = disk / "home"
        if not (home / sqlite.STORE_FILE).is_file():
            return ["lost: the store"]
        return broken_promises(home, acknowledged, _named(home))


def _named(home: Path) -> list[str]:
    try:
        with Store.open(home) as store:
            kind = EventKind.PAGE_READ
            return sorted({one.body["photo"] for one in store.events(FORM) if one.kind is kind})
    except Exception:  # whatever it is, the next look says so
        return []


def run(image: Path, disk: Path, cuts: int, fault: str | None) -> dict:
    """Cut the power so many times."""
    acknowledged, broken = 0, []
    for number in range(cuts):
        home = disk / "home"
        shutil.rmtree(home, ignore_errors=True)
        begin(home)
        os.sync()
        said, found = cut(image, home, fault, str(number))
        acknowledged += said
        broken.append(found[:5])
    return {"cuts": cuts, "acknowledged": acknowledged, "broken": [one for one in broken if one]}


if __name__ == "__main__":
    arguments = [*sys.argv[1:], None]
    print(json.dumps(run(Path(arguments[0]), Path(arguments[1]), int(arguments[2]), arguments[3])))
