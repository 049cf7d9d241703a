"""A watched folder: what a scanner leaves there is taken in without anybody at the desk.

Files stay where they are. One is taken in once it has kept its size and time from one look to the
next; one that came before, with whatever end, is not taken in again.
"""

from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from threading import Event, Thread

from passport.desk.arrivals import Arrival
from passport.desk.here import Desk
from passport.desk.taking import Brought, take
from passport.office.due import reckon_quietly
from passport.office.intake import files_in
from passport.records.errors import StoreError
from passport.records.files import sha256

LOOK_EVERY_S = 3.0
WHO = "watched folder"

Shape = tuple[int, int]  # size [B] and time of change [ns]


@dataclass
class Watch:
    """One folder that is looked at again and again."""

    desk: Desk
    folder: Path
    _seen: dict[Path, Shape] = field(default_factory=dict)
    _done: dict[Path, Shape] = field(default_factory=dict)
    _stop: Event = field(default_factory=Event)

    def look(self) -> tuple[Arrival, ...]:
        """Take in what lies still since the last look; returns how each file ended."""
        found = {path: _shape(path) for path in files_in([self.folder])[0]}
        still = [
            path
            for path, shape in found.items()
            if shape == self._seen.get(path) != self._done.get(path)
        ]
        self._seen = found
        taken = tuple(one for path in still for one in self._take(path, found[path]))
        if taken:
            reckon_quietly(self.desk.office)
        return taken

    def start(self) -> Thread:
        """Look every few seconds, in a thread of its own, until stopped."""
        thread = Thread(target=self._run, name="watch", daemon=True)
        thread.start()
        return thread

    def stop(self) -> None:
        """Look no more."""
        self._stop.set()

    def _run(self) -> None:
        while not self._stop.wait(LOOK_EVERY_S):
            with suppress(StoreError):  # locked or full: what was not taken in is seen again
                self.look()

    def _take(self, path: Path, shape: Shape) -> list[Arrival]:
        try:
            content = path.read_bytes()
        except OSError:  # gone since
            return []
        known = self.desk.arrivals.has(sha256(content))
        ended = [] if known else list(take(self.desk, [Brought(path.name, content)], WHO))
        self._done[path] = shape
        return ended


def _shape(path: Path) -> Shape:
    try:
        known = path.stat()
    except OSError:  # gone since
        return (-1, 0)
    return known.st_size, known.st_mtime_ns
