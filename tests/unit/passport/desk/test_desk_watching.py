"""A watched folder takes in what lies still, once."""

from pathlib import Path

import pytest

from passport.desk.here import EXTENSION
from passport.desk.watching import WHO, Watch
from passport.office import Office
from passport.records.drafts import Decision
from tests.hall import Hall

from .conftest import opened


@pytest.fixture
def watch(busy: Office, tmp_path: Path) -> Watch:
    folder = tmp_path / "scans"
    folder.mkdir()
    return Watch(opened(busy).extensions[EXTENSION], folder)


def states(watch: Watch) -> list[str]:
    return [one.state for one in watch.look()]


def test_a_file_is_taken_in_once_it_lies_still(watch: Watch, hall: Hall):
    (watch.folder / "scan.jpg").write_bytes(hall.photos[0].read_bytes())

    assert [states(watch) for _ in range(3)] == [[], ["seen before"], []]


def test_a_file_that_still_grows_is_left_alone(watch: Watch):
    path = watch.folder / "scan.jpg"
    path.write_bytes(b"half")
    first = states(watch)
    path.write_bytes(b"half and more")

    assert (first, states(watch), states(watch)) == ([], [], ["can't be used"])


def test_what_a_scan_changed_is_reckoned_before_anybody_opens_a_page(watch: Watch, hall: Hall):
    store = watch.desk.office.store
    store.close_form(hall.form, Decision("C", "no more comes"), watch.desk.office.now())
    waits = store.to_reckon()
    (watch.folder / "scan.jpg").write_bytes(b"no picture")

    assert (states(watch), states(watch)) == ([], ["can't be used"])
    assert (waits != {}, store.to_reckon()) == (True, {})


def test_what_came_before_is_not_taken_in_again_after_a_restart(watch: Watch):
    (watch.folder / "scan.jpg").write_bytes(b"no picture")
    watch.look()
    watch.look()
    again = Watch(watch.desk, watch.folder)
    again.look()

    assert states(again) == []


def test_who_brought_it_is_the_folder_and_the_file_stays(watch: Watch):
    path = watch.folder / "scan.jpg"
    path.write_bytes(b"no picture")
    watch.look()
    ended = watch.look()

    assert ([one.who for one in ended], path.exists()) == ([WHO], True)


def test_other_files_are_none_of_its_business(watch: Watch):
    (watch.folder / "letter.docx").write_bytes(b"words")
    watch.look()

    assert states(watch) == []
