"""The customer's page as a customer opens it: on a phone or a screen, printed, offline."""

import http.server
import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from importlib import resources
from pathlib import Path

import pypdfium2
import pytest
from playwright.sync_api import Page

from forms.numbers import CareToken
from passport.documents.care import Use, care_html, write_care
from passport.leveling.advice import Verdict
from passport.leveling.advise import advise
from passport.settings import Settings
from passport.table_file import read_table
from tests.browser.looking import PHONE, Look, Opened, faults, runs_over

pytestmark = pytest.mark.xdist_group("browser")
TODAY = date(2026, 11, 24)
TOKENS = {Use.OPEN: CareToken("7ZK2M04QX9RJ1B5T"), Use.STOPPED: CareToken("0123456789ABCDEF")}
OFFICE = Settings(phone="+1 555 010 0199", email="office@care.example")


class Quiet(http.server.SimpleHTTPRequestHandler):
    """A static host that shows 404.html for whatever is not there."""

    def log_message(self, *_words: object) -> None:
        """Say nothing."""

    def send_error(self, code: int, *_words: object) -> None:
        """Show the one page for all other addresses."""
        self.send_response(code)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.end_headers()
        self.wfile.write(Path(self.directory, "404.html").read_bytes())


@pytest.fixture(scope="module")
def host(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Serve the pages of a table in use and of one that is stopped."""
    folder = tmp_path_factory.mktemp("care")
    text = (resources.files("passport") / "invented" / "long.toml").read_text()
    table = read_table(text, "long", "989838732")
    advice = advise(table, (), today=TODAY)
    told = replace(advice, as_of=date(2026, 10, 3), verdict=Verdict.IN, next_visit=date(2027, 1, 9))
    write_care(
        folder,
        [
            (token, care_html(table, told, OFFICE, today=TODAY, use=use))
            for use, token in TOKENS.items()
        ],
    )
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=folder))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def at(page: Page, host: str, use: Use) -> Page:
    page.goto(f"{host}/T/{TOKENS[use].code}/")
    return page


def in_look(opened: Opened, look: Look) -> Page:
    return opened(viewport=look.size, color_scheme=look.scheme)


@pytest.mark.parametrize("use", list(Use))
def test_care_page_has_no_fault_and_does_not_run_over(opened, look, host, use):
    page = at(in_look(opened, look), host, use)

    assert (faults(page), runs_over(page)) == ([], False)


def test_page_for_all_other_addresses_has_no_fault(opened, look, host):
    page = in_look(opened, look)

    page.goto(f"{host}/T/ZZZZZZZZZZZZZZZZ/")

    assert (faults(page), runs_over(page)) == ([], False)


def test_care_page_reads_at_twice_the_size_of_letters(opened, host):
    """WCAG 2.2, 1.4.4 and 1.4.12: 200 %, wide spacing."""
    page = at(opened(viewport=PHONE), host, Use.STOPPED)
    page.evaluate(
        "document.documentElement.style.setProperty('font-size', '200%');"
        "document.body.style.setProperty('line-height', '1.5');"
        "document.body.style.setProperty('letter-spacing', '0.12em');"
        "document.body.style.setProperty('word-spacing', '0.16em')"
    )

    assert not runs_over(page)


def test_care_page_is_all_that_is_asked_for_and_leaves_nothing_behind(opened, host):
    page = opened()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))

    at(page, host, Use.OPEN)

    assert asked == [f"{host}/T/{TOKENS[Use.OPEN].code}/"]
    assert page.context.storage_state() == {"cookies": [], "origins": []}


def test_opened_care_page_is_there_without_a_network(opened, host):
    page = at(opened(), host, Use.OPEN)
    shown = page.locator("main").inner_text()
    page.context.set_offline(True)

    page.emulate_media(color_scheme="dark")
    page.set_viewport_size(PHONE)

    assert page.locator("h2").count() == 9
    assert " ".join(page.locator("main").inner_text().split()) == " ".join(shown.split())


def test_nothing_runs_on_the_care_page(opened, host):
    page = at(opened(), host, Use.OPEN)

    page.evaluate(
        "document.body.insertAdjacentHTML('beforeend', '<img src=x onerror=\"window.ran=1\">')"
    )
    page.wait_for_timeout(100)

    assert page.evaluate("window.ran") is None


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_care_page_prints_on_two_pages_at_most(opened, host, paper):
    pdf = at(opened(), host, Use.STOPPED).pdf(format=paper)

    assert len(pypdfium2.PdfDocument(pdf)) <= 2


@pytest.mark.parametrize("path", ["/T/ZZZZZZZZZZZZZZZZ/", "/T/nothing", "/other"])
def test_every_address_that_is_none_looks_the_same(opened, host, path):
    page = opened()

    answer = page.goto(f"{host}{path}")

    assert (answer.status, page.title()) == (404, "No page here")


def test_links_are_reached_by_keyboard_and_seen(opened, host):
    """WCAG 2.2, 2.1.1 and 2.4.7."""
    page = at(opened(viewport=PHONE), host, Use.OPEN)
    reached = []
    for _ in range(3):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.href.split(':')[0]"))
        width = page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
        assert float(width.removesuffix("px")) >= 2

    assert reached == ["tel", "mailto", "sms"]
