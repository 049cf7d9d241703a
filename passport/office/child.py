"""The reader's own process: one file after the other, within limits of memory and time.

Started by ``readers`` as ``python -m passport.office.child``. It knows no store: it asks for the
layout of each form that it meets. Each message, either way, is a line of JSON, and the bytes of a
file follow the line that orders it.
"""

import json
import resource
import sys
from base64 import b64encode
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO, Any

import pypdfium2
from PIL import Image

from forms.layout import Layout, loads
from forms.numbers import FormNumber
from passport.office.wire import Read, to_text
from passport.records.bare import bare
from scan.read import read_photo

MEMORY_MB = 3072  # of address space; a 108 megapixel photo takes under 2000
MOST_PAGES = 400  # a batch of 100 forms
FILE_S, PAGE_S = 10, 5  # of computing


class Talk:
    """What the child says and hears."""

    def __init__(self, hears: IO[bytes], says: IO[bytes]):
        self._hears, self._says = hears, says

    def heard(self) -> Mapping[str, Any] | None:
        """Hear the next line; None when nobody is there any more."""
        line = self._hears.readline()
        return json.loads(line) if line else None

    def content(self, size: int) -> bytes:
        """Hear the bytes of a file."""
        return self._hears.read(size)

    def say(self, **words: Any) -> None:
        """Say one line."""
        self._says.write(json.dumps(words).encode() + b"\n")
        self._says.flush()

    def layout_of(self, form: str) -> Layout | None:
        """Ask for a layout."""
        self.say(layout=form)
        answer = self.heard()
        text = answer["layout"] if answer else None
        return None if text is None else loads(text, f"The layout of form {form}")


def serve(talk: Talk) -> None:
    """Read, or strip, whatever is ordered until nobody is there any more."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_MB * 2**20,) * 2)
    while (order := talk.heard()) is not None:
        content = talk.content(order["size"])
        try:
            _do(talk, order, content)
        except MemoryError:
            talk.say(memory=MEMORY_MB)
        except Exception as error:  # whatever a file makes of the reader spoils that file only
            talk.say(stopped=type(error).__name__)


def _do(talk: Talk, order: Mapping[str, Any], content: bytes) -> None:
    _allow(FILE_S)
    pages = count_pages(content)
    if pages > MOST_PAGES:
        talk.say(pages=pages)
        return
    _allow(FILE_S + PAGE_S * pages)
    if order.get("strip"):
        talk.say(stripped=b64encode(bare(content)).decode())
    else:
        talk.say(read=to_text(_read(talk, order, content)))


def _allow(seconds: int) -> None:
    """Let this process compute so much longer; then the system ends it."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    end = int(used.ru_utime + used.ru_stime) + 1 + seconds
    _, most = resource.getrlimit(resource.RLIMIT_CPU)
    resource.setrlimit(resource.RLIMIT_CPU, (end, most))


def count_pages(content: bytes) -> int:
    """Count the pages of a file before any is drawn; 1 for what can't be opened."""
    try:
        if content[:1024].lstrip()[:5] == b"%PDF-":
            document = pypdfium2.PdfDocument(content)
            try:
                return len(document)
            finally:
                document.close()
        if content[:4] in (b"II*\0", b"MM\0*"):
            with Image.open(BytesIO(content)) as stack:
                return int(getattr(stack, "n_frames", 1))
    except MemoryError:
        raise
    except Exception:  # from a damaged file a decoder may raise anything
        return 1
    return 1


def _read(talk: Talk, order: Mapping[str, Any], content: bytes) -> Read:
    with TemporaryDirectory() as folder:
        path, crops = Path(folder) / "file" / order["name"], Path(folder) / "crops"
        path.parent.mkdir()
        crops.mkdir()
        path.write_bytes(content)
        typed = order["typed"] and FormNumber.parse(order["typed"])
        photo = read_photo(path, talk.layout_of, crops=crops, typed=typed)
        return Read(photo, {one.name: one.read_bytes() for one in crops.iterdir()})


if __name__ == "__main__":
    serve(Talk(sys.stdin.buffer, sys.stdout.buffer))
