import struct
import zlib
from io import BytesIO

import numpy as np
import pikepdf
import pillow_heif
import pypdfium2
import pytest
from PIL import Image

from scan import photo
from scan.errors import FileUnreadable, HeicUnreadable
from scan.photo import pictures

HEIC = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"


def picture() -> Image.Image:
    """Draw a picture of 40 by 20 pixels whose left half is dark."""
    grey = np.full((20, 40), 200, np.uint8)
    grey[:, :20] = 30
    return Image.fromarray(grey)


def saved(kind: str, **options) -> bytes:
    file = BytesIO()
    picture().save(file, kind, **options)
    return file.getvalue()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_picture_is_opened_as_grey(kind):
    ((grey, _),) = pictures(saved(kind), "a")

    assert (grey.shape, grey.dtype) == ((20, 40), np.uint8)
    assert grey[:, 5].mean() < 60 < grey[:, 35].mean()


def test_colour_becomes_grey():
    file = BytesIO()
    picture().convert("RGB").save(file, "PNG")

    ((grey, _),) = pictures(file.getvalue(), "a")

    assert grey.shape == (20, 40)


@pytest.mark.parametrize(("orientation", "shape"), [(1, (20, 40)), (6, (40, 20)), (3, (20, 40))])
def test_camera_note_on_how_it_was_held_is_followed(orientation, shape):
    exif = Image.Exif()
    exif[0x0112] = orientation

    ((grey, _),) = pictures(saved("JPEG", exif=exif), "a")

    assert grey.shape == shape


def test_every_frame_of_a_tiff_is_given():
    data = saved("TIFF", save_all=True, append_images=[picture(), picture()])

    assert len(list(pictures(data, "a"))) == 3


def test_resolution_of_a_scan_is_kept():
    ((_, dpi),) = pictures(saved("TIFF", dpi=(300, 300)), "a")

    assert dpi == 300


def test_fax_tiff_is_opened():
    file = BytesIO()
    picture().convert("1").save(file, "TIFF", compression="group4")

    ((grey, _),) = pictures(file.getvalue(), "a")

    assert set(np.unique(grey)) == {0, 255}


def test_a_phones_own_kind_of_photo_is_opened():
    file = BytesIO()
    pillow_heif.from_pillow(picture().convert("RGB")).save(file, format="HEIF")

    ((grey, _),) = pictures(file.getvalue(), "a.heic")

    assert (grey.shape, grey[:, 5].mean() < 60 < grey[:, 35].mean()) == ((20, 40), True)


def test_sixteen_bits_are_opened_as_eight():
    file = BytesIO()
    Image.fromarray(np.array(picture()).astype(np.uint16) * 257).save(file, "TIFF")

    ((grey, _),) = pictures(file.getvalue(), "a")

    assert set(np.unique(grey)) == {30, 200}


def test_decoders_say_nothing_on_the_error_stream(capfd):
    data = saved("JPEG")

    list(pictures(data[:-30] + bytes(28) + data[-2:], "a"))

    assert capfd.readouterr().err == ""


def test_every_page_of_a_pdf_is_given(pdf):
    ((grey, _),) = pictures(pdf, "a.pdf")

    assert grey.shape == pytest.approx((279.4 / 25.4 * 220, 215.9 / 25.4 * 220), abs=1)


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"", "it is empty"),
        (b"hello", "it is damaged or of a kind that is not known"),
        (b"%PDF-1.7 nothing", "this PDF is damaged or locked by a password"),
        (b"II*\0 nothing at all", "this TIFF is damaged or too large"),
    ],
)
def test_damaged_file_is_refused(data, found):
    with pytest.raises(FileUnreadable) as refusal:
        list(pictures(data, "a"))

    assert refusal.value.found == found


def test_a_kind_of_picture_that_is_not_asked_for_is_not_decoded():
    with pytest.raises(FileUnreadable) as refusal:
        list(pictures(saved("PPM"), "a.pgm"))

    assert refusal.value.found == "it is damaged or of a kind that is not known"


