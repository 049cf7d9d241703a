"""Debian's chromium, driven by playwright; each file of tests says that one process runs them."""

import os
import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.looking import LOOKS, SCREEN, Look, Opened


@pytest.fixture(params=LOOKS, ids=str)
def look(request: pytest.FixtureRequest) -> Look:
    return request.param


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One chromium for all tests of a process; as root it runs only without its sandbox."""
    found = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if found is None:
        pytest.fail("There is no chromium on this machine. Run passport/install dev.")
    with sync_playwright() as play:
        running = play.chromium.launch(executable_path=found, args=["--no-sandbox"])
        yield running
        running.close()


@pytest.fixture
def opened(browser: Browser) -> Iterator[Opened]:
    """Open a window of its own: ``opened(viewport=PHONE, color_scheme="dark")``."""
    contexts = []

    def open_(**options: object) -> Page:
        contexts.append(browser.new_context(**{"viewport": SCREEN, **options}))
        return contexts[-1].new_page()

    yield open_
    for context in contexts:
        context.close()
