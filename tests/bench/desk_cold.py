"""Pages of the desk, each the first that a new process shows: ``desk_cold.py HOME WHERE PATH…``.

Prints, for each path, the least wall time and the least processor time of a few [ms]. Every one
is a child of a process that has only read the program, and opens the store, a ready desk and a
clerk's session before the clock runs.
WHERE is ``memory`` where the system may still hold the store's file, ``disk`` where it is made to
let go of it first.
"""

import json
import os
import re
import sys
import time
from pathlib import Path

from argon2 import PasswordHasher
from flask.testing import FlaskClient

from passport.desk.app import Options, make_app
from passport.desk.here import EXTENSION, Desk
from passport.desk.people import Role
from passport.desk.ready import make_ready
from passport.office import Office, open_store
from passport.settings import Settings

CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
NAME, PASSWORD = "bench-clerk", "four odd green lamps"
RUNS = 2


def signed_in(home: Path) -> tuple[FlaskClient, Office]:
    """Open the desk of a store, and sign a clerk in."""
    office = Office(open_store(home), Settings(second_factor="administrators"))
    app = make_app(office, Options(hasher=CHEAP))
    desk: Desk = app.extensions[EXTENSION]
    if desk.people.find(NAME) is None:
        desk.people.add(NAME, PASSWORD, Role.CLERK, office.now())
    client = app.test_client()
    page = client.get("/sign-in").text
    found = re.search(r'<meta name="csrf" content="([^"]+)"', page)
    assert found is not None
    client.post("/sign-in", data={"csrf": found[1], "name": NAME, "password": PASSWORD})
    return client, office


def let_go(home: Path) -> None:
    """Have the system let go of what it holds of the store's files."""
    for file in home.glob("store.sqlite*"):
        with file.open("rb") as opened:
            os.posix_fadvise(opened.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)


def first(home: Path, path: str, where: str) -> list[float]:
    """Time a page in a process of its own [ms]."""
    hears, says = os.pipe()
    if os.fork() == 0:
        client, _ = signed_in(home)
        make_ready(client.application)
        if where == "disk":
            let_go(home)
        began = time.perf_counter(), time.process_time()
        answer = client.get(path)
        took = time.perf_counter() - began[0], time.process_time() - began[1]
        assert answer.status_code == 200, (path, answer.status)
        os.write(says, json.dumps([1000 * one for one in took]).encode())
        os._exit(0)
    os.close(says)
    with os.fdopen(hears) as said:
        text = said.read()
    os.wait()
    return json.loads(text)


def least(home: Path, path: str, where: str) -> dict[str, float]:
    """Time a page a few times; what else the machine does counts for nothing."""
    walls, processors = zip(*(first(home, path, where) for _ in range(RUNS)), strict=True)
    return {"wall": min(walls), "processor": min(processors)}


if __name__ == "__main__":
    folder, kind, *paths = sys.argv[1:]
    signed_in(Path(folder))[1].store.close()
    print(json.dumps({one: least(Path(folder), one, kind) for one in paths}))
