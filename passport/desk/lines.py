"""How the desk listens: a request that comes in too slowly is cut off, and nobody holds all lines.

A line is one connection. The server takes a request in whole before a thread works on it, so
somebody slow holds no thread; but lines are counted, and who sends a byte now and then is never
silent.
"""

import time
from dataclasses import dataclass
from functools import partial
from typing import Any

from flask import Flask
from waitress import create_server
from waitress.channel import HTTPChannel
from waitress.server import BaseWSGIServer

from passport.desk.app import MOST_BYTES

THREADS = 8
LOOKED_S = 5  # how often silent lines are looked for


@dataclass(frozen=True)
class Patience:
    """How long the desk waits for whom.

    A line may be silent for ``quiet_s``. A request must be in after ``quiet_s``, and a second more
    for each ``slowest_bytes`` of it. ``from_one`` is how many of all ``lines`` one address may
    hold; None where all come through a server in front, which counts its own.
    """

    quiet_s: int = 30
    slowest_bytes: float = 10_000  # a photo of 3 MB has five minutes
    lines: int = 100
    from_one: int | None = 16


def server(app: Flask, host: str, port: int, patience: Patience = Patience()) -> Any:
    """Listen for an app; ``run`` of what is returned serves until stopped."""
    listening: dict[int, Any] = {}
    made = create_server(
        app,
        map=listening,
        host=host,
        port=port,
        threads=THREADS,
        ident=None,
        connection_limit=patience.lines,
        max_request_body_size=MOST_BYTES,
        channel_timeout=patience.quiet_s,
        cleanup_interval=min(LOOKED_S, patience.quiet_s),
    )
    for one in listening.values():
        if isinstance(one, BaseWSGIServer):
            one.channel_class = partial(Line, patience)
    return made


class Line(HTTPChannel):  # type: ignore[misc]
    """A line that is closed when its request comes in too slowly, or its address has too many."""

    def __init__(
        self, patience: Patience, server: Any, sock: Any, addr: Any, *more: Any, **how: Any
    ):
        super().__init__(server, sock, addr, *more, **how)
        self.patience = patience
        self.began: float | None = None  # the request that is coming in
        self.came, self.empty = 0, True
        lines = [one for one in server.active_channels.values() if one.addr[0] == addr[0]]
        if patience.from_one is not None and len(lines) > patience.from_one:
            self.will_close = True

    def received(self, data: bytes) -> bool:
        """Take in what came; empty lines are no request, however many come."""
        if self.began is None:
            self.began, self.came, self.empty = time.monotonic(), 0, True
        self.came += len(data)
        self.empty = self.empty and not data.strip()
        taken: bool = super().received(data)
        if self.request is None and not self.empty:
            self.began = None
        return taken

    def readable(self) -> bool:
        """Say whether more may come in; whoever is too late is sent away."""
        if self.late and not self.requests:
            self.will_close = True
        return bool(super().readable())

    @property
    def late(self) -> bool:
        """Whether the request that is coming in takes longer than it may."""
        if self.began is None:
            return False
        allowed = self.patience.quiet_s + self.came / self.patience.slowest_bytes
        return time.monotonic() - self.began > allowed
