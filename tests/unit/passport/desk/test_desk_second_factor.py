"""The second factor: who must have it, that it counts once, and what helps without the phone.

Testable statements after OWASP ASVS 5.0, 6.3.1, 6.4.4, 6.5.1 to 6.5.5, 7.2.4, 7.4.3 and 7.5.1.
"""

import base64
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from threading import Thread

import pyotp
import pypdfium2
import pytest
import zxingcpp
from flask import Flask
from weasyprint import HTML

from passport.desk.errors import CodeWrong, FactorNeeded, PasswordWrong, TooOften
from passport.desk.factors import FREE, OFFERED_S, SYMBOLS, code_at
from passport.desk.here import EXTENSION, Desk
from passport.desk.people import Role
from passport.office import Office
from scan.opencv import cv2
from tests.hall import set_up, step

from .conftest import PASSWORD, Clock, Visitor, next_code, opened

As = Callable[[str], Visitor]
CLERK, ADMINISTRATOR = "some-clerk", "some-administrator"


@pytest.fixture
def codes(desk: Desk, clock: Clock) -> tuple[str, ...]:
    """Recovery codes of a clerk who has set up a phone, some time ago."""
    made = set_up(desk.factors, CLERK, clock())
    clock.wait(minutes=10)
    return made


def shown_secret(page: str) -> str:
    found = re.search(r"Or type: <code[^>]*>([A-Z2-7 ]+)</code>", page)
    assert found is not None
    return found[1].replace(" ", "")


def with_password(visitor: Visitor, name: str = CLERK) -> str:
    """Sign in as far as the password goes; where that leads."""
    return visitor.post("/sign-in", {"name": name, "password": PASSWORD}).headers["Location"]


def give(visitor: Visitor, code: str) -> int:
    return visitor.post("/sign-in/code", {"code": code}).status_code


def phone(desk: Desk, clock: Clock, name: str = CLERK, off: int = 0) -> str:
    """Say what somebody's phone shows now."""
    (row,) = desk.memory.rows("SELECT secret FROM factors WHERE name = ?", name)
    return code_at(row["secret"], step(clock()) + off)


def test_an_administrator_without_one_gets_no_further_than_its_page(
    visitor: Visitor, desk: Desk, app: Flask
):
    desk.factors.forget(ADMINISTRATOR)
    visitor.sign_in(ADMINISTRATOR)
    paths = ["/", "/people", "/diary", "/tables"]
    led = {visitor.get(path).headers.get("Location") for path in paths}
    sent = visitor.post("/people", {"name": "new", "password": PASSWORD, "role": "administrator"})

    assert (led, sent.headers["Location"]) == ({"/second-factor"}, "/second-factor")
    assert desk.people.find("new") is None
    assert visitor.post("/sign-out").headers["Location"] == "/sign-in"


@pytest.mark.parametrize("role", Role)
def test_nobody_gets_further_without_one_unless_the_owner_exempts_them(office: Office, role: Role):
    """OWASP ASVS 5.0, 6.3.3: multi-factor for everybody at level 2."""
    strict = Office(office.store, replace(office.settings, second_factor="everybody"), office.now)
    led = []
    for of in (strict, office):
        somebody = Visitor(opened(of).test_client())
        somebody.client.application.extensions[EXTENSION].factors.forget(f"some-{role}")
        somebody.sign_in(f"some-{role}")
        led.append(somebody.get("/tables").headers.get("Location"))

    exempt = role is not Role.ADMINISTRATOR
    assert led == ["/second-factor", None if exempt else "/second-factor"]


def test_who_must_have_one_may_not_take_it_away(office: Office, codes):
    strict = Office(office.store, replace(office.settings, second_factor="everybody"), office.now)
    somebody = Visitor(opened(strict).test_client())
    somebody.sign_in(CLERK)
    desk = somebody.client.application.extensions[EXTENSION]
    answer = somebody.post("/second-factor/away", {"password": PASSWORD})

    assert (answer.status_code, desk.factors.has(CLERK)) == (400, True)
    assert str(FactorNeeded(CLERK)) in answer.text
    assert "Do without" not in somebody.get("/second-factor").text


