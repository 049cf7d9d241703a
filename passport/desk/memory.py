"""The desk's own file beside the store: who may sign in, sessions, drafts, how each file ended.

It lies outside the chain, for it is about people, and readable by its owner only. It is no record:
losing it loses no visit. A backup of the store does not hold it, so that no password leaves the
machine; people are added anew after a restore.
"""

import secrets
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

FILE_NAME = "desk.sqlite"
KEY_FILE = "desk.key"
KEY_BYTES = 32  # OWASP ASVS 5.0, 11.5.1: at least 128 bits of what can't be guessed

SCHEMA = """
CREATE TABLE IF NOT EXISTS people (
  name TEXT PRIMARY KEY, role TEXT NOT NULL, hash TEXT NOT NULL, since REAL NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS sessions (
  key TEXT PRIMARY KEY, name TEXT NOT NULL, made REAL NOT NULL, seen REAL NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS wrong (address TEXT NOT NULL, name TEXT NOT NULL, at REAL NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS half (key TEXT PRIMARY KEY, name TEXT NOT NULL, made REAL NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS factors (
  name TEXT PRIMARY KEY, secret TEXT NOT NULL, step INTEGER NOT NULL, wrong INTEGER NOT NULL,
  wrong_at REAL NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS offered (name TEXT PRIMARY KEY, secret TEXT NOT NULL, at REAL NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS recovery (
  name TEXT NOT NULL, place TEXT NOT NULL, hash TEXT NOT NULL, PRIMARY KEY (name, place)) STRICT;
CREATE TABLE IF NOT EXISTS diary (
  id INTEGER PRIMARY KEY, at REAL NOT NULL, who TEXT NOT NULL, address TEXT NOT NULL,
  what TEXT NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS drafts (
  form TEXT NOT NULL, field TEXT NOT NULL, value TEXT NOT NULL, who TEXT NOT NULL,
  at REAL NOT NULL, seen INTEGER NOT NULL, PRIMARY KEY (form, field)) STRICT;
CREATE TABLE IF NOT EXISTS arrivals (
  id INTEGER PRIMARY KEY, at REAL NOT NULL, who TEXT NOT NULL, file TEXT NOT NULL,
  sha256 TEXT NOT NULL, state TEXT NOT NULL, pages TEXT NOT NULL, messages TEXT NOT NULL) STRICT;
CREATE INDEX IF NOT EXISTS arrivals_by_file ON arrivals (sha256);
CREATE TABLE IF NOT EXISTS words (name TEXT PRIMARY KEY, word TEXT NOT NULL) STRICT;
"""  # noqa: E501 - one line a table reads best


class Memory:
    """The desk's own file, opened anew for each look: threads and processes may share it."""

    def __init__(self, home: Path):
        self.path = home / FILE_NAME
        if not self.path.exists():
            home.mkdir(mode=0o700, parents=True, exist_ok=True)
            self.path.touch(mode=0o600)
        with self._open() as connection:
            connection.execute("PRAGMA journal_mode=WAL")
            connection.executescript(SCHEMA)
        # The last connection to close writes the log back and waits for the disk: this one stays.
        self._stays = sqlite3.connect(self.path, check_same_thread=False)
        self._stays.execute("SELECT 1 FROM words").close()

    def rows(self, query: str, *values: Any) -> list[sqlite3.Row]:
        """Look something up."""
        with self._open() as connection:
            return connection.execute(query, values).fetchall()

    def change(self, statement: str, *values: Any) -> int:
        """Change something; returns how many rows."""
        with self._open() as connection:
            return connection.execute(statement, values).rowcount

    def add(self, table: str, rows: Iterable[tuple[Any, ...]]) -> None:
        """Add rows to a table, all or none."""
        with self._open() as connection:
            for row in rows:
                places = ", ".join("?" * len(row))
                connection.execute(f"INSERT INTO {table} VALUES ({places})", row)

    def word(self, name: str) -> str:
        """Keep a word that can't be guessed under a name; made when it is first asked for."""
        self.change("INSERT OR IGNORE INTO words VALUES (?, ?)", name, secrets.token_urlsafe(20))
        return str(self.rows("SELECT word FROM words WHERE name = ?", name)[0]["word"])

    def new_word(self, name: str) -> str:
        """Put another word in place of the one before, which opens nothing any more."""
        self.change("DELETE FROM words WHERE name = ?", name)
        return self.word(name)

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        with closing(sqlite3.connect(self.path, timeout=10)) as connection:
            connection.row_factory = sqlite3.Row
            with connection:
                yield connection


def secret_key(home: Path) -> bytes:
    """Read the key that cookies are signed with; made on first use, for its owner only."""
    path = home / KEY_FILE
    if not path.exists():
        path.touch(mode=0o600)
        path.write_bytes(secrets.token_bytes(KEY_BYTES))
    return path.read_bytes()
