"""Every page of the desk in a real browser: nothing keeps people out, nothing runs over."""

from decimal import Decimal

import pytest
from playwright.sync_api import Page, expect

from passport.desk.drafts import Draft
from passport.desk.factors import code_at
from passport.office.doubts import Way, waiting_on
from passport.records.drafts import Decision
from passport.visits.service import ids
from tests.browser.desk import NAME, PASSWORD, Served
from tests.browser.looking import (
    COLOURS,
    LOOKS,
    PHONE,
    RULES,
    SCREEN,
    Opened,
    faults,
    runs_over,
)
from tests.hall import Hall, step

pytestmark = pytest.mark.xdist_group("browser")
DROP = """() => {
  const files = new DataTransfer();
  files.items.add(new File(["no picture"], "dropped.jpg", { type: "image/jpeg" }));
  document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: files, bubbles: true }));
}"""
HALF = {"width": 640, "height": 400}  # of 1280 × 800 at 200 % zoom


def pages(desk: Served) -> list[str]:
    """Every page that shows something of its own."""
    record = desk.office.store.form(desk.form)
    return [
        "/",
        "/intake",
        "/forms",
        f"/forms/{desk.form}",
        f"/forms/{desk.form}/value?field=B1.pass1.found",
        f"/F1/{desk.form}/1",
        "/doubts",
        f"/doubts/{desk.form}",
        "/notes",
        "/tables",
        f"/tables/{record.table}",
        f"/tables/{record.table}/surface",
        "/due?by=place",
        "/password",
        "/second-factor",
        "/people",
        "/diary",
        "/nothing",
    ]


def test_no_page_keeps_anybody_out_or_runs_over(opened: Opened, shown: Served):
    """Each page once, narrow and wide, light and dark."""
    page = opened()
    page.goto(f"{shown.address}/sign-in")
    found = {"/sign-in": seen(page)}
    shown.sign_in(page)
    for path in pages(shown):
        page.goto(shown.address + path)
        found[path] = seen(page)

    assert {path: said for path, said in found.items() if said} == {}


def seen(page: Page) -> list[str]:
    """List what is wrong with a page in any of the four looks."""
    said = []
    for look in LOOKS:
        page.set_viewport_size(look.size)
        page.emulate_media(color_scheme=look.scheme)
        wrong = faults(page, RULES if look.scheme == "light" else COLOURS)
        wrong += ["runs over"] if runs_over(page) else []
        said += [f"{look}: {one}" for one in wrong]
    return said


def go(page: Page, address: str) -> None:
    """Open a page that is typed into: loaded, it may not have its focus yet."""
    page.goto(address)
    page.locator(":focus").wait_for()


def test_setting_up_a_phone_keeps_nobody_out(opened: Opened, desk: Served):
    page, people, now = opened(), desk.desk.people, desk.office.now()
    go(page, f"{desk.address}/sign-in")
    for typed in (NAME, PASSWORD, "000000"):
        page.keyboard.type(typed)
        page.keyboard.press("Tab" if typed == NAME else "Enter")
        page.locator("input:focus").wait_for()
    page.locator(".fault").wait_for()
    found = {"a wrong code": seen(page)}
    desk.sign_in(page)
    people.factors.forget(NAME)
    page.goto(f"{desk.address}/people")
    found["a phone must be set up"] = seen(page)
    page.fill("#password", PASSWORD)
    page.fill("#code", code_at(people.factors.offered(NAME, now), step(now)))
    page.press("#code", "Enter")
    page.locator(".codes").wait_for()
    found["recovery codes"] = seen(page)

    assert {what: said for what, said in found.items() if said} == {}


def test_pages_in_the_middle_of_work_keep_nobody_out(opened: Opened, desk: Served):
    """Answers given and refused; a table out of use; a bad shot."""
    page, now = opened(), desk.office.now()
    desk.sign_in(page)
    found = {}
    for field, value in {"B1.pass1.turns": None, ids.UNSAFE: True}.items():
        desk.office.store.settle(desk.form, field, value, Decision(NAME, "saw it"), now)
    desk.desk.drafts.keep(Draft(desk.form, "air.humidity", Decimal(47), NAME, 2), now)
    for path in (f"/doubts/{desk.form}", "/notes", "/"):
        page.goto(desk.address + path)
        found[path] = seen(page)
    page.goto(f"{desk.address}/F1/{desk.form}/1")
    page.set_input_files("#files", {"name": "x.jpg", "mimeType": "image/jpeg", "buffer": b"x"})
    page.locator(".shot.bad").wait_for()
    found["a bad shot"] = seen(page)

    assert {what: said for what, said in found.items() if said} == {}


