"""Many machines: workers with another home, rights to read only, and no way into the folder.

The office takes photos in through the database that both know; the workers read them.
"""

import os
import runpy
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from importlib import resources
from pathlib import Path
from random import Random

import psycopg
import pypdfium2
import pytest

from passport.office import Office, open_store, printing
from passport.office.cluster import ClusterOpen, ClusterUnreachable, is_open, joined
from passport.office.intake import DatabaseNeeded, State, intake
from passport.office.reading import ReaderDiffers, Source, Task, read_task, reader_version
from passport.office.registering import register
from passport.settings import Settings

ROOT = Path(__file__).parents[2]
SERVER = runpy.run_path(str(ROOT / "tests/unit/passport/records/server.py"))
READER = "table_passport_tests_reader"
HIDDEN = ("unshare", "-m", "sh", "-c", 'mount -t tmpfs none "$0" && exec "$@"')
PATIENCE_S = 120
AT = datetime(2026, 11, 24, 12, tzinfo=UTC)

pytestmark = pytest.mark.xdist_group("cluster")


@dataclass
class Shop:
    """An office with its forms photographed, and where its workers find the database."""

    office: Office
    photos: list[Path]
    forms: list[str]
    readers: str


def shop(folder: Path, database: str | None, readers: str = "") -> Shop:
    settings = Settings(database=database)
    office = Office(
        open_store(folder / "home", settings), settings, lambda: AT, Random(1).getrandbits
    )
    path = Path(str(resources.files("passport") / "invented" / "short.toml"))
    number = register(office, path).table.number
    printed = [printing.print_form(office, "card", number) for _ in range(3)]
    photos = [photo for one in printed for photo in drawn(folder / f"{one.layout.form}", one.pdf)]
    return Shop(office, photos, [one.layout.form for one in printed], readers)


def drawn(stem: Path, pdf: bytes) -> Iterator[Path]:
    """Hold each page before a scanner, twice."""
    document = pypdfium2.PdfDocument(pdf)
    for number, page in enumerate(document):
        for dpi in (180, 200):
            path = stem.with_name(f"{stem.name}-{number}-{dpi}.jpg")
            page.render(scale=dpi / 72, grayscale=True).to_pil().save(path, quality=85)
            yield path
    document.close()


@pytest.fixture
def shared(tmp_path: Path) -> Iterator[Shop]:
    """Open an office on a database, in which its workers may read and nothing else."""
    server = SERVER["started"]()
    if server is None:
        pytest.skip("only root may start a server here")
    home = tmp_path / "home"
    address = SERVER["address_of"](home, server)
    found = shop(tmp_path, address)
    SERVER["sql"](f"CREATE ROLE {READER} LOGIN PASSWORD '{READER}'")
    schema = SERVER["schema_of"](home)
    with psycopg.connect(server.replace("+psycopg", ""), autocommit=True) as connection:
        connection.execute(f"GRANT USAGE ON SCHEMA {schema} TO {READER}")
        connection.execute(f"GRANT SELECT ON ALL TABLES IN SCHEMA {schema} TO {READER}")
    user = SERVER["USER"]
    yield replace(found, readers=address.replace(f"{user}:{user}", f"{READER}:{READER}"))
    found.office.store.close()
    SERVER["dropped"](home, server)


class Machines:
    """A scheduler and its workers, who see an empty folder where the office's stands."""

    def __init__(self, folder: Path, database: str):
        self._hidden, self._database, self.running = (*HIDDEN, str(folder)), database, []
        self._start("scheduler", "--port", "0", "--host", "127.0.0.1", "--no-dashboard")
        self.address = self._said(self.running[0], "Scheduler at:").split()[-1]

    def worker(self) -> "subprocess.Popen[str]":
        words = ("--nthreads", "1", "--no-nanny", "--no-dashboard", "--local-directory", "/tmp")
        process = self._start("worker", self.address, *words)
        self._said(process, "Registered to:")
        return process

    def stop(self) -> None:
        for process in reversed(self.running):
            process.kill()
            process.wait()
            process.stderr.close()

    def _start(self, *words: str) -> "subprocess.Popen[str]":
        process = subprocess.Popen(
            [*self._hidden, sys.executable, "-m", "dask", *words],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            cwd="/",
            env={
                "PATH": os.environ["PATH"],
                "HOME": "/nonexistent",
                "PYTHONPATH": str(ROOT),
                "TABLE_PASSPORT_DATABASE": self._database,
            },
        )
        self.running.append(process)
        return process

    def _said(self, process: "subprocess.Popen[str]", words: str) -> str:
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            line = process.stderr.readline()
            if words in line:
                return line
        raise TimeoutError(words)


