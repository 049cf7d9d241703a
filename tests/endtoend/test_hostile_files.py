"""Files that were made to harm: each ends within its limits and spoils nothing but itself.

What files may do: OWASP, "File Upload Cheat Sheet". All are made here.
"""

import io
import zlib
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from importlib import resources
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from PIL import Image

from passport.office import Office, open_store, printing
from passport.office.child import MOST_PAGES
from passport.office.intake import State, Taken, intake
from passport.office.readers import Order, read_limited
from passport.office.registering import register
from passport.settings import Settings
from scan.reading import PhotoReading


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with open_store(tmp_path_factory.mktemp("home")) as store:
        yield Office(store, Settings(), lambda: datetime(2026, 11, 24, 12, tzinfo=UTC))


@pytest.fixture(scope="module")
def form(office: Office) -> bytes:
    """Print a form and hold its first page before a scanner."""
    path = Path(str(resources.files("passport") / "invented" / "short.toml"))
    table = register(office, path).table
    printed = printing.print_form(office, "surface", table.number)
    return drawn(printed.pdf)


def drawn(pdf: bytes) -> bytes:
    document = pypdfium2.PdfDocument(pdf)
    picture = document[0].render(scale=200 / 72, grayscale=True).to_pil()
    document.close()
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=85)
    return out.getvalue()


def png_of(width: int, height: int) -> bytes:
    """Write a PNG that claims to be huge and holds next to nothing."""
    row = zlib.compressobj(9)
    data = b"".join(row.compress(bytes(width // 8 + 1)) for _ in range(height)) + row.flush()
    head = width.to_bytes(4) + height.to_bytes(4) + b"\x01\x00\x00\x00\x00"
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        len(body).to_bytes(4) + name + body + zlib.crc32(name + body).to_bytes(4)
        for name, body in ((b"IHDR", head), (b"IDAT", data), (b"IEND", b""))
    )


def pdf_of(pages: int, size: tuple[float, float] = (612, 792), content: bytes = b"") -> bytes:
    pdf = pikepdf.new()
    for _ in range(pages):
        pdf.add_blank_page(page_size=size)
    if content:
        pdf.pages[0].Contents = pdf.make_stream(content)
    return saved(pdf)


def saved(pdf: pikepdf.Pdf, **options: object) -> bytes:
    out = io.BytesIO()
    pdf.save(out, **options)
    return out.getvalue()


def locked() -> bytes:
    return saved(pikepdf.new(), encryption=pikepdf.Encryption(owner="a", user="b"))


def nested() -> bytes:
    """Write a PDF whose drawing draws itself."""
    pdf = pikepdf.new()
    pdf.add_blank_page()
    drawing = pdf.make_stream(b"/A Do /A Do", Type=pikepdf.Name.XObject, Subtype=pikepdf.Name.Form)
    drawing.BBox = [0, 0, 612, 792]
    drawing.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(A=drawing))
    pdf.pages[0].Resources = drawing.Resources
    pdf.pages[0].Contents = pdf.make_stream(b"/A Do")
    return saved(pdf)


@cache
def flate_bomb() -> bytes:
    """Write a drawing of 400 MB that is half a megabyte in the file."""
    return pdf_of(1, content=b"0 0 m 9 9 l S " * 28_000_000)


def many_frames() -> bytes:
    frames = [Image.new("1", (60, 60)) for _ in range(MOST_PAGES + 1)]
    out = io.BytesIO()
    frames[0].save(out, "TIFF", save_all=True, append_images=frames[1:], compression="group4")
    return out.getvalue()


HOSTILE = {
    "pixel bomb": lambda _: png_of(30_000, 30_000),
    "large page": lambda _: pdf_of(1, (14_400, 14_400)),
    "flate bomb": lambda _: flate_bomb(),
    "thousand pages": lambda _: pdf_of(1000),
    "hundreds of frames": lambda _: many_frames(),
    "locked": lambda _: locked(),
    "nested": lambda _: nested(),
    "cut off": lambda form: form[: len(form) // 50],
    "only a head": lambda _: b"\xff\xd8\xff\xe0",
    "empty": lambda _: b"",
    "text named like a photo": lambda _: b"<html><script>1</script>",
    "archive": lambda _: b"PK\x03\x04" + bytes(1000),
    "archive before a PDF": lambda _: b"PK\x03\x04" + bytes(2000) + pdf_of(1),
    "vector drawing": lambda _: b"<svg xmlns='http://www.w3.org/2000/svg' onload='x()'/>",
    "film": lambda _: b"\x00\x00\x00\x18ftypisom" + bytes(500),
}
SLOW = {"flate bomb", "nested"}  # they use up all the time or memory that a reader has


def taken(office: Office, folder: Path, *contents: bytes) -> list[Taken]:
    paths = [folder / f"{place}.jpg" for place in range(len(contents))]
    for path, content in zip(paths, contents, strict=True):
        path.write_bytes(content)
    return list(intake(office, paths))


@pytest.mark.parametrize(
    "name",
    [pytest.param(one, marks=[pytest.mark.long] if one in SLOW else []) for one in HOSTILE],
)
def test_a_hostile_file_spoils_only_itself(office, form, tmp_path, name):
    copy = form + name.encode()  # bytes behind a photo's end change nothing but its hash

    bad, good = taken(office, tmp_path, HOSTILE[name](form), copy)

    assert (bad.state, bool(bad.messages)) == (State.CANNOT_BE_USED, True)
    assert good.state in {State.RECORDED, State.NEEDS_A_LOOK, State.SEEN_BEFORE}


@pytest.mark.parametrize("tail", [b"PK\x03\x04 an archive", b"<script>1</script>", b"%PDF-1.7"])
def test_a_form_with_something_behind_it_is_read_and_kept_without_it(office, form, tmp_path, tail):
    (one,) = taken(office, tmp_path, form + tail)

    kept = [office.store.photos.read(name) for name in office.store.photos.names()]
    assert one.state is not State.CANNOT_BE_USED
    assert [name for name in kept if tail in name] == []


def told(content: bytes) -> PhotoReading:
    return read_limited(Order("f", content), lambda _form: None).photo


def test_a_file_of_too_many_pages_is_told_how_many_it_has():
    photo = told(pdf_of(1000))

    assert photo.problems[0].message.startswith(
        f"f can't be opened as a picture: it has 1000 pages, and at most {MOST_PAGES} are read"
    )


@pytest.mark.long
def test_a_reader_that_is_ended_is_followed_by_another(form):
    bomb = told(flate_bomb())
    good = told(form)

    assert (bomb.pages, len(good.pages)) == ((), 1)
