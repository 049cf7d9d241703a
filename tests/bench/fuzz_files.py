"""Files for a fuzz run: one form in every kind of file that is read, and ways to change it.

A change that any decoder refuses at the door tries nothing. So a PNG is also changed inside, before
its rows are packed, and a TIFF, a PDF or a HEIC photo in its head alone.
"""

import io
import random
import struct
import zlib
from collections.abc import Callable, Iterator
from datetime import date, datetime
from importlib import resources

import pillow_heif
import pypdfium2
from PIL import Image

from forms.layout import Layout
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from forms.sheet import print_forms
from passport.table_file import read_table
from passport.visits import KINDS

Change = Callable[[bytearray, random.Random, bytes], bytearray]
EXTREMES = (b"\x00\x00\x00\x00", b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"\x80\x00\x00\x00")
DPI = 110
TURNED = Image.Exif()
TURNED[0x0112] = 6  # CIPA DC-008, Orientation: row 0 is on the right
KINDS_OF_FILE: dict[str, tuple[str, dict[str, object]]] = {
    "jpeg": ("JPEG", {"quality": 80}),
    "jpeg, progressive": ("JPEG", {"quality": 80, "progressive": True}),
    "jpeg, to be turned": ("JPEG", {"quality": 80, "exif": TURNED}),
    "png": ("PNG", {}),
    "webp": ("WEBP", {"quality": 80}),
    "webp, lossless": ("WEBP", {"lossless": True}),
    "heic": ("HEIF", {"quality": 70}),
    "pdf of a photo": ("PDF", {}),
}


def seeds() -> tuple[dict[str, bytes], Layout]:
    """Draw one page in every kind of file."""
    text = (resources.files("passport") / "invented" / "short.toml").read_text()
    table = read_table(text, "short", "989838732")
    form = KINDS["card"].form(table, printed_on=date(2026, 11, 2), last_visit=None, technicians=())
    placed = place(form, Paper.LETTER, FormNumber.new(random.Random(5).getrandbits))
    pdf = print_forms((placed,), datetime(2026, 11, 2))
    document = pypdfium2.PdfDocument(pdf)
    page = document[0].render(scale=DPI / 72, grayscale=True).to_pil()
    document.close()
    pillow_heif.register_heif_opener()
    found = {name: written(page, *how) for name, how in KINDS_OF_FILE.items()}
    fax = page.convert("1", dither=Image.Dither.NONE)
    return {
        **found,
        "tiff, deflate": tiff(page.size, zlib.compress(page.tobytes()), 8),
        "tiff, fax": written(fax, "TIFF", {"compression": "group4"}),
        "pdf of a fax": written(fax, "PDF", {}),
        "pdf": pdf,
    }, placed.layout


def written(page: Image.Image, kind: str, options: dict[str, object]) -> bytes:
    """Write a picture as a file of some kind."""
    out = io.BytesIO()
    page.save(out, kind, **options)
    return out.getvalue()


def tiff(size: tuple[int, int], packed: bytes, compression: int) -> bytes:
    """Write a grey TIFF whose picture is one strip at its end (TIFF 6.0, section 2)."""
    entries = {256: size[0], 257: size[1], 258: 8, 259: compression, 262: 1, 273: 0, 277: 1,
               278: size[1], 279: len(packed)}  # fmt: skip
    head = 8 + 2 + 12 * len(entries) + 4
    entries[273] = head
    rows = b"".join(struct.pack("<HHII", tag, 4, 1, value) for tag, value in entries.items())
    return b"II*\0" + struct.pack("<IH", 8, len(entries)) + rows + bytes(4) + packed


def flip(data: bytearray, chance: random.Random, _other: bytes) -> bytearray:
    """Turn a bit."""
    data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    return data


def write_over(data: bytearray, chance: random.Random, _other: bytes) -> bytearray:
    """Write chance bytes over as many."""
    at, size = chance.randrange(len(data)), chance.randint(1, 16)
    data[at : at + size] = chance.randbytes(size)[: len(data) - at]
    return data


def put_in(data: bytearray, chance: random.Random, _other: bytes) -> bytearray:
    """Put chance bytes in between."""
    at = chance.randrange(len(data))
    return data[:at] + chance.randbytes(chance.randint(1, 16)) + data[at:]


def extreme(data: bytearray, chance: random.Random, _other: bytes) -> bytearray:
    """Turn four bytes, a length perhaps, to an extreme; near the head more often than not."""
    at = chance.randrange(min(len(data), chance.choice((64, 512, len(data)))))
    data[at : at + 4] = chance.choice(EXTREMES)[: len(data) - at]
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


IN_PLACE: tuple[Change, ...] = (flip, flip, write_over, extreme)
CHANGES: tuple[Change, ...] = (*IN_PLACE, put_in, leave_out, double, bring_in)
HEADS = {"tiff, fax": 0.5, "heic": 0.7, "pdf of a fax": 0.3}  # how often, not to spoil the picture


def changed_file(name: str, data: bytes, chance: random.Random, other: bytes) -> bytes:
    """Change a file of some kind, by any change or by one that its decoder does not see at once."""
    if name == "png":
        return changed_png(data, chance, other)
    if name == "tiff, deflate":
        return changed_tiff(data, chance, other)
    if chance.random() < HEADS.get(name, 0):
        return changed_head(data, chance)
    return changed(data, chance, other)


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


def changed_tiff(data: bytes, chance: random.Random, other: bytes) -> bytes:
    """Change a TIFF inside: its rows before they are packed, or its head."""
    head, packed = data[:122], data[122:]
    if chance.random() < 0.5:
        packed = zlib.compress(changed(zlib.decompress(packed), chance, other), 1)
        head = head[:114] + struct.pack("<I", len(packed)) + head[118:]
        return head + packed
    return changed_head(head, chance) + packed


def changed_head(data: bytes, chance: random.Random) -> bytes:
    """Change a file without moving anything in it, within its first and last 600 bytes."""
    first, middle, last = data[:600], data[600:-600], data[max(600, len(data) - 600) :]
    made = [bytearray(first), bytearray(last or b"\0")]
    for _ in range(chance.choice((1, 1, 2, 3))):
        chance.choice(IN_PLACE)(made[chance.random() < 0.3], chance, b"")
    return bytes(made[0]) + middle + (bytes(made[1]) if last else b"")


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