def test_a_pdf_page_that_is_none_is_refused_and_those_before_it_are_given(pdf):
    with pikepdf.open(BytesIO(pdf)) as document:
        document.Root.Pages.Kids.append(document.make_indirect(pikepdf.Dictionary(Type="/None")))
        document.Root.Pages.Count += 1
        document.save(file := BytesIO())
    given = pictures(file.getvalue(), "a.pdf")
    next(given)

    with pytest.raises(FileUnreadable) as refusal:
        next(given)

    assert refusal.value.found == "page 2 of this PDF is damaged"


def test_a_tiff_whose_second_frame_has_no_size_is_refused():
    data = bytearray(saved("TIFF"))
    start = struct.unpack_from("<I", data, 4)[0]
    (count,) = struct.unpack_from("<H", data, start)
    struct.pack_into("<I", data, start + 2 + 12 * count, len(data))
    data += struct.pack("<HHHIII", 1, 258, 4, 1, 8, 0)

    with pytest.raises(FileUnreadable) as refusal:
        list(pictures(bytes(data), "a"))

    assert refusal.value.found == "this TIFF is damaged or too large"


def test_cut_off_jpeg_gives_a_picture_or_a_refusal():
    data = saved("JPEG")[:300]

    try:
        ((grey, _),) = pictures(data, "a")
    except FileUnreadable:
        return
    assert grey.shape == (20, 40)


def test_heic_without_its_package_is_refused(monkeypatch):
    monkeypatch.setattr(photo, "_heif_package", lambda: None)

    with pytest.raises(HeicUnreadable):
        list(pictures(HEIC, "a.heic"))


def test_heic_with_its_package_is_opened(monkeypatch):
    class Package:
        @staticmethod
        def open_heif(data):
            return Package

        @staticmethod
        def to_pillow():
            return picture()

    monkeypatch.setattr(photo, "_heif_package", lambda: Package)

    ((grey, _),) = pictures(HEIC, "a.heic")

    assert grey.shape == (20, 40)


def test_pdf_page_of_five_metres_is_refused_before_it_is_drawn(tmp_path):
    """A blank page of 14400 pt took gigabytes at scanning resolution."""
    document = pypdfium2.PdfDocument.new()
    document.new_page(14_400, 14_400)
    path = tmp_path / "huge.pdf"
    document.save(path)

    with pytest.raises(FileUnreadable) as caught:
        list(pictures(path.read_bytes(), "huge.pdf"))

    assert str(caught.value) == (
        "huge.pdf can't be opened as a picture: a page of it is 5080 × 5080 mm large, which is no "
        "sheet of a form. Copy it again from the phone or scanner, as JPEG, PNG, TIFF or PDF."
    )


def test_large_pdf_page_is_drawn_in_fewer_dots(tmp_path):
    document = pypdfium2.PdfDocument.new()
    document.new_page(1_800, 1_800)
    path = tmp_path / "large.pdf"
    document.save(path)

    (picture,) = pictures(path.read_bytes(), "large.pdf")

    assert picture.grey.size <= 20_100_000


def chunk(kind: bytes, data: bytes) -> bytes:
    check = struct.pack(">I", zlib.crc32(kind + data))
    return struct.pack(">I", len(data)) + kind + data + check


def test_picture_that_claims_too_many_pixels_is_refused_before_it_is_decoded():
    """A PNG head with 30000 × 30000 pixels; the picture itself is not there."""
    head = struct.pack(">IIBBBBB", 30_000, 30_000, 8, 0, 0, 0, 0)
    png = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b""))

    with pytest.raises(FileUnreadable) as caught:
        list(pictures(png, "bomb.png"))

    assert str(caught.value) == (
        "bomb.png can't be opened as a picture: it claims more than 120 megapixels. "
        "Copy it again from the phone or scanner, as JPEG, PNG, TIFF or PDF."
    )
