"""How each file that came to the desk ended."""

import json
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from passport.desk.memory import Memory

KEPT = timedelta(days=60)


@dataclass(frozen=True)
class Arrival:
    """One file, who brought it, and how it ended. ``pages`` names form, page and outcome."""

    file: str
    sha256: str
    who: str
    at: datetime
    state: str
    pages: tuple[tuple[str, int, str], ...] = ()
    messages: tuple[str, ...] = ()


@dataclass(frozen=True)
class Arrivals:
    """The files of the last weeks."""

    memory: Memory

    def add(self, one: Arrival) -> None:
        """Remember how a file ended."""
        self.memory.change("DELETE FROM arrivals WHERE at < ?", (one.at - KEPT).timestamp())
        said = (json.dumps(one.pages), json.dumps(one.messages))
        row = (one.at.timestamp(), one.who, one.file, one.sha256, one.state, *said)
        columns = "at, who, file, sha256, state, pages, messages"
        self.memory.change(f"INSERT INTO arrivals ({columns}) VALUES (?, ?, ?, ?, ?, ?, ?)", *row)

    def newest(self, limit: int = 60) -> tuple[Arrival, ...]:
        """List the newest files, the newest first."""
        found = self.memory.rows("SELECT * FROM arrivals ORDER BY id DESC LIMIT ?", limit)
        return tuple(
            Arrival(
                file=row["file"],
                sha256=row["sha256"],
                who=row["who"],
                at=datetime.fromtimestamp(row["at"], UTC),
                state=row["state"],
                pages=tuple((form, page, said) for form, page, said in json.loads(row["pages"])),
                messages=tuple(json.loads(row["messages"])),
            )
            for row in found
        )

    def has(self, sha256: str) -> bool:
        """Say whether this very file came before, however it ended."""
        return bool(self.memory.rows("SELECT 1 FROM arrivals WHERE sha256 = ? LIMIT 1", sha256))
