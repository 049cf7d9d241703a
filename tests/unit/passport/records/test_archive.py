import json
import threading
import zipfile
from datetime import UTC, datetime

import pytest

from passport.records import EventKind, Store, restore
from passport.records.errors import BackupUnusable, HomeNotEmpty, HomeUnusable
from scan.reading import Reading, Status

OK = Reading(Status.SURE, True, 0.999)


@pytest.fixture
def backup(store, photo_of, at, tmp_path):
    """Make a backup of a store with one photo."""
    store.record_photo(*photo_of("a", 1, ok1=OK), at)
    store.issue_care_token("123456789", "TOKEN", at)
    store.backup(tmp_path / "b.zip")
    return tmp_path / "b.zip"


def altered(backup, change):
    """Write a copy of a backup with some of its parts changed."""
    copy = backup.with_name("altered.zip")
    with zipfile.ZipFile(backup) as old, zipfile.ZipFile(copy, "w") as new:
        for name in old.namelist():
            content = change(name, old.read(name))
            if content is not None:
                new.writestr(name, content)
    return copy


def test_a_restored_store_has_the_same_head_and_content(store, backup, tmp_path):
    manifest = restore(backup, tmp_path / "new")

    with Store.open(tmp_path / "new") as again:
        assert again.verify() == store.verify()
        assert again.head().hash == manifest.head == store.head().hash
        assert again.forms() == store.forms()
        assert again.care_token("123456789") == "TOKEN"
        assert [again.photos.read(name) for name in again.photos.names()] == [b"\xff\xd8\xffa"]


def test_a_backup_says_what_it_holds(store, backup):
    with zipfile.ZipFile(backup) as packed:
        manifest = json.loads(packed.read("manifest.json"))

    assert manifest == {"events": 4, "head": store.head().hash, "files": 1}


def test_a_backup_takes_the_place_of_an_older_one(store, backup, at):
    store.describe("123456789", {}, at)

    assert store.backup(backup).events == 5
    assert {one.name for one in backup.parent.iterdir()} == {"b.zip", "home"}


def test_a_backup_of_a_store_in_use_is_one_whole_state(store, tmp_path):
    stop = threading.Event()

    def write():
        with Store.open(store.home) as writer:
            while not stop.is_set():
                writer.append(
                    EventKind.TABLE_DESCRIBED, "1", {"description": {}}, datetime.now(UTC)
                )

    thread = threading.Thread(target=write)
    thread.start()
    try:
        manifests = [store.backup(tmp_path / f"{n}.zip") for n in range(3)]
    finally:
        stop.set()
        thread.join()

    assert manifests[-1].events > manifests[0].events
    assert [restore(tmp_path / f"{n}.zip", tmp_path / f"new{n}") for n in range(3)] == manifests


def test_a_backup_that_can_not_be_written_is_said_so(store, tmp_path):
    with pytest.raises(HomeUnusable):
        store.backup(tmp_path / "nowhere" / "b.zip")


def test_a_restore_never_writes_over_anything(store, backup):
    with pytest.raises(HomeNotEmpty):
        restore(backup, store.home)


def test_an_empty_folder_is_restored_into(store, backup, tmp_path):
    (tmp_path / "new").mkdir()

    assert restore(backup, tmp_path / "new").events == 4


def drop(start):
    return lambda name, content: None if name.startswith(start) else content


def swap(start, old, new):
    return lambda name, content: content.replace(old, new, 1) if name.startswith(start) else content


@pytest.mark.parametrize(
    ("change", "found"),
    [
        (drop("manifest"), "it is not a backup, or it is damaged"),
        (drop("store"), "the store is missing in it"),
        (drop("photos"), "it holds 0 of 1 photos and cut-outs"),
        (swap("photos", b"a", b"b"), "1 of its 1 photos and cut-outs are altered"),
        (swap("manifest", b'"head": "', b'"head": "x'), "its head is "),
        (swap("store", b"Long one", b"Lung one"), "the store in it is damaged (Record 1 is not"),
    ],
)
def test_a_backup_that_is_not_as_it_was_written_is_refused(backup, tmp_path, change, found):
    bad = altered(backup, change)

    with pytest.raises(BackupUnusable) as caught:
        restore(bad, tmp_path / "new")

    assert str(caught.value).startswith(f"{bad} can't be restored: {found}")
    assert not (tmp_path / "new").exists()


def test_a_file_that_is_no_backup_is_refused(tmp_path):
    (tmp_path / "b.zip").write_text("nothing of the kind")

    with pytest.raises(BackupUnusable, match="it is not a backup, or it is damaged"):
        restore(tmp_path / "b.zip", tmp_path / "new")


def test_a_backup_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(BackupUnusable, match="there is no such file"):
        restore(tmp_path / "b.zip", tmp_path / "new")


def test_a_folder_is_no_backup(tmp_path):
    with pytest.raises(BackupUnusable, match="it can't be read"):
        restore(tmp_path, tmp_path / "new")


def test_a_restore_writes_nothing_outside_its_folder(backup, tmp_path):
    with zipfile.ZipFile(backup, "a") as packed:
        packed.writestr("photos/../../evil", "x")
        packed.writestr("/etc/evil", "x")
        packed.writestr("extra.txt", "x")

    restore(backup, tmp_path / "new")

    assert {one.name for one in (tmp_path / "new").iterdir()} == {"store.sqlite", "photos"}
    assert not (tmp_path / "evil").exists()
