"""Promise 7 to 9: a full disk, a disk that can't be written, a store that is busy."""

import runpy
import sqlite3
import subprocess
import threading
from contextlib import closing, suppress
from pathlib import Path

import pytest

from passport.records import Store, files
from passport.records.errors import DiskFull, HomeUnusable, StoreLocked

ONE = runpy.run_path(str(Path(__file__).with_name("one_form.py")))
begin, take_in, broken_promises = ONE["begin"], ONE["take_in"], ONE["broken_promises"]


def fill(disk: Path) -> Path:
    """Leave less room on the disk than one photo needs."""
    filler = disk / "filler"
    with filler.open("wb", buffering=0) as raw:
        for block in (2**20, 2**12, 1):
            try:
                while True:
                    raw.write(b"0" * block)
            except OSError:
                continue
    return filler


def take_until_full(store: Store) -> list[str]:
    """Take photos in until the disk is full."""
    taken: list[str] = []
    with suppress(DiskFull):
        for number in range(10_000):
            taken.append(take_in(store, f"photo {number}"))
    assert len(taken) < 10_000
    return taken


@pytest.mark.long
def test_a_full_disk_is_said_so_and_costs_nothing_that_was_acknowledged(disk):
    begin(disk / "home")
    with Store.open(disk / "home") as store:
        taken = [take_in(store, "before")]
        filler = fill(disk)
        taken += take_until_full(store)
        filler.unlink()

        assert broken_promises(disk / "home", taken, []) == []
        assert take_in(store, "after") in {
            one.body["photo"] for one in store.events(ONE["FORM"])[1:]
        }


@pytest.mark.long
def test_a_writer_that_passes_over_a_full_disk_breaks_a_promise(disk, monkeypatch):
    begin(disk / "home")
    with Store.open(disk / "home") as store:
        filler = fill(disk)
        monkeypatch.setattr(Store, "record_photo", lambda *_: ())
        taken = [take_in(store, "unheard")]
        filler.unlink()

    assert broken_promises(disk / "home", taken, []) == [f"lost: {taken[0][:8]}"]


def test_a_disk_that_fills_up_between_photo_and_record_leaves_no_record(tmp_path):
    begin(tmp_path / "home")
    with Store.open(tmp_path / "home") as store:
        before = store.head()
        with store._engine.connect() as connection:  # of the pool's one connection
            connection.exec_driver_sql("PRAGMA max_page_count=1")
        take_until_full(store)

        assert store.verify().events >= before.seq
        assert store.lost_photos() == ()


@pytest.mark.long
def test_a_disk_that_can_only_be_read_is_said_so_and_changes_nothing(disk):
    begin(disk / "home")
    with Store.open(disk / "home") as store:
        taken = [take_in(store, "before")]
    subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)

    with pytest.raises(HomeUnusable), Store.open(disk / "home") as store:
        take_in(store, "refused")

    subprocess.run(["mount", "-o", "remount,rw", str(disk)], check=True)
    refused = files.sha256(b"%PDF-1.7 " + b"refused" * 500)
    assert broken_promises(disk / "home", taken, []) == []
    assert broken_promises(disk / "home", [refused], []) == [f"lost: {refused[:8]}"]  # the control


def test_a_busy_store_is_waited_for_then_said_so_and_nothing_is_recorded(tmp_path):
    begin(tmp_path)
    with (
        closing(sqlite3.connect(tmp_path / "store.sqlite", isolation_level=None)) as other,
        Store.open(tmp_path, wait_s=0.2) as store,
    ):
        before = store.head()
        other.execute("BEGIN IMMEDIATE")

        with pytest.raises(StoreLocked):
            take_in(store, "refused")

        assert store.head() == before


def test_a_store_that_is_let_go_in_time_is_written(tmp_path):
    begin(tmp_path)
    with Store.open(tmp_path, wait_s=20) as store:
        other = sqlite3.connect(
            tmp_path / "store.sqlite", isolation_level=None, check_same_thread=False
        )
        other.execute("BEGIN IMMEDIATE")
        threading.Timer(0.3, lambda: other.execute("COMMIT")).start()

        taken = take_in(store, "waited")
        other.close()

    assert broken_promises(tmp_path, [taken], []) == []
