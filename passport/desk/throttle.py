"""Wrong passwords slow the next try: from one address, and for one name from anywhere."""

from dataclasses import dataclass
from datetime import datetime

from passport.desk.memory import Memory

FREE = 10  # wrong passwords within the minute that cost nothing
WINDOW_S = 60.0
MOST_REMEMBERED = 64  # of a name; nobody's own is as long
MOST_S = 60.0  # nobody is locked out for longer by somebody else's guesses


@dataclass(frozen=True)
class Throttle:
    """Remembers wrong passwords for an hour."""

    memory: Memory

    def wait_s(self, address: str, name: str, at: datetime) -> float:
        """How long until the next try is looked at; doubled with each wrong one after ten. [s]."""
        now = at.timestamp()
        query = "SELECT at FROM wrong WHERE {} = ? AND at > ? ORDER BY at"
        waits = [
            _wait(
                [row["at"] for row in self.memory.rows(query.format(key), value, now - 3600)], now
            )
            for key, value in (("address", address), ("name", _short(name)))
        ]
        return max(waits)

    def wrong(self, address: str, name: str, at: datetime) -> None:
        """Remember a wrong password."""
        now = at.timestamp()
        self.memory.change("DELETE FROM wrong WHERE at < ?", now - 3600)
        self.memory.change("INSERT INTO wrong VALUES (?, ?, ?)", address, _short(name), now)

    def right(self, name: str) -> None:
        """Forget the wrong tries at a name once its password was right."""
        self.memory.change("DELETE FROM wrong WHERE name = ?", _short(name))


def _short(name: str) -> str:
    """Name a name as it is remembered: strangers can't fill the disk with long ones."""
    return name.casefold()[:MOST_REMEMBERED]


def _wait(times: list[float], now: float) -> float:
    recent = [at for at in times if at > now - WINDOW_S]
    if len(recent) < FREE:
        return 0.0
    pause = min(MOST_S, 2.0 ** min(len(recent) - FREE, 6))
    return max(0.0, recent[-1] + pause - now)
