"""What every verb works with: the office of the home folder, and how answers are printed."""

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from io import TextIOWrapper
from pathlib import Path
from typing import Any, TextIO

import click

from passport.office import Office, open_store
from passport.settings import Settings, load

WAITS = 3  # done, but something waits for a person
UNUSABLE = 4  # some input could not be used, the rest was done


class Bench:
    """Opens the office when a verb first needs it, and closes it at the end."""

    def __init__(self, home: Path, database: str | None = None):
        self.home, self._database = home, database
        self._office: Office | None = None

    @property
    def office(self) -> Office:
        """The office of the home folder."""
        if self._office is None:
            self._office = Office(open_store(self.home, self.settings), self.settings, now)
        return self._office

    @property
    def settings(self) -> Settings:
        """The settings of the home folder; what was typed counts before them."""
        written = load(self.home)
        return replace(written, database=self._database or written.database)

    def close(self) -> None:
        """Let go of the store."""
        if self._office is not None:
            self._office.store.close()


def now() -> datetime:
    """Tell the time."""
    return datetime.now(UTC)


with_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
table_option = click.option(
    "--table", "number", required=True, metavar="NO", help="The table's number."
)


def show_json(data: Any) -> None:
    """Print one JSON object."""
    click.echo(json.dumps(data, ensure_ascii=False, indent=1))


def write(path: Path, content: bytes | str) -> None:
    """Write a file, and the folders that it lies in; ``-`` is standard output."""
    raw = content.encode("utf-8") if isinstance(content, str) else content
    if str(path) == "-":
        sys.stdout.buffer.write(raw)
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(raw)


@contextmanager
def written(path: Path) -> Iterator[TextIO]:
    """Write a long text as it comes; the file has its name once all of it is there.

    ``-`` is standard output.
    """
    if str(path) == "-":
        out = TextIOWrapper(sys.stdout.buffer, encoding="utf-8", newline="", write_through=True)
        try:
            yield out
        finally:
            out.detach()
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.exists() and not path.is_file():  # a device, a pipe
        with path.open("w", encoding="utf-8", newline="") as out:
            yield out
        return
    part = path.with_name(f".{path.name}.part")
    try:
        with part.open("w", encoding="utf-8", newline="") as out:
            yield out
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def finish(*codes: int) -> None:
    """End with the highest code."""
    raise click.exceptions.Exit(max(codes, default=0))