def test_at_twice_the_size_nothing_runs_over_and_the_browser_has_no_complaint(
    opened: Opened, shown: Served
):
    page = opened(viewport=HALF, device_scale_factor=2)
    said: list[str] = []
    page.on("console", lambda line: said.append(line.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    shown.sign_in(page)
    for path in pages(shown):
        page.goto(shown.address + path)
        said += [f"{path} runs over"] if runs_over(page) else []

    assert [line for line in said if "404" not in line] == []


def test_signing_in_takes_a_keyboard_only_also_without_javascript(opened: Opened, desk: Served):
    page = opened(viewport=PHONE, java_script_enabled=False)
    go(page, f"{desk.address}/tables")
    page.keyboard.type(NAME)
    page.keyboard.press("Tab")
    for typed, leads in ((PASSWORD, "/sign-in/code?then=/tables"), (desk.code(), "/tables")):
        page.keyboard.type(typed)
        page.keyboard.press("Enter")
        page.wait_for_url(desk.address + leads)
        page.locator("input:focus").wait_for()

    assert page.locator("h1").inner_text() == "Tables"


def keys_for(desk: Served, hall: Hall) -> list[str]:
    """List what to type at each doubt: nothing where the best guess is right."""
    asked, hand = waiting_on(desk.office, desk.form).asked, hall.hand()
    return ["" if one.way is Way.ACCEPT else str(hand[one.field.id]) for one in asked]


def apart(page: Page) -> list[str]:
    """Name the doubts whose picture does not stand left of its answer at the same height."""
    boxes = "all => all.map(one => ['.shown img', '[data-answer]'].map("
    boxes += "part => one.querySelector(part).getBoundingClientRect().toJSON()).concat(one.id))"
    found = page.eval_on_selector_all("article.doubt", boxes)
    return [
        name
        for crop, answer, name in found
        if crop["right"] > answer["left"]
        or crop["bottom"] < answer["top"]
        or crop["top"] > answer["bottom"]
    ]


def test_doubts_are_worked_off_by_keyboard_alone(opened: Opened, desk: Served, built: Hall):
    page, keys = opened(viewport=SCREEN), keys_for(desk, built)
    desk.sign_in(page)
    go(page, f"{desk.address}/doubts/{desk.form}")
    assert apart(page) == []
    for left, typed in zip(reversed(range(len(keys))), keys, strict=True):
        page.keyboard.type(typed)
        page.keyboard.press("Enter")
        expect(page.locator("#left b")).to_have_text(str(left))
    expect(page.locator("#finish button")).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_url(f"{desk.address}/doubts")

    assert f"{len(keys)} answers are in the history" in (page.text_content("main") or "")
    assert desk.office.store.form(desk.form).doubts == ()


def test_doubts_are_worked_off_by_keyboard_without_javascript(
    opened: Opened, desk: Served, built: Hall
):
    page, keys = opened(java_script_enabled=False), keys_for(desk, built)
    desk.sign_in(page)
    go(page, f"{desk.address}/doubts/{desk.form}")
    for typed in keys:
        page.keyboard.type(typed)
        with page.expect_navigation():
            page.keyboard.press("Enter")
    with page.expect_navigation():
        page.keyboard.press("Enter")

    assert desk.office.store.form(desk.form).doubts == ()


def test_a_value_that_cannot_be_is_told_beside_its_box(opened: Opened, desk: Served):
    page = opened()
    desk.sign_in(page)
    page.goto(f"{desk.address}/doubts/{desk.form}")
    page.fill("input[aria-label^='Relative humidity']", "999")
    page.press("input[aria-label^='Relative humidity']", "Enter")
    said = page.wait_for_selector("article .fault")

    assert "it takes 1 to" in (said.text_content() or "")


def test_files_are_taken_in_one_after_the_other(opened: Opened, desk: Served, built):
    page = opened()
    desk.sign_in(page)
    page.goto(f"{desk.address}/intake")
    page.set_input_files("#files", [*map(str, built.photos)])
    page.click("text=Take in")
    page.wait_for_selector("text=2 done.")

    assert page.locator(".arrival .sign").all_text_contents() == ["= seen before"] * 2
    page.evaluate(DROP)
    page.wait_for_selector("text=1 done.")
    assert "dropped.jpg" in page.locator(".arrival").first.inner_text()


def test_files_are_taken_in_without_javascript(opened: Opened, desk: Served, built):
    page = opened(java_script_enabled=False)
    desk.sign_in(page)
    page.goto(f"{desk.address}/intake")
    page.set_input_files("#files", [*map(str, built.photos)])
    page.click("text=Take in")

    assert page.locator(".arrival").count() == 2


def test_a_shot_is_judged_on_the_page_that_took_it(opened: Opened, desk: Served, built):
    page = opened(viewport=PHONE)
    desk.sign_in(page)
    page.goto(f"{desk.address}/F1/{desk.form}/1")
    page.set_input_files("#files", str(built.photos[0]))

    assert page.wait_for_selector(".verdict").text_content() == "✓ Good; this was in already"