@pytest.fixture
def machines(shared: Shop, tmp_path: Path) -> Iterator[Machines]:
    if subprocess.run([*HIDDEN, str(tmp_path), "true"], check=False).returncode:
        pytest.skip("this machine does not allow a folder to be hidden from a process")
    found = Machines(tmp_path, shared.readers)
    yield found
    found.stop()


def test_machines_without_the_folder_read_the_same_and_a_killed_one_loses_nothing(
    shared, machines, tmp_path
):
    doomed, _ = machines.worker(), machines.worker()
    states = []

    with joined(machines.address) as cluster:
        for taken in intake(shared.office, shared.photos, cluster=cluster):
            states.append(taken.state)
            doomed.send_signal(signal.SIGKILL)

    assert State.CANNOT_BE_USED not in states
    assert doomed.wait() == -signal.SIGKILL
    (tmp_path / "alone").mkdir()
    alone = shop(tmp_path / "alone", None)
    list(intake(alone.office, alone.photos))
    stores = shared.office.store, alone.office.store
    records = [[store.form(form) for form in shared.forms] for store in stores]
    assert [one.readings for one in records[0]] == [one.readings for one in records[1]]
    assert [one.missing for one in records[0]] == [()] * len(records[0])
    assert (stores[0].waiting.names(), stores[0].lost_photos()) == ((), ())
    alone.office.store.close()


def test_a_worker_may_not_write(shared):
    with psycopg.connect(shared.readers.replace("+psycopg", "")) as connection:
        for statement in ("DELETE FROM kept_files", "INSERT INTO files_to_remove VALUES ('a')"):
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                connection.execute(statement)
            connection.rollback()


def test_another_program_does_not_read_for_the_office():
    task = Task("a.jpg", "0" * 64, None, "another", Source(None))

    with pytest.raises(ReaderDiffers) as caught:
        read_task(task)

    assert str(caught.value) == (
        f"The office reads with version another, this machine with {reader_version()[:8]}. "
        "Install the same version of table-passport on both."
    )


def test_a_cluster_needs_a_database(tmp_path):
    with open_store(tmp_path) as store, pytest.raises(DatabaseNeeded) as caught:
        list(intake(Office(store), [], cluster=object()))

    assert str(caught.value) == (
        "Other machines read from a database that offices share, and this store stands in its "
        "home folder. Name the database with --database or in the settings."
    )


@pytest.mark.parametrize(
    ("address", "strangers"),
    [
        ("tcp://10.0.0.5:8786", True),
        ("10.0.0.5:8786", True),
        ("tcp://shelf.example:8786", True),
        ("tcp://[fd00::5]:8786", True),
        ("ws://shelf.example:8786", True),
        ("tls://10.0.0.5:8786", False),
        ("tcp://127.0.0.1:8786", False),
        ("tcp://[::1]:8786", False),
        ("localhost:8786", False),
    ],
)
def test_a_cluster_on_other_machines_is_open_to_strangers_without_tls(address, strangers):
    assert is_open(address) is strangers


def test_an_open_cluster_is_not_joined_unless_the_network_is_closed(monkeypatch):
    def nobody(address, **_):
        raise OSError(address)

    monkeypatch.setattr("distributed.Client", nobody)
    address = "tcp://10.0.0.5:8786"

    with pytest.raises(ClusterOpen) as caught, joined(address):
        pass
    with pytest.raises(ClusterUnreachable), joined(address, closed_network=True):
        pass

    assert str(caught.value) == (
        "tcp://10.0.0.5:8786 leads to another machine, unencrypted: whoever reaches it can have "
        "the workers run any program. Give a tls:// address, with its certificates in dask's own "
        "settings, or say --closed-network where nobody else is on the way."
    )


def test_a_cluster_that_does_not_answer_is_said_so(monkeypatch):
    monkeypatch.setattr("passport.office.cluster.PATIENCE_S", 0.2)

    with pytest.raises(ClusterUnreachable) as caught, joined("tcp://127.0.0.1:1"):
        pass

    assert str(caught.value) == (
        "No cluster answers at tcp://127.0.0.1:1 (OSError). Start its scheduler, check the "
        "address, or leave --cluster out: then this machine reads."
    )