def test_an_administrator_sets_it_up_and_goes_on(visitor: Visitor, desk: Desk, clock: Clock):
    desk.factors.forget(ADMINISTRATOR)
    visitor.sign_in(ADMINISTRATOR)
    secret = shown_secret(visitor.get("/second-factor").text)
    code = code_at(secret, step(clock()))
    page = visitor.post("/second-factor", {"password": PASSWORD, "code": code}).text

    assert len(re.findall(r'<li class="number">\d-\w{5}-\w{5}</li>', page)) == 10
    assert visitor.get("/people").status_code == 200


def test_the_picture_holds_what_a_phones_app_needs(as_: As, tmp_path):
    """Key URI: type totp, label with issuer, secret; RFC 6238's defaults are left out."""
    page = as_("clerk").get("/second-factor").text
    drawn = re.search(r'src="data:image/svg\+xml;base64,([^"]+)"', page)
    svg = base64.b64decode(drawn[1]).decode()
    path = tmp_path / "code.pdf"
    HTML(string=f'<div style="width:60mm">{svg}</div>').write_pdf(path)
    read = pyotp.parse_uri(scanned(path))

    assert (read.secret, read.name, read.issuer) == (shown_secret(page), CLERK, "Office desk")
    assert (read.interval, read.digits) == (30, 6)


def scanned(path: Path) -> str:
    picture = pypdfium2.PdfDocument(path)[0].render(scale=3).to_numpy()
    return zxingcpp.read_barcodes(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY))[0].text


def test_a_reload_shows_the_same_secret_and_an_hour_later_another(as_: As, clock: Clock):
    clerk = as_("clerk")
    first, again = (shown_secret(clerk.get("/second-factor").text) for _ in range(2))
    clock.wait(seconds=OFFERED_S + 1)

    assert first == again != shown_secret(clerk.get("/second-factor").text)


@pytest.mark.parametrize("typed", ["000000", "", "12345", "abcdef"])
def test_nothing_is_set_up_until_the_phone_shows_that_it_works(
    as_: As, desk: Desk, clock: Clock, typed: str
):
    answer = as_("clerk").post("/second-factor", {"password": PASSWORD, "code": typed})

    assert (answer.status_code, desk.factors.has(CLERK)) == (400, False)
    assert "This code does not fit" in answer.text


def test_nothing_is_set_up_without_the_password(as_: As, desk: Desk, clock: Clock):
    clerk = as_("clerk")
    code = code_at(shown_secret(clerk.get("/second-factor").text), step(clock()))
    answer = clerk.post("/second-factor", {"password": "wrong", "code": code})

    assert (answer.status_code, desk.factors.has(CLERK)) == (400, False)
    assert str(PasswordWrong()) in answer.text


def test_the_password_alone_opens_nothing(codes, visitor: Visitor):
    assert with_password(visitor) == "/sign-in/code"
    assert visitor.get("/").headers["Location"] == "/sign-in"


def test_password_and_code_open_the_desk(codes, visitor: Visitor, desk: Desk, clock: Clock):
    with_password(visitor)

    assert give(visitor, phone(desk, clock)) == 302
    assert visitor.get("/").status_code == 200


def test_the_page_that_was_asked_for_follows_the_code(codes, visitor: Visitor, desk: Desk):
    assert visitor.sign_in(CLERK, then="/tables").headers["Location"] == "/tables"


@pytest.mark.parametrize(
    ("off", "taken"), [(-2, False), (-1, True), (0, True), (1, True), (2, False)]
)
def test_a_phones_clock_may_be_off_by_one_step(codes, desk: Desk, clock: Clock, off: int, taken):
    """RFC 6238, 5.2: at most one time step is allowed as the network delay."""
    assert desk.factors.check(CLERK, phone(desk, clock, off=off), clock()) is taken


def test_a_code_opens_the_desk_once(codes, app: Flask, visitor: Visitor, desk: Desk, clock: Clock):
    """RFC 6238, 5.2: the verifier must not accept the second attempt of the OTP."""
    code, thief = phone(desk, clock), Visitor(app.test_client())
    with_password(visitor)
    with_password(thief)

    assert (give(visitor, code), give(thief, code)) == (302, 401)
    assert give(thief, phone(desk, clock, off=-1)) == 401  # nor one from before it


