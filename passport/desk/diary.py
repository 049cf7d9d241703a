"""What was done at the desk, by whom and from where; decisions stand in the chain as well."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from passport.desk.memory import Memory

KEPT = timedelta(days=400)  # a year and a little: long enough to look into a season's work


@dataclass(frozen=True)
class Line:
    """One line of the diary."""

    at: datetime
    who: str
    address: str
    what: str


@dataclass(frozen=True)
class Diary:
    """The desk's diary. It never holds a password, a session or what was written."""

    memory: Memory

    def write(self, who: str, address: str, what: str, at: datetime) -> None:
        """Add a line."""
        self.memory.change("DELETE FROM diary WHERE at < ?", (at - KEPT).timestamp())
        row = (at.timestamp(), who, address, what)
        self.memory.change("INSERT INTO diary (at, who, address, what) VALUES (?, ?, ?, ?)", *row)

    def lines(self, limit: int = 500) -> tuple[Line, ...]:
        """List the newest lines, the newest first."""
        found = self.memory.rows("SELECT * FROM diary ORDER BY id DESC LIMIT ?", limit)
        return tuple(
            Line(datetime.fromtimestamp(row["at"], UTC), row["who"], row["address"], row["what"])
            for row in found
        )
