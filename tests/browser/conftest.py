"""Debian's chromium, driven by playwright; each file of tests says that one process runs them."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from passport.office import Office, open_store
from passport.settings import load
from tests.browser.desk import Served, served
from tests.browser.looking import LOOKS, SCREEN, Look, Opened
from tests.hall import Hall, build, now


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


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Hall:
    return build(tmp_path_factory.mktemp("hall"))


@pytest.fixture
def desk(built: Hall, tmp_path: Path) -> Iterator[Served]:
    """Open the desk of an office in the middle of its work."""
    hall = built.copied(tmp_path)
    with open_store(hall.home) as store:
        office = Office(store, load(hall.home), now, Random(5).getrandbits)
        with served(office, hall.form) as open_desk:
            yield open_desk


@pytest.fixture(scope="session")
def shown(built: Hall, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """Open a desk that is only looked at, once for all."""
    hall = built.copied(tmp_path_factory.mktemp("shown"))
    with open_store(hall.home) as store:
        office = Office(store, load(hall.home), now, Random(5).getrandbits)
        with served(office, hall.form) as open_desk:
            yield open_desk
