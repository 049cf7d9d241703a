"""Make README's pictures from a demo's papers: ``.venv/bin/python .pictures/make.py papers``."""

import sys
from pathlib import Path

import pypdfium2
from PIL import Image, ImageOps

HERE = Path(__file__).parent
WIDTH = 1100  # px
QUARTERS = 1  # anticlockwise, as that photo lies


def photo(path: Path, turns: int) -> Image.Image:
    """Open a photo, upright."""
    return ImageOps.exif_transpose(Image.open(path)).rotate(90 * turns, expand=True)


def page(path: Path, number: int) -> Image.Image:
    """Draw one page of a PDF."""
    with pypdfium2.PdfDocument(path) as pdf:
        return pdf[number - 1].render(scale=2).to_pil()


def side_by_side(pictures: list[Image.Image]) -> Image.Image:
    """Lay pages beside each other on grey, with a little room between them."""
    width, height = pictures[0].size
    gap = width // 40
    whole = Image.new("L", (len(pictures) * (width + gap) + gap, height + 2 * gap), 200)
    for number, picture in enumerate(pictures):
        whole.paste(picture.convert("L"), (gap + number * (width + gap), gap))
    return whole


def keep(picture: Image.Image, name: str) -> None:
    """Write a picture small enough to be committed."""
    small = picture.convert("L")
    small.thumbnail((WIDTH, 2 * WIDTH))
    small.save(HERE / name, optimize=True, quality=70)


if __name__ == "__main__":
    papers = Path(sys.argv[1])
    keep(photo(papers / "short-2026-03-02-page-1.jpg", QUARTERS), "filled-form.jpg")
    keep(page(papers / "middle-2026-03-02-next-actions.pdf", 1), "next-actions.png")
    passport = [page(papers / "long-2026-05-18-passport.pdf", number) for number in (1, 2, 4)]
    keep(side_by_side(passport), "passport.png")
