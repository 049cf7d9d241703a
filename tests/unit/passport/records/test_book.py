import errno
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from passport.records import EventKind, Private, Store
from passport.records.chain import GENESIS
from passport.records.errors import (
    BodyNotExact,
    ChainBroken,
    ChainCut,
    DiskFull,
    FormExists,
    FormUnknown,
    HomeUnusable,
    StoreDamaged,
    StoreLocked,
    StoreNewer,
    TableUnknown,
)
from passport.records.migrations import migrate
from passport.records.schema import SCHEMA

DESCRIBED = EventKind.TABLE_DESCRIBED
AT = datetime(2026, 11, 24, tzinfo=UTC)


def tamper(home, *statements):
    """Alter the file as somebody with the disk in hand could, triggers out of the way."""
    with closing(sqlite3.connect(home / "store.sqlite")) as raw:
        for name in ("update", "delete", "replace"):
            raw.execute(f"DROP TRIGGER events_no_{name}")
        for statement in statements:
            raw.execute(statement)
        raw.commit()


@pytest.fixture
def three(home):
    """Make a home with three events."""
    with Store.open(home) as store:
        for number in ("1", "2", "3"):
            store.append(DESCRIBED, number, {"description": {"name": f"Table {number}"}}, AT)
    return home


def test_a_new_store_is_empty_and_whole(home):
    with Store.open(home) as store:
        assert (store.verify().events, store.head().hash) == (0, GENESIS)


def test_an_event_is_read_back_as_it_was_written(three):
    with Store.open(three) as store:
        event = store.events("2")[0]

    assert (event.seq, event.kind, event.at) == (2, DESCRIBED, "2026-11-24T00:00:00.000000Z")
    assert event.body == {"description": {"name": "Table 2"}, "schema": 1}


def test_the_printed_mark_is_the_start_of_the_head(three):
    with Store.open(three) as store:
        assert store.verify(store.printed_head()).head[:8] == store.printed_head()


def test_the_store_is_opened_for_power_cuts_and_strict_about_types(three):
    with Store.open(three) as store, store._reading() as connection:
        asked = ("journal_mode", "synchronous", "foreign_keys", "recursive_triggers")
        pragmas = [connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in asked]
        lax = connection.exec_driver_sql(
            "SELECT name FROM pragma_table_list WHERE schema = 'main' AND strict = 0"
        ).scalars()

        assert pragmas == ["wal", 2, 1, 1]
        assert set(lax) == {"sqlite_schema", "alembic_version"}


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE events SET body = '{}' WHERE seq = 2",
        "UPDATE OR REPLACE events SET seq = 3 WHERE seq = 2",
        "DELETE FROM events WHERE seq = 3",
        "INSERT OR REPLACE INTO events SELECT * FROM events WHERE seq = 2",
        "REPLACE INTO events SELECT 9, at, kind, subject, body, previous, 'h' FROM events "
        "WHERE seq = 2",
        "REPLACE INTO events SELECT 9, at, kind, subject, body, 'p', hash FROM events "
        "WHERE seq = 2",
        "INSERT INTO events SELECT * FROM events WHERE seq = 2 "
        "ON CONFLICT (seq) DO UPDATE SET body = '{}'",
    ],
)
@pytest.mark.parametrize("recursive", ["ON", "OFF"])
def test_an_event_can_be_neither_changed_nor_removed_nor_replaced(three, statement, recursive):
    with closing(sqlite3.connect(three / "store.sqlite")) as raw:
        raw.execute(f"PRAGMA recursive_triggers={recursive}")
        with pytest.raises(sqlite3.IntegrityError, match=r"^events can only be added to$"):
            raw.execute(statement)


