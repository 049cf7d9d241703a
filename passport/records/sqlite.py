"""All that is SQLite's own: how it is opened, guarded, copied and what its errors mean."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from passport.records.backend import Backend
from passport.records.errors import (
    DiskFull,
    HomeUnusable,
    StoreDamaged,
    StoreError,
    StoreLocked,
)
from passport.records.folder_shelf import FolderShelf

STORE_FILE = "store.sqlite"

# synchronous=FULL: with NORMAL a power cut may undo what was acknowledged (SQLite documentation,
# "PRAGMA synchronous"). recursive_triggers: triggers see what a REPLACE deletes.
PRAGMAS = (
    "PRAGMA journal_mode=WAL",
    "PRAGMA synchronous=FULL",
    "PRAGMA foreign_keys=ON",
    "PRAGMA recursive_triggers=ON",
    "PRAGMA trusted_schema=OFF",
    "PRAGMA secure_delete=ON",  # what is forgotten is written over, not only unlinked
)


def backend_of(file: Path, home: Path, wait_s: float) -> Backend:
    """Open the database file of a home folder."""
    return Backend(
        engine_of(file, wait_s),
        find_damage=find_damage,
        shelf=lambda name: FolderShelf(home, name),
        scrub=scrub,
        copy=lambda target: copy_live(file, target),
        reason=lambda error: _reason(error, home, wait_s),
    )


def engine_of(file: Path, wait_s: float) -> sa.Engine:
    """Open a database file; writers take their lock before they read.

    A transaction that reads first and then wants to write fails at once when another has written
    in between, whatever the timeout. So ``writes=True`` among the execution options begins with
    BEGIN IMMEDIATE, which waits its turn (up to ``wait_s`` seconds); readers never wait.
    """
    url = sa.URL.create("sqlite+pysqlite", database=str(file))
    engine = sa.create_engine(url, connect_args={"timeout": wait_s})
    sa.event.listen(engine, "connect", _prepare)
    sa.event.listen(engine, "begin", _begin)
    return engine


def _prepare(connection: sqlite3.Connection, _record: Any) -> None:
    connection.isolation_level = None  # the driver begins nothing by itself
    for pragma in PRAGMAS:
        connection.execute(pragma)


def _begin(connection: sa.Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def append_only(table: str, unique_columns: tuple[str, ...]) -> tuple[str, ...]:
    """Statements that make a table append-only.

    INSERT OR REPLACE deletes the old row without firing DELETE triggers unless a pragma of the
    connection says otherwise (SQLite documentation, "ON CONFLICT clause"). So a trigger before
    INSERT looks for every unique column, whoever connects.
    """
    known = " OR ".join(f"{column} = NEW.{column}" for column in unique_columns)
    refuse = f"SELECT RAISE(ABORT, '{table} can only be added to')"
    return (
        f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} BEGIN {refuse}; END",
        f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} BEGIN {refuse}; END",
        f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
        f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {known}) BEGIN {refuse}; END",
    )


def copy_live(source: Path, target: Path) -> None:
    """Copy a store while it is in use, as one whole state (SQLite's online backup)."""
    with closing(sqlite3.connect(source)) as live, closing(sqlite3.connect(target)) as copy:
        live.backup(copy)
    one_file(target)


def one_file(target: Path) -> None:
    """Have all of a store in its one file, nothing beside it."""
    with closing(sqlite3.connect(target)) as copy:
        copy.execute("PRAGMA journal_mode=DELETE")


def scrub(connection: sa.Connection) -> None:
    """Empty the write-ahead log, which may still hold what was removed; later if it is in use."""
    connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")


def find_damage(connection: sa.Connection) -> str | None:
    """Ask the database whether its pages are whole; None when they are."""
    found = str(connection.exec_driver_sql("PRAGMA integrity_check(1)").scalar())
    return None if found == "ok" else found


def _reason(error: BaseException | None, home: Path, wait_s: float) -> StoreError | None:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF  # the primary part of an extended code
    match code:
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            return StoreLocked(home, wait_s)
        case sqlite3.SQLITE_CORRUPT | sqlite3.SQLITE_NOTADB:
            return StoreDamaged(home, str(error))
        case sqlite3.SQLITE_FULL:
            return DiskFull(home)
        case sqlite3.SQLITE_READONLY | sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_PERM:
            return HomeUnusable(home, str(error))
    return None
