"""Somebody who sends a byte now and then keeps nobody out: tried over real lines.

The control is the same desk without the one rule: there the same trickle holds what it took.
"""

import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress

import pytest
from flask import Flask, request
from waitress import wasyncore

from passport.desk.lines import Patience, server

HEAD = b"POST / HTTP/1.1\r\nHost: desk\r\nContent-Length: 1000\r\n\r\n"
ASKED = b"GET / HTTP/1.1\r\nHost: desk\r\nConnection: close\r\n\r\n"
NEVER, QUIET_S, GIVEN_S = 3600, 1, 6
Line = Callable[..., socket.socket]


@pytest.fixture
def line() -> Iterator[Line]:
    """Open lines to an app that says how much it was sent; all of one test to one server."""
    app = Flask("lines")
    app.add_url_rule("/", "size", lambda: f"{len(request.data)} B", methods=["GET", "POST"])
    ports: dict[Patience, int] = {}
    with ExitStack() as stack:

        def listen(patience: Patience) -> int:
            made, stop = server(app, "127.0.0.1", 0, patience), threading.Event()

            def run() -> None:
                while not stop.is_set():
                    wasyncore.loop(0.1, map=made._map, count=1)

            thread = threading.Thread(target=run)
            thread.start()
            stack.callback(wasyncore.close_all, made._map)
            for step in (made.task_dispatcher.shutdown, thread.join, stop.set):
                stack.callback(step)
            return made.effective_port

        def opened(patience: Patience, source: str = "127.0.0.1") -> socket.socket:
            if patience not in ports:
                ports[patience] = listen(patience)
            there = ("127.0.0.1", ports[patience])
            return stack.enter_context(socket.create_connection(there, 20, (source, 0)))

        yield opened


def whole(one: socket.socket) -> bytes:
    """Wait for an answer's last bytes."""
    answer = b""
    while not answer.endswith(b" B") and (more := one.recv(2000)):
        answer += more
    return answer


def trickled(one: socket.socket, some: bytes, every_s: float = 0.05) -> float | None:
    """Send bytes one by one; say after how many seconds the line was closed, None if it was not."""
    start = time.monotonic()
    one.settimeout(every_s)
    for byte in some:
        with suppress(TimeoutError):
            try:
                one.send(bytes([byte]))
                if one.recv(100) == b"":
                    return time.monotonic() - start
            except ConnectionError:
                return time.monotonic() - start
    return None


@pytest.mark.parametrize("some", [HEAD + b"x" * 40, b"\r\n" * 60], ids=["a request", "empty lines"])
def test_a_request_that_trickles_in_is_cut_off_though_never_silent(line: Line, some: bytes):
    after = trickled(line(Patience(QUIET_S, 10_000)), some)

    assert after is not None
    assert QUIET_S < after < GIVEN_S


def test_without_that_rule_a_trickle_holds_its_line(line: Line):
    patience = Patience(QUIET_S, slowest_bytes=1 / NEVER)

    assert trickled(line(patience), HEAD + b"x" * 40) is None


def test_a_slow_but_steady_upload_comes_in_whole(line: Line):
    """A photo over a poor network: longer than a line may be silent, never slower than allowed."""
    one = line(Patience(QUIET_S, slowest_bytes=500))
    start = time.monotonic()
    one.send(HEAD)
    for _ in range(10):
        time.sleep(QUIET_S / 4)
        one.send(b"x" * 100)

    assert whole(one).endswith(b"1000 B")
    assert time.monotonic() - start > 2 * QUIET_S


def test_one_address_can_not_hold_all_lines(line: Line):
    patience = Patience(NEVER, 1 / NEVER, lines=12, from_one=4)
    held = [line(patience) for _ in range(20)]
    for one in held:
        with suppress(ConnectionError):
            one.send(HEAD)
    other = line(patience, "127.0.0.2")
    other.send(ASKED)

    assert whole(other).endswith(b"0 B")
    assert sum(trickled(one, b"xx", 0.2) is None for one in held) == 4


def test_without_that_rule_one_address_holds_them_all(line: Line):
    patience = Patience(NEVER, 1 / NEVER, lines=12, from_one=None)
    held = [line(patience) for _ in range(20)]
    for one in held:
        one.send(HEAD)
    other = line(patience, "127.0.0.2")
    other.send(ASKED)
    other.settimeout(1.0)

    with pytest.raises(TimeoutError):
        other.recv(2000)


def test_a_line_that_is_done_takes_the_next_request(line: Line):
    one = line(Patience(QUIET_S, 10_000))
    answers = []
    for _ in range(4):
        one.send(ASKED.replace(b"Connection: close\r\n\r\n", b""))
        time.sleep(0.05)
        one.send(b"\r\n")
        answers.append(whole(one))
        time.sleep(QUIET_S * 0.5)

    assert all(one.endswith(b"0 B") for one in answers)
