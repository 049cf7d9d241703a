"""Files changed at random, read whole: ``fuzz.py COUNT [SEED]``; prints how they ended.

Seeds are photos and scans of an invented form in every kind of file that is read: JPEG, PNG, WebP,
TIFF (fax and deflate), PDF. Each is changed in one to eight places (bits flipped, bytes written
over, pieces left out, doubled or brought in from another file, lengths turned to extremes), read in
a reader's process as an intake does, and must end as a photo with pages or as a problem. A process
that was ended counts by what ended it; the memory is the largest that any reader ever had.
"""

import io
import json
import random
import resource
import sys
import time
import zlib
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import date, datetime
from importlib import resources

import pypdfium2
from PIL import Image

from forms.layout import Layout
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from forms.sheet import print_forms
from passport.office import readers
from passport.office.readers import Order, read_limited
from passport.table_file import read_table
from passport.visits import KINDS
from scan.errors import ProblemCode

Change = Callable[[bytearray, random.Random, bytes], bytearray]
EXTREMES = (b"\x00\x00\x00\x00", b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"\x80\x00\x00\x00")


def seeds() -> tuple[dict[str, bytes], Layout]:
    """Draw one page in every kind of file."""
    text = (resources.files("passport") / "invented" / "short.toml").read_text()
    table = read_table(text, "short", "989838732")
    form = KINDS["card"].form(table, printed_on=date(2026, 11, 2), last_visit=None, technicians=())
    placed = place(form, Paper.LETTER, FormNumber.new(random.Random(5).getrandbits))
    pdf = print_forms((placed,), datetime(2026, 11, 2))
    document = pypdfium2.PdfDocument(pdf)
    page = document[0].render(scale=110 / 72, grayscale=True).to_pil()
    document.close()
    kinds = {
        "jpeg": ("JPEG", {"quality": 80}),
        "jpeg, progressive": ("JPEG", {"quality": 80, "progressive": True}),
        "png": ("PNG", {}),
        "webp": ("WEBP", {"quality": 80}),
        "tiff, deflate": ("TIFF", {"compression": "tiff_adobe_deflate"}),
        "pdf of a photo": ("PDF", {}),
    }
    found = {name: written(page, *how) for name, how in kinds.items()}
    found["tiff, fax"] = written(page.convert("1"), "TIFF", {"compression": "group4"})
    return {**found, "pdf": pdf}, placed.layout


def written(page: Image.Image, kind: str, options: dict[str, object]) -> bytes:
    """Write a picture as a file of some kind."""
    out = io.BytesIO()
    page.save(out, kind, **options)
    return out.getvalue()


def flip(data: bytearray, chance: random.Random, _other: bytes) -> bytearray:
    """Turn a bit."""
    data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    return data


def write_over(data: bytearray, chance: random.Random, _other: bytes) -> bytearray:
    """Write chance bytes over some."""
    at = chance.randrange(len(data))
    data[at : at + chance.randint(1, 16)] = chance.randbytes(chance.randint(1, 16))
    return data


def extreme(data: bytearray, chance: random.Random, _other: bytes) -> bytearray:
    """Turn four bytes, a length perhaps, to an extreme; near the head more often than not."""
    at = chance.randrange(min(len(data), chance.choice((64, 512, len(data)))))
    data[at : at + 4] = chance.choice(EXTREMES)
    return data


def leave_out(data: bytearray, chance: random.Random, _other: bytes) -> bytearray:
    """Leave a piece out."""
    at = chance.randrange(len(data))
    del data[at : at + chance.randint(1, 1 + len(data) // 50)]
    return data


def double(data: bytearray, chance: random.Random, _other: bytes) -> bytearray:
    """Bring a piece in twice."""
    at, size = chance.randrange(len(data)), chance.randint(1, 1 + len(data) // 50)
    return data[:at] + data[at : at + size] + data[at:]


def bring_in(data: bytearray, chance: random.Random, other: bytes) -> bytearray:
    """Bring a piece in from a file of another kind."""
    at, start = chance.randrange(len(data)), chance.randrange(len(other))
    return data[:at] + other[start : start + chance.randint(1, 400)] + data[at:]


CHANGES: tuple[Change, ...] = (flip, flip, write_over, extreme, leave_out, double, bring_in)


def changed(data: bytes, chance: random.Random, other: bytes) -> bytes:
    """Change a file in one to eight places."""
    made = bytearray(data)
    for _ in range(chance.choice((1, 1, 2, 3, 8))):
        made = chance.choice(CHANGES)(made or bytearray(b"\0"), chance, other)
    return bytes(made)


def changed_png(data: bytes, chance: random.Random, other: bytes) -> bytes:
    """Change a PNG inside: its rows before they are packed, or its head; all sums fit again."""
    chunks = dict(png_chunks(data))
    if chance.random() < 0.7:
        rows = changed(zlib.decompress(chunks[b"IDAT"]), chance, other)
        chunks[b"IDAT"] = zlib.compress(rows, 1)
    else:
        name = chance.choice(list(chunks))
        chunks[name] = changed(chunks[name] or b"\0", chance, other)
    parts = (
        len(body).to_bytes(4) + name + body + zlib.crc32(name + body).to_bytes(4)
        for name, body in chunks.items()
    )
    return data[:8] + b"".join(parts)


def png_chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Take a PNG apart; its picture as one chunk."""
    at, picture = 8, b""
    while at < len(data):
        end = at + 8 + int.from_bytes(data[at : at + 4])
        name, body = data[at + 4 : at + 8], data[at + 8 : end]
        if name == b"IEND":
            yield b"IDAT", picture
        if name == b"IDAT":
            picture += body
        else:
            yield name, body
        at = end + 4


def ended(message: str) -> str:
    """Say how a file ended, by its first problem."""
    for sign, how in (
        ("stop (signal", "crash"),
        ("takes longer", "too long"),
        ("needs more", "too much memory"),
    ):
        if sign in message:
            return how
    return "refused"


def run(count: int, seed: int) -> dict[str, object]:
    """Read so many changed files."""
    chance = random.Random(seed)
    files, layout = seeds()
    names = list(files)
    ends: dict[str, Counter[str]] = {name: Counter() for name in names}
    started = time.perf_counter()
    slowest = 0.0
    for number in range(count):
        name = names[number % len(names)]
        change = changed_png if name == "png" else changed
        content = change(files[name], chance, files[chance.choice(names)])
        begun = time.perf_counter()
        photo = read_limited(Order("f", content), {layout.form: layout}.get).photo
        slowest = max(slowest, time.perf_counter() - begun)
        opened = (
            photo.pages
            or not photo.problems
            or photo.problems[0].code != ProblemCode.FILE_UNREADABLE
        )
        how = "decoded" if opened else ended(photo.problems[0].message)
        ends[name][how] += 1
    whole = read_limited(Order("f", files["jpeg"]), {layout.form: layout}.get).photo
    readers._end_all()
    total = sum(ends.values(), Counter())
    return {
        "files": count, "ends": dict(total),
        "by kind": {name: dict(one) for name, one in ends.items()},
        "pages after it all": len(whole.pages), "slowest_s": round(slowest, 1),
        "seconds": round(time.perf_counter() - started),
        "peak_mb": resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024,
    }  # fmt: skip


if __name__ == "__main__":
    how_many, first = int(sys.argv[1]), int((*sys.argv, "20261124")[2])
    print(json.dumps(run(how_many, first)))