def test_the_code_that_set_it_up_does_not_sign_in(visitor: Visitor, desk: Desk, clock: Clock):
    set_up(desk.factors, CLERK, clock())
    with_password(visitor)

    assert give(visitor, phone(desk, clock)) == 401


def test_a_code_tried_many_times_at_once_opens_once(codes, desk: Desk, clock: Clock):
    code, opened = phone(desk, clock), []
    tries = [
        Thread(target=lambda: opened.append(desk.factors.check(CLERK, code, clock())))
        for _ in range(FREE)
    ]
    for one in tries:
        one.start()
    for one in tries:
        one.join()

    assert sorted(opened) == [False] * (FREE - 1) + [True]


def test_the_code_is_asked_for_within_five_minutes(codes, visitor, desk: Desk, clock: Clock):
    with_password(visitor)
    clock.wait(minutes=5.1)

    assert give(visitor, phone(desk, clock)) == 302
    assert visitor.get("/").headers["Location"] == "/sign-in"


def test_a_sixth_wrong_code_waits_and_each_doubles_the_wait(codes, visitor, desk, clock: Clock):
    with_password(visitor)
    first = [give(visitor, "000000") for _ in range(FREE)]
    sixth = visitor.post("/sign-in/code", {"code": phone(desk, clock)})
    clock.wait(seconds=1.1)
    give(visitor, "000000")
    seventh = visitor.post("/sign-in/code", {"code": phone(desk, clock)})

    assert first == [401] * FREE
    assert [(one.status_code, one.headers["Retry-After"]) for one in (sixth, seventh)] == [
        (429, "1"),
        (429, "2"),
    ]
    assert str(TooOften("codes", 2)) in seventh.text


def test_the_wait_is_one_hour_at_most_and_a_right_code_ends_it(codes, visitor, desk, clock: Clock):
    desk.memory.change("UPDATE factors SET wrong = 60, wrong_at = ?", clock().timestamp())
    longest = desk.factors.wait_s(CLERK, clock())
    clock.wait(seconds=3600)
    with_password(visitor)

    assert (longest, give(visitor, phone(desk, clock))) == (3600, 302)
    assert desk.factors.wait_s(CLERK, clock()) == 0


def test_the_password_does_not_end_the_wait_for_codes(codes, visitor, desk: Desk, clock: Clock):
    with_password(visitor)
    for _ in range(FREE):
        give(visitor, "000000")
    with_password(visitor)

    assert give(visitor, phone(desk, clock)) == 429


def test_many_wrong_codes_at_once_are_counted_one_by_one(codes, desk: Desk, clock: Clock):
    tries = [Thread(target=lambda: desk.factors.check(CLERK, "000000", clock())) for _ in range(20)]
    for one in tries:
        one.start()
    for one in tries:
        one.join()

    (row,) = desk.memory.rows("SELECT wrong FROM factors WHERE name = ?", CLERK)
    assert row["wrong"] == FREE


def test_each_recovery_code_opens_the_desk_once(codes, visitor: Visitor, desk: Desk):
    with_password(visitor)
    first = give(visitor, codes[3])
    with_password(visitor)

    assert (first, give(visitor, codes[3]), desk.factors.recovery_left(CLERK)) == (302, 401, 9)


def test_a_recovery_code_may_be_typed_as_it_is_read(codes, visitor: Visitor):
    with_password(visitor)

    assert give(visitor, codes[7].lower().replace("-", " ").replace("0", "o")) == 302


def test_a_recovery_code_of_another_place_or_person_opens_nothing(codes, desk: Desk, clock: Clock):
    swapped = codes[0][0] + codes[1][1:]

    assert not desk.factors.check(CLERK, swapped, clock())
    assert not desk.factors.check(ADMINISTRATOR, codes[0], clock())