@pytest.mark.parametrize(
    ("statement", "seq", "found"),
    [
        ("UPDATE events SET body = replace(body, 'Table 2', 'Table 7') WHERE seq = 2", 2, "hash"),
        ("UPDATE events SET body = replace(body, ':', ': ') WHERE seq = 2", 2, "exact way"),
        ("UPDATE events SET body = substr(body, 2) WHERE seq = 2", 2, "can't be read"),
        ("UPDATE events SET at = '2025' || substr(at, 5) WHERE seq = 3", 3, "hash"),
        ("UPDATE events SET subject = '9' WHERE seq = 1", 1, "hash"),
        ("UPDATE events SET kind = 'form closed' WHERE seq = 3", 3, "hash"),
        ("UPDATE events SET hash = 'x' || substr(hash, 2) WHERE seq = 3", 3, "hash"),
        ("UPDATE events SET previous = hash || 'a' WHERE seq = 3", 3, "follow record 2"),
        ("DELETE FROM events WHERE seq = 2", 2, "missing, record 3"),
    ],
)
def test_a_change_behind_the_programs_back_is_found_and_named(three, statement, seq, found):
    tamper(three, statement)

    with Store.open(three) as store, pytest.raises(ChainBroken) as caught:
        store.verify()

    assert caught.value.seq == seq
    assert found in str(caught.value)


def test_any_flipped_byte_of_the_events_is_found(three):
    with closing(sqlite3.connect(three / "store.sqlite")) as raw:
        raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        body = raw.execute("SELECT body FROM events WHERE seq = 2").fetchone()[0].encode()
    file = three / "store.sqlite"
    whole = file.read_bytes()
    start = whole.index(body)

    for place in range(start, start + len(body), 7):
        file.write_bytes(whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :])
        with Store.open(three) as store, pytest.raises(ChainBroken) as caught:
            store.verify()
        assert caught.value.seq == 2


def test_a_cut_tail_is_found_by_the_printed_mark(three):
    with Store.open(three) as store:
        printed = store.printed_head()
    tamper(three, "DELETE FROM tables WHERE number = '3'", "DELETE FROM events WHERE seq = 3")

    with Store.open(three) as store:
        assert store.verify().events == 2
        with pytest.raises(ChainCut):
            store.verify(printed)


def test_an_altered_private_text_is_found(home):
    with Store.open(home) as store:
        store.append(DESCRIBED, "1", {"description": {"who": Private("A. Clerk")}}, AT)
        with closing(sqlite3.connect(home / "store.sqlite")) as raw:
            raw.execute("UPDATE private_texts SET text = 'B. Clerk'")
            raw.commit()

        with pytest.raises(ChainBroken, match="private text"):
            store.verify()


def test_a_removed_private_text_leaves_the_chain_whole(home):
    with Store.open(home) as store:
        event = store.append(DESCRIBED, "1", {"description": {"who": Private("A. Clerk")}}, AT)
        digest = event.body["description"]["who"]["private"]
        assert store.private_text(digest) == "A. Clerk"
        with closing(sqlite3.connect(home / "store.sqlite")) as raw:
            raw.execute("DELETE FROM private_texts")
            raw.commit()

        assert store.private_text(digest) is None
        assert store.verify().removed == 1


def test_a_refused_body_leaves_no_trace(three):
    with Store.open(three) as store:
        with pytest.raises(BodyNotExact):
            store.append(DESCRIBED, "4", {"description": {"length": 1.5}}, AT)

        assert store.verify().events == 3


def test_a_clock_set_back_does_not_change_the_order(three):
    with Store.open(three) as store:
        store.append(DESCRIBED, "4", {"description": {}}, AT - timedelta(days=400))

        assert [event.seq for event in store.events()] == [1, 2, 3, 4]
        assert store.verify().events == 4


def test_a_rebuild_gives_the_same(three):
    def dump():
        with closing(sqlite3.connect(three / "store.sqlite")) as raw:
            return list(raw.iterdump())

    before = dump()
    with Store.open(three) as store:
        store.rebuild()

    assert dump() == before


def test_an_event_about_a_form_needs_its_layout_first(home):
    with Store.open(home) as store:
        with pytest.raises(FormUnknown):
            store.append(EventKind.FORM_CLOSED, "8ZK3", {"who": "a", "why": "b"}, AT)

        assert store.events() == ()


def test_an_event_about_a_table_needs_its_description_first(home):
    body = {"action": "a", "result": "done", "why": ""}
    with Store.open(home) as store, pytest.raises(TableUnknown):
        store.append(EventKind.ACTION_CLOSED, "1", body, AT)


def test_a_form_begins_once(store):
    body = {**store.events("8ZK3")[0].body, "layout": "{}"}
    with pytest.raises(FormExists):
        store.append(EventKind.FORM_PRINTED, "8ZK3", body, AT)


