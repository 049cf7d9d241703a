"""How long a phone waits for its good or bad sign, against the bare grey decode of its photo."""

import statistics
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from http.client import HTTPConnection
from pathlib import Path
from random import Random

import cv2
import numpy as np
import pytest
from flask import Flask

from passport.booth.grades import GOOD
from passport.demo import paper, technician, truth
from passport.demo.technician import Round
from passport.desk.lines import server
from passport.office import Office, open_store, printing
from passport.office.readers import stand_by
from passport.office.registering import register
from passport.settings import load
from passport.visits import KINDS
from tests.hall import INVENTED, SETTINGS
from tests.unit.passport.desk.conftest import Visitor, opened

pytestmark = pytest.mark.long
DAY = date(2026, 3, 2)
VERDICT = b'class="verdict"'


@dataclass(frozen=True)
class Shots:
    """A desk with somebody signed in, a form, and a photo of each of its pages."""

    phone: Visitor
    port: int
    form: str
    photos: list[Path]

    def send(self, page: int, content: bytes) -> float:
        """Send a shot as a browser does; returns how long its sign took. [s]."""
        token = self.phone.token(f"/F1/{self.form}/{page}")
        parts = {"csrf": (token.encode(), ""), "files": (content, '; filename="shot.jpg"')}
        headers = {
            "Cookie": f"desk={self.phone.client.get_cookie('desk').value}",
            "Content-Type": "multipart/form-data; boundary=edge",
        }
        line = HTTPConnection("localhost", self.port)
        start = time.perf_counter()
        line.request("POST", f"/F1/{self.form}/{page}", multipart(parts), headers)
        answer = line.getresponse().read()
        took = time.perf_counter() - start
        line.close()
        assert VERDICT in answer
        return took


def multipart(parts: dict[str, tuple[bytes, str]]) -> bytes:
    head = '--edge\r\nContent-Disposition: form-data; name="{}"{}\r\n\r\n'
    written = [head.format(name, more).encode() + body for name, (body, more) in parts.items()]
    return b"\r\n".join([*written, b"--edge--\r\n"])


@contextmanager
def served(app: Flask) -> Iterator[int]:
    """Serve a desk as it is served for everybody; gives its port."""
    made = server(app, "127.0.0.1", 0)
    thread = threading.Thread(target=made.run, daemon=True)
    thread.start()
    yield made.effective_port
    made.close()
    thread.join(timeout=5)


@pytest.fixture
def shots(tmp_path: Path) -> Iterator[Shots]:
    """Fill the form of the longest table and photograph it with 12 megapixels."""
    home = tmp_path / "home"
    home.mkdir()
    (home / "settings.toml").write_text(SETTINGS)
    with open_store(home) as store:
        noon = datetime(2026, 3, 2, 12, tzinfo=UTC)
        office = Office(store, load(home), lambda: noon, Random(3).getrandbits)
        table = register(office, INVENTED / "long.toml").table
        printed = printing.print_form(office, "service", table.number)
        order = Round(printed.layout.form, DAY, "CD", 21.0, 41.0, "X")
        visit, _ = technician.visit(table, truth.invented(table, np.random.default_rng(1)), order)
        answers = KINDS["service"].answers(visit, printed_on=DAY)
        photos = paper.take(printed, answers, paper.Sitting(11, GOOD), tmp_path / "photo")
        app = opened(office)
        phone = Visitor(app.test_client())
        phone.sign_in("some-clerk")
        with served(app) as port:
            yield Shots(phone, port, printed.layout.form, photos)


def decode(content: bytes) -> float:
    start = time.perf_counter()
    cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_GRAYSCALE)
    return time.perf_counter() - start


def blurred(content: bytes) -> bytes:
    """Spoil a photo so that nothing can be read from it."""
    picture = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_GRAYSCALE)
    return cv2.imencode(".jpg", cv2.GaussianBlur(picture, (0, 0), 40))[1].tobytes()


def test_a_shot_gets_its_sign_within_two_seconds(shots: Shots, show: Callable[[str], None]):
    stand_by()  # as the desk does when it opens; a process that starts needs this long
    cold = shots.send(1, shots.photos[0].read_bytes())
    good = [photo.read_bytes() for photo in shots.photos[1:]]
    again = [content + bytes([n]) for n in range(4) for content in good]
    bare = [decode(content) for content in again]
    took = [shots.send(2 + n % len(good), content) for n, content in enumerate(again)]
    bad = [shots.send(1, blurred(content)) for content in good]

    decoded, sign = statistics.median(bare), statistics.median(took)
    show(f"bare grey decode {decoded * 1000:.0f} ms; good sign after {sign:.2f} s at the desk")
    show(f"  {sign / decoded:.0f} times the decode; slowest {max(took):.2f} s, aimed at 2 s")
    show(f"  bad sign after {max(bad):.2f} s; the first, while its reader starts, {cold:.2f} s")
    assert sign / decoded < 100
