"""Promise 5 and 6: the same photo at once is there once; two writers wait for each other."""

from math import ceil

import pytest


def test_the_same_photo_ten_times_at_once_is_recorded_once(run_script, tmp_path):
    found = run_script("crowd.py", tmp_path / "home", "same", 10, 1)

    assert found == {"acknowledged": 10, "errors": [], "pages": 2, "broken": []}


def test_without_looking_first_the_same_photo_at_once_is_refused_by_the_database(
    run_script, tmp_path
):
    found = run_script("crowd.py", tmp_path / "home", "same", 10, 1, "unasked")

    assert found["acknowledged"] < 10
    assert found["errors"] == ["IntegrityError"]


@pytest.mark.long
def test_two_writers_lose_nothing_and_neither_fails(run_script, tmp_path, share):
    each = ceil(150 * share)  # two pages each: 600 events in all

    found = run_script("crowd.py", tmp_path / "home", "apart", 2, each)

    assert found == {"acknowledged": 2 * each, "errors": [], "pages": 4 * each, "broken": []}


@pytest.mark.long
def test_two_writers_that_read_before_they_lock_fail(run_script, tmp_path):
    found = run_script("crowd.py", tmp_path / "home", "apart", 2, 15, "deferred")

    assert found["errors"] == ["StoreLocked"]
    assert found["broken"] == []


def test_the_same_photo_ten_times_at_once_is_recorded_once_on_postgresql(
    run_script, tmp_path, server
):
    found = run_script("crowd.py", tmp_path / "home", "same", 10, 1, on=server)

    assert found == {"acknowledged": 10, "errors": [], "pages": 2, "broken": []}


@pytest.mark.long
def test_two_writers_lose_nothing_on_postgresql(run_script, tmp_path, share, server):
    each = ceil(150 * share)

    found = run_script("crowd.py", tmp_path / "home", "apart", 2, each, on=server)

    assert found == {"acknowledged": 2 * each, "errors": [], "pages": 4 * each, "broken": []}


@pytest.mark.long
def test_two_writers_without_the_chains_lock_fail_on_postgresql(run_script, tmp_path, server):
    found = run_script("crowd.py", tmp_path / "home", "apart", 2, 30, "deferred", on=server)

    assert found["errors"] == ["IntegrityError"]
    assert found["broken"] == []
