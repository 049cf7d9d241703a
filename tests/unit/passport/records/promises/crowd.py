"""Many writers on one store at once: ``crowd.py HOME same|apart WRITERS EACH [FAULT]``.

``same``: all of them take in the same photo, EACH times. ``apart``: each takes in photos of its
own. All wait for one another before they start. Prints what became of each, and the promises
broken. FAULT ``deferred`` lets writers read before they take their lock, ``unasked`` lets them not
look whether the photo is in already.
"""

import json
import os
import sys
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from one_form import FORM, begin, broken_promises, take_in

from passport.records import EventKind, Store, postgres, sqlite
from passport.records.form_state import FormRecord


def make_mistake(fault: str | None) -> None:
    """Put a known mistake in."""
    if fault == "deferred":
        sqlite._begin = lambda connection: connection.exec_driver_sql("BEGIN")
        postgres._begin = lambda *_: None
    if fault == "unasked":
        FormRecord.photo = lambda *_: None


def write(home: Path, names: list[str], ready: int, out: int, fault: str | None) -> None:
    """Wait for the start, then take photos in, and say what became of each."""
    make_mistake(fault)
    with Store.open(home) as store:
        os.read(ready, 1)
        for name in names:
            try:
                said = {"photo": take_in(store, name)}
            except Exception as error:
                said = {"error": type(error).__name__}
            os.write(out, json.dumps(said).encode() + b"\n")


def at_once(home: Path, names: list[list[str]], fault: str | None) -> list[dict]:
    """Let all writers start at one moment and wait for the last."""
    ready, start = os.pipe()
    inlet, out = os.pipe()
    children = [_forked(lambda own=own: write(home, own, ready, out, fault)) for own in names]
    os.close(out)
    os.write(start, b"!" * len(children))
    with os.fdopen(inlet) as said:
        lines = said.read().splitlines()
    for child in children:
        os.waitpid(child, 0)
    return [json.loads(line) for line in lines]


def _forked(work: Callable[[], None]) -> int:
    child = os.fork()
    if child == 0:
        try:
            work()
        finally:
            os._exit(0)
    return child


def run(home: Path, kind: str, writers: int, each: int, fault: str | None) -> dict:
    """Start the crowd, then look at the store."""
    begin(home)
    names = [
        [("one" if kind == "same" else f"{writer}/{number}") for number in range(each)]
        for writer in range(writers)
    ]
    said = at_once(home, names, fault)
    photos = sorted({one["photo"] for one in said if "photo" in one})
    with Store.open(home) as store:
        pages = [one for one in store.events(FORM) if one.kind is EventKind.PAGE_READ]
    return {
        "acknowledged": sum("photo" in one for one in said),
        "errors": sorted({one["error"] for one in said if "error" in one}),
        "pages": len(pages),
        "broken": broken_promises(home, photos, []),
    }


if __name__ == "__main__":
    arguments = [*sys.argv[1:], None]
    numbers = (int(arguments[2]), int(arguments[3]))
    print(json.dumps(run(Path(arguments[0]), arguments[1], *numbers, arguments[4])))
