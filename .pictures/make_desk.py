"""Make README's pictures of the desk: ``PYTHONPATH=. .venv/bin/python .pictures/make_desk.py``."""

import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image
from playwright.sync_api import Page, sync_playwright

from passport.office import Office, open_store
from passport.settings import load
from tests.browser.desk import served
from tests.hall import build, now

HERE = Path(__file__).parent
WINDOW = {"width": 1120, "height": 1160}
COLOURS = 64


def keep(page: Page, name: str) -> None:
    """Photograph what the window shows, small enough to be committed."""
    path = HERE / name
    page.screenshot(path=path)
    Image.open(path).convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE).save(
        path, optimize=True
    )


if __name__ == "__main__":
    with TemporaryDirectory() as folder, sync_playwright() as play:
        hall = build(Path(folder))
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        with (
            open_store(hall.home) as store,
            served(Office(store, load(hall.home), now), hall.form) as desk,
        ):
            page = browser.new_page(viewport=WINDOW)
            desk.sign_in(page)
            page.set_viewport_size({**WINDOW, "height": 1360})
            page.goto(f"{desk.address}/doubts/{hall.form}")
            keep(page, "desk-doubts.png")
            page.set_viewport_size(WINDOW)
            page.goto(f"{desk.address}/tables/{store.form(hall.form).table}")
            keep(page, "desk-table.png")
        browser.close()