def test_recovery_codes_are_kept_as_argon2id_only(codes, desk: Desk):
    """ASVS 6.5.2: 50 bits are under 112, so each is hashed as a password is."""
    kept = desk.memory.rows("SELECT hash FROM recovery WHERE name = ?", CLERK)
    content = desk.memory.path.read_bytes()

    assert all(row["hash"].startswith("$argon2id$") for row in kept)
    assert not any(one[2:].replace("-", "").encode() in content for one in codes)
    assert len(set(codes)) == 10
    assert 5 * SYMBOLS >= 20  # ASVS 6.5.4: bits, of a base-32 symbol each


def test_another_phone_needs_the_present_one_or_a_recovery_code(codes, desk: Desk, clock, visitor):
    visitor.sign_in(CLERK)
    new = shown_secret(visitor.get("/second-factor").text)
    sent = {"password": PASSWORD, "code": code_at(new, step(clock()))}
    refused = visitor.post("/second-factor", {**sent, "present": "000000"})
    taken = visitor.post("/second-factor", {**sent, "present": codes[0]})

    assert (refused.status_code, taken.status_code) == (400, 200)
    assert desk.memory.rows("SELECT secret FROM factors WHERE name = ?", CLERK)[0][0] == new
    assert not desk.factors.check(CLERK, codes[1], clock())


def test_setting_it_up_signs_out_everywhere_else(as_: As, clock: Clock):
    here, there = as_("clerk"), as_("clerk")
    code = code_at(shown_secret(here.get("/second-factor").text), step(clock()))
    here.post("/second-factor", {"password": PASSWORD, "code": code})

    assert (here.get("/").status_code, there.get("/").status_code) == (200, 302)


def test_a_clerk_may_do_without_again(codes, visitor: Visitor, desk: Desk):
    visitor.sign_in(CLERK)
    visitor.post("/second-factor/away", {"password": PASSWORD, "present": next_code(desk, CLERK)})

    assert not desk.factors.has(CLERK)


@pytest.mark.parametrize("path", ["/second-factor/away", f"/people/{ADMINISTRATOR}/second-factor"])
def test_an_administrator_may_not_do_without(as_: As, desk: Desk, path: str):
    answer = as_("administrator").post(path, {"password": PASSWORD})

    assert (answer.status_code, desk.factors.has(ADMINISTRATOR)) == (400, True)
    assert str(FactorNeeded(ADMINISTRATOR)) in answer.text


def test_an_administrator_takes_away_what_somebody_lost(codes, as_: As, visitor, desk: Desk):
    visitor.sign_in(CLERK)
    as_("administrator").post(f"/people/{CLERK}/second-factor")

    assert (desk.factors.has(CLERK), desk.factors.recovery_left(CLERK)) == (False, 0)
    assert visitor.get("/").status_code == 302
    assert desk.diary.lines()[0].what == f"administering: reset factor (name {CLERK})"


def test_whoever_becomes_an_administrator_sets_it_up_first(desk: Desk, visitor: Visitor):
    desk.people.give_role(CLERK, Role.ADMINISTRATOR)
    visitor.sign_in(CLERK)

    assert visitor.get("/").headers["Location"] == "/second-factor"


def test_who_is_let_in_again_under_an_old_name_has_no_old_factor(codes, desk: Desk, clock: Clock):
    desk.people.remove(CLERK)
    desk.people.add(CLERK, PASSWORD, Role.CLERK, clock())

    assert not desk.factors.has(CLERK)


def test_wrong_codes_stand_in_the_diary_without_what_was_typed(codes, visitor, desk: Desk):
    with_password(visitor)
    give(visitor, "031415")

    assert (desk.diary.lines()[0].who, desk.diary.lines()[0].what) == (CLERK, "wrong code")


def test_wrong_passwords_within_a_session_are_slowed_too(as_: As):
    clerk = as_("clerk")
    for _ in range(10):
        clerk.post("/password", {"present": "wrong", "new": "seven slow brown kites"})
    answer = clerk.post("/password", {"present": PASSWORD, "new": "seven slow brown kites"})

    assert str(TooOften("passwords", 1)) in answer.text


def test_a_code_that_does_not_fit_says_so(codes, visitor: Visitor):
    with_password(visitor)
    page = visitor.post("/sign-in/code", {"code": "000000"}).text

    assert str(CodeWrong()).replace("'", "&#39;") in page
