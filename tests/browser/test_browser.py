"""The browser itself: that it starts, and that axe can fail."""

import pytest

from tests.browser.looking import PHONE, Opened, faults, runs_over

pytestmark = pytest.mark.xdist_group("browser")
WHOLE = "<!doctype html><html lang=en><title>A</title><main><h1>A</h1>{}</main></html>"


def test_axe_finds_nothing_on_a_plain_page(opened: Opened):
    page = opened()
    page.set_content(WHOLE.format("<p>Plain words.</p>"))

    assert faults(page) == []


def test_axe_finds_a_picture_without_words(opened: Opened):
    page = opened()
    page.set_content(WHOLE.format("<img src='data:,'>"))

    assert [fault.split(":")[0] for fault in faults(page)] == ["image-alt"]


def test_a_page_wider_than_the_window_is_noticed(opened: Opened):
    page = opened(viewport=PHONE)
    page.set_content(WHOLE.format("<p style='width:400px'>Wide.</p>"))

    assert runs_over(page)