def test_a_busy_store_is_said_so_and_nothing_is_recorded(three):
    with closing(sqlite3.connect(three / "store.sqlite", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with Store.open(three, wait_s=0.05) as store, pytest.raises(StoreLocked) as caught:
            store.append(DESCRIBED, "4", {"description": {}}, AT)

    assert "busy for 0.05 seconds" in str(caught.value)


def test_a_full_disk_is_said_so_and_what_was_recorded_is_whole(three):
    with Store.open(three) as store:
        with store._writing() as connection:
            pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
            connection.exec_driver_sql(f"PRAGMA max_page_count={pages}")
        with pytest.raises(DiskFull):
            store.append(DESCRIBED, "4", {"description": {"long": "x" * 100_000}}, AT)

        assert store.verify().events == 3


def test_a_busy_store_can_still_be_read(three):
    with closing(sqlite3.connect(three / "store.sqlite", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with Store.open(three, wait_s=0.05) as store:
            assert len(store.tables()) == 3


def test_a_file_that_is_no_store_is_said_to_be_damaged(home):
    home.mkdir()
    (home / "store.sqlite").write_bytes(b"not a database, but long enough to look at" * 50)

    with pytest.raises(StoreDamaged):
        Store.open(home)


def test_broken_pages_are_said_to_be_damaged(three):
    file = three / "store.sqlite"
    whole = file.read_bytes()
    file.write_bytes(whole[:4096] + b"\xff" * 4096 * 8 + whole[4096 * 9 :])

    with pytest.raises(StoreDamaged), Store.open(three) as store:
        store.verify()


def test_a_store_of_a_later_version_is_left_alone(three):
    with closing(sqlite3.connect(three / "store.sqlite")) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '9999'")
        raw.commit()

    with pytest.raises(StoreNewer):
        Store.open(three)


@pytest.mark.parametrize(
    "change", ["kind = 'table danced'", "body = replace(body, '\"schema\":1', '\"schema\":2')"]
)
def test_an_event_of_a_later_version_is_not_guessed_at(three, change):
    tamper(three, f"UPDATE events SET {change} WHERE seq = 3")

    with Store.open(three) as store, pytest.raises(StoreNewer):
        store.events()


def test_a_home_that_is_a_file_is_said_so(tmp_path):
    (tmp_path / "home").write_text("")

    with pytest.raises(HomeUnusable):
        Store.open(tmp_path / "home")


def test_a_home_that_can_not_be_written_is_said_so(tmp_path, monkeypatch):
    def refuse(*_args, **_kwargs):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)

    with pytest.raises(HomeUnusable) as caught:
        Store.open(tmp_path / "home")

    assert "can't be used: Permission denied." in str(caught.value)


def test_a_store_that_can_not_be_written_is_said_so(three):
    with Store.open(three) as store:
        store._engine.dispose()
        (three / "store.sqlite").rename(three / "elsewhere")
        (three / "store.sqlite").mkdir()
        with pytest.raises(HomeUnusable):
            store.append(DESCRIBED, "4", {"description": {}}, AT)


def test_a_home_is_for_its_owner_only(three):
    assert three.stat().st_mode & 0o777 == 0o700


def test_the_migrations_make_what_the_program_expects(home):
    with Store.open(home) as store, store._reading() as connection:
        assert compare_metadata(MigrationContext.configure(connection), SCHEMA) == []


def test_opening_again_changes_nothing(three):
    with Store.open(three) as store, store._writing() as connection:
        migrate(connection)
        assert connection.exec_driver_sql("SELECT count(*) FROM events").scalar() == 3


WRITER = """
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from pathlib import Path
from passport.records import EventKind, Store

with Store.open(Path(sys.argv[1])) as store:
    for n in range(300):
        body = {"description": {"n": n}}
        store.append(EventKind.TABLE_DESCRIBED, f"{sys.argv[2]}-{n}", body, datetime.now(UTC))
"""


def test_two_writers_at_once_lose_nothing_and_the_chain_stays_whole(home):
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(home), name]) for name in ("1", "2")
    ]

    assert [writer.wait(60) for writer in writers] == [0, 0]
    with Store.open(home) as store:
        assert store.verify().events == 600
        assert len(store.tables()) == 600
