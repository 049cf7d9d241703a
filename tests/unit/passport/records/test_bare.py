"""Kept pictures: the same to look at, and nothing of the camera in them."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image, ImageOps

from passport.records.bare import bare

NOTES = (b"Exif", b"GPS", b"INVENTED CAMERA", b"http://ns.adobe.com", b"<x:xmpmeta")


def exif(orientation=1):
    notes = Image.Exif()
    notes[0x010F] = "INVENTED CAMERA"
    notes[0x0112] = orientation
    notes.get_ifd(0x8825)[1] = "N"  # latitude's hemisphere (CIPA DC-008, GPS attributes)
    return notes


def picture(kind, orientation=1, **options):
    rng = np.random.default_rng(7)
    grey = np.kron(rng.integers(0, 255, (6, 8)), np.ones((8, 8))).astype(np.uint8)
    out = BytesIO()
    Image.fromarray(grey).convert("RGB" if kind == "WEBP" else "L").save(
        out, kind, exif=exif(orientation), **options
    )
    return out.getvalue()


def pixels(content):
    with Image.open(BytesIO(content)) as opened:
        return np.asarray(ImageOps.exif_transpose(opened).convert("L"), dtype=int)


@pytest.mark.parametrize(
    ("kind", "options"),
    [
        ("JPEG", {"comment": b"INVENTED CAMERA", "xmp": b"<x:xmpmeta/>"}),
        ("JPEG", {"progressive": True, "quality": 90}),
        ("PNG", {}),
        ("WEBP", {"lossless": True, "xmp": b"<x:xmpmeta/>"}),
        ("TIFF", {}),
    ],
)
def test_notes_go_and_the_picture_stays_as_it_is(kind, options):
    with_notes = picture(kind, **options)

    without = bare(with_notes)

    assert b"INVENTED CAMERA" in with_notes  # the control
    assert [note for note in NOTES if note in without] == []
    assert np.array_equal(pixels(without), pixels(with_notes))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
@pytest.mark.parametrize("orientation", [3, 6, 8])
def test_a_picture_that_lay_on_its_side_stands_upright_without_its_note(kind, orientation):
    options = {"lossless": True} if kind == "WEBP" else {}
    on_its_side = picture(kind, orientation, **options)

    without = bare(on_its_side)

    assert [note for note in NOTES if note in without] == []
    assert np.abs(pixels(without) - pixels(on_its_side)).max() <= (12 if kind == "JPEG" else 0)


def test_what_stands_behind_a_picture_goes():
    plain = bare(picture("JPEG"))

    assert bare(plain + b"PK\x03\x04 something else") == plain


def test_a_bare_picture_stays_as_it_is():
    once = bare(picture("JPEG"))

    assert bare(once) == once


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_a_cut_off_picture_is_never_lost(kind, share):
    whole = picture(kind)
    cut = whole[: int(len(whole) * share)]

    kept = bare(cut)

    assert kept
    assert kind == "TIFF" or b"INVENTED CAMERA" not in kept or kind in ("PNG", "WEBP")


def test_every_page_of_a_stack_stays():
    pages = [Image.new("1", (40, 30), color) for color in (0, 1, 1)]
    out = BytesIO()
    pages[0].save(out, "TIFF", save_all=True, append_images=pages[1:], dpi=(300, 300), exif=exif())

    with Image.open(BytesIO(bare(out.getvalue()))) as kept:
        assert (kept.n_frames, kept.info["dpi"]) == (3, (300, 300))


def test_pictures_inside_a_pdf_lose_their_notes_and_nothing_moves():
    inner = picture("JPEG")
    pdf = b"%PDF-1.7\n1 0 obj << /Filter /DCTDecode >> stream\n" + inner + b"\nendstream endobj"

    kept = bare(pdf)

    start = pdf.index(inner)
    assert len(kept) == len(pdf)
    assert [note for note in NOTES if note in kept] == []
    assert np.array_equal(pixels(kept[start : start + len(inner)]), pixels(inner))


@pytest.mark.parametrize("content", [b"", b"\xff\xd8\xff", b"BM", b"<html>", b"\x89PNG\r\n\x1a\n"])
def test_what_is_no_picture_is_kept_as_it_came(content):
    assert bare(content) == content
