"""Whatever was acknowledged is there after the writer was killed, and nothing twice."""

import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from passport.records import EventKind

KILLS = 20

WRITER = """
import hashlib, sys
from datetime import UTC, datetime
from pathlib import Path
from passport.records import Store
from scan.reading import PageReading, PhotoReading, Reading, Status

with Store.open(Path(sys.argv[1])) as store:
    for n in range(10_000):
        content = b"\\xff\\xd8\\xff" + sys.argv[2].encode() + b" %d" % n
        readings = {"ok1": Reading(Status.SURE, True, 0.999)}
        page = PageReading("8ZK3", 1, readings)
        photo = PhotoReading("a.jpg", hashlib.sha256(content).hexdigest(), (page,))
        store.record_photo(photo, content, datetime.now(UTC))
        print(photo.sha256, flush=True)
"""


def acknowledged_until_killed(home: Path, run: int, lines: int) -> list[str]:
    """Let a writer work until it has acknowledged some photos, then kill it in the midst."""
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(home), str(run)], stdout=subprocess.PIPE, text=True
    ) as writer:
        assert writer.stdout is not None
        said = [writer.stdout.readline().strip() for _ in range(lines)]
        writer.send_signal(signal.SIGKILL)
        rest = writer.stdout.read().split("\n")[:-1]
    return said + rest


@pytest.mark.long
def test_what_was_acknowledged_survives_kill_9_and_nothing_is_there_twice(store, home):
    chance = random.Random(20261124)

    said = [
        digest
        for run in range(KILLS)
        for digest in acknowledged_until_killed(home, run, chance.randrange(1, 12))
    ]

    store.verify()
    pages = [one.body["photo"] for one in store.events("8ZK3") if one.kind is EventKind.PAGE_READ]
    assert len(said) >= KILLS
    assert set(said) <= set(pages)
    assert len(pages) == len(set(pages))
    assert store.photos.altered() == ()
    assert {store.photos.path(digest).exists() for digest in pages} == {True}
