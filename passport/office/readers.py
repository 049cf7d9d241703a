"""Reading a stranger's file in a process of its own: whatever it does there spoils that file only.

As many such processes are started as files are read at once, and again when a file has ended one.
"""

import atexit
import json
import os
import select
import signal
import subprocess
import sys
from base64 import b64decode
from collections.abc import Callable, Mapping
from contextlib import suppress
from hashlib import sha256
from typing import Any, NamedTuple

from forms.layout import Layout, dumps
from forms.numbers import FormNumber
from passport.office.child import FILE_S, MEMORY_MB, MOST_PAGES, PAGE_S
from passport.office.wire import Read, from_text
from passport.records.bare import bare, blanked, decodes
from scan.errors import FileUnreadable
from scan.reading import PhotoReading

LayoutOf = Callable[[str], Layout | None]
Answer = Mapping[str, Any]
SILENT_S = 600  # a process that says nothing for so long hangs; a busy machine is slow
_IDLE: "list[subprocess.Popen[bytes]]" = []
_TOO_LONG = f"it takes longer than {FILE_S} s and {PAGE_S} s a page to read"
_TOO_MUCH = f"it needs more than {MEMORY_MB} MB of memory to read"


class Order(NamedTuple):
    """A file to be read: what to call it, its bytes, and the form number typed in."""

    name: str
    content: bytes
    typed: FormNumber | None = None


def read_limited(order: Order, layout_of: LayoutOf) -> Read:
    """Read a file within limits of memory and time; see ``scan.read.read_photo``.

    Parameters
    ----------
    order : Order
        The file.
    layout_of : callable
        Gives the layout of a form number, or None.

    Returns
    -------
    Read
        What can't be read, or not within the limits, stands in the photo's problems.
    """
    answer = _answered(lambda child: _asked(child, order, layout_of))
    if "read" in answer:
        return from_text(answer["read"])
    return _refused(order, _found(answer))


def bare_limited(content: bytes) -> bytes:
    """Take the camera's notes out of a file, within the same limits where it must be decoded.

    Parameters
    ----------
    content : bytes
        The file as it came.

    Returns
    -------
    bytes
        See ``records.bare.bare``; of a file that nothing decodes, with zeros for its notes.
    """
    if not decodes(content):
        return bare(content)
    answer = _answered(lambda child: _stripped(child, content))
    return b64decode(answer["stripped"]) if "stripped" in answer else blanked(content)


def stand_by(count: int = 1) -> None:
    """Start processes ahead of the first files, so that nobody waits for them."""
    _IDLE.extend(_started() for _ in range(count))


class _Silent(Exception):
    """Nothing was said for too long."""


def _taken() -> "subprocess.Popen[bytes]":
    """Take a process that has nothing to do, or start one."""
    while True:
        try:
            child = _IDLE.pop()  # of a list this is one step, whatever other threads do
        except IndexError:
            return _started()
        if child.poll() is None:
            return child


def _started() -> "subprocess.Popen[bytes]":
    return subprocess.Popen(
        [sys.executable, "-m", "passport.office.child"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        bufsize=0,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
    )


@atexit.register
def _end_all() -> None:
    """Let all processes go: they would go by themselves, for nobody speaks to them any more."""
    while _IDLE:
        _end(_IDLE.pop())


def _end(child: "subprocess.Popen[bytes]") -> None:
    with suppress(OSError):
        child.kill()
    child.wait()
    for pipe in (child.stdin, child.stdout):
        if pipe is not None:
            with suppress(OSError):
                pipe.close()


def _answered(ask: Callable[["subprocess.Popen[bytes]"], Answer]) -> Answer:
    """Have a process do something; of one that ended there is nothing but how it ended."""
    child = _taken()
    try:
        answer = ask(child)
    except (BrokenPipeError, _Silent):
        answer = {}
    if answer:
        _IDLE.append(child)
        return answer
    _end(child)
    return {"ended": -child.returncode}


def _stripped(child: "subprocess.Popen[bytes]", content: bytes) -> Answer:
    _say(child, {"size": len(content), "strip": 1}, content)
    return _heard(child)


def _asked(child: "subprocess.Popen[bytes]", order: Order, layout_of: LayoutOf) -> Answer:
    typed = order.typed and order.typed.code
    _say(child, {"name": order.name, "size": len(order.content), "typed": typed}, order.content)
    while "layout" in (answer := _heard(child)):
        layout = layout_of(str(answer["layout"]))
        _say(child, {"layout": layout and dumps(layout)})
    return answer


def _say(child: "subprocess.Popen[bytes]", words: Mapping[str, Any], content: bytes = b"") -> None:
    assert child.stdin is not None
    left = memoryview(json.dumps(words).encode() + b"\n" + content)
    while left:  # a raw pipe takes a part at a time
        left = left[child.stdin.write(left) :]


def _heard(child: "subprocess.Popen[bytes]") -> Answer:
    """Hear one line; nothing when the process has ended."""
    assert child.stdout is not None
    line = bytearray()
    while not line.endswith(b"\n"):
        if not select.select([child.stdout], [], [], SILENT_S)[0]:
            raise _Silent
        part = child.stdout.read(1 << 20)
        if not part:
            return {}
        line += part
    answer: Answer = json.loads(line)
    return answer


def _found(answer: Answer) -> str:
    """Say what became of the reading."""
    if "pages" in answer:
        return f"it has {answer['pages']} pages, and at most {MOST_PAGES} are read at once"
    if "memory" in answer:
        return _TOO_MUCH
    if "stopped" in answer:
        return f"it is damaged ({answer['stopped']})"
    ended = answer["ended"]
    if ended in (signal.SIGXCPU, signal.SIGKILL):
        return _TOO_LONG
    return f"it makes the reader stop (signal {ended})"


def _refused(order: Order, found: str) -> Read:
    digest = sha256(order.content).hexdigest()
    problem = FileUnreadable(order.name, found).problem()
    return Read(PhotoReading(order.name, digest, (), (problem,)), {})
