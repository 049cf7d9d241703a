"""What the tests look for on a page in the browser."""

from collections.abc import Callable
from dataclasses import dataclass

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, ViewportSize

PHONE = ViewportSize(width=320, height=640)  # WCAG 2.2, 1.4.10: reflow down to 320 CSS px
SCREEN = ViewportSize(width=1280, height=800)
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
AXE = Axe().axe_script
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}  # all that darkness changes

Opened = Callable[..., Page]


@dataclass(frozen=True)
class Look:
    """How wide a window is, and whether its owner likes it dark."""

    size: ViewportSize
    scheme: str

    def __str__(self) -> str:
        return f"{self.size['width']}-{self.scheme}"


LOOKS = [Look(size, scheme) for size in (PHONE, SCREEN) for scheme in ("light", "dark")]


def faults(page: Page, rules: dict = RULES) -> list[str]:
    """Each thing on the page that axe objects to: rule, what it asks, where."""
    if page.evaluate("!window.axe"):
        page.evaluate(AXE)
    found = page.evaluate("rules => axe.run(rules)", {**rules, "resultTypes": ["violations"]})
    return [
        f"{one['id']}: {one['help']}: {', '.join(str(node['target']) for node in one['nodes'])}"
        for one in found["violations"]
    ]


def runs_over(page: Page) -> bool:
    """Say whether anything makes the page scroll sideways."""
    width = "document.documentElement.scrollWidth > document.documentElement.clientWidth"
    return bool(page.evaluate(width))
