"""Who gets in and what each may do: testable statements after OWASP ASVS 5.0, level 2."""

import re
import secrets
from collections.abc import Callable
from http.cookies import SimpleCookie
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from flask import Flask
from scipy.stats import spearmanr

from forms.numbers import CareToken
from passport.desk.app import Options, make_app
from passport.desk.here import ANYBODY, Desk
from passport.desk.memory import FILE_NAME, KEY_FILE, secret_key
from passport.desk.people import Role
from passport.office import Office

from .conftest import PASSWORD, Clock, Visitor

OPEN = {
    "due.feed",
    "signing_in.sign_in",
    "signing_in.open_door",
    "signing_in.code",
    "signing_in.give_code",
    "start.health",
    "start.font",
    "static",
}
As = Callable[[str], Visitor]


def routes(app: Flask, method: str) -> list[tuple[str, str]]:
    """Every page that takes a method, with an address of its kind."""
    return [
        (rule.endpoint, re.sub(r"<[^>]+>", "1", rule.rule))
        for rule in app.url_map.iter_rules()
        if method in (rule.methods or ())
    ]


def cookie_of(response) -> SimpleCookie:
    return SimpleCookie(response.headers["Set-Cookie"])


def test_every_page_says_who_may_see_it(app: Flask):
    silent = [
        name
        for name, view in app.view_functions.items()
        if name != "static" and not isinstance(getattr(view, "needs", None), str)
    ]

    assert silent == []


def test_pages_for_anybody_are_these_and_no_other(app: Flask):
    views = app.view_functions.items()
    assert {name for name, view in views if getattr(view, "needs", None) == ANYBODY} == OPEN - {
        "static"
    }


def test_signed_out_every_page_asks_to_sign_in(app: Flask, visitor: Visitor):
    closed = [path for name, path in routes(app, "GET") if name not in OPEN]

    answers = {path: visitor.get(path) for path in closed}
    wrong = [
        p for p, a in answers.items() if not a.headers.get("Location", "").startswith("/sign-in")
    ]

    assert wrong == []


def test_signed_out_nothing_can_be_sent(app: Flask, visitor: Visitor):
    closed = [path for name, path in routes(app, "POST") if name not in OPEN]

    assert {visitor.post(path).status_code for path in closed} == {401}


def test_nothing_is_taken_without_the_pages_own_token(app: Flask, as_: As):
    somebody = as_("administrator")
    paths = [path for _, path in routes(app, "POST")]

    assert {somebody.client.post(path).status_code for path in paths} == {400}


@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Fetch-Site": "cross-site"},
        {"Origin": "https://elsewhere.example"},
        {"Origin": "null"},  # a page in a frame that is cut off from its own site
    ],
)
def test_nothing_is_taken_from_another_site_even_with_the_token(app: Flask, as_: As, headers):
    somebody = as_("administrator")
    somebody.headers = headers
    paths = [path for _, path in routes(app, "POST")]

    assert {somebody.post(path).status_code for path in paths} == {403}


def test_a_foreign_host_is_refused(visitor: Visitor):
    assert visitor.get("/sign-in", headers={"Host": "elsewhere.example"}).status_code == 400


def test_the_desks_own_address_is_a_host_it_answers_to(office: Office):
    app = make_app(office, Options(address="https://desk.example"))

    assert app.test_client().get("/health", headers={"Host": "desk.example"}).status_code == 200


def test_who_may_only_read_can_change_nothing(app: Flask, as_: As):
    reader = as_("reader")
    own = {"signing_in", "second_factor"}
    paths = [path for name, path in routes(app, "POST") if name.partition(".")[0] not in own]

    assert {reader.post(path).status_code for path in paths} == {403}


def test_a_clerk_lets_nobody_in(as_: As):
    assert as_("clerk").post("/people", {"name": "x"}).status_code == 403


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(visitor: Visitor):
    found = cookie_of(visitor.sign_in("some-clerk"))["desk"]

    assert (found["httponly"], found["samesite"], found["secure"]) == (True, "Lax", "")


def test_over_https_the_cookie_never_travels_openly(office: Office):
    client = make_app(office, Options(address="https://desk.example")).test_client()

    answer = client.get("/sign-in", base_url="https://desk.example")

    assert cookie_of(answer)["desk"]["secure"] is True
    assert answer.headers["Strict-Transport-Security"] == "max-age=31536000"


def test_signing_in_gives_a_new_number(visitor: Visitor):
    visitor.get("/sign-in")
    before = visitor.client.get_cookie("desk").value
    visitor.sign_in("some-clerk")
    first = visitor.client.get_cookie("desk").value
    visitor.post("/sign-out")
    visitor.sign_in("some-clerk")

    assert len({before, first, visitor.client.get_cookie("desk").value}) == 3


def test_a_number_known_before_signing_in_opens_nothing(app: Flask, visitor: Visitor):
    visitor.get("/sign-in")
    stolen = visitor.client.get_cookie("desk").value
    visitor.sign_in("some-clerk")
    thief = app.test_client()
    thief.set_cookie("desk", stolen)

    assert thief.get("/").status_code == 302


def test_signing_out_ends_the_session_at_the_desk(app: Flask, as_: As):
    clerk = as_("clerk")
    kept = clerk.client.get_cookie("desk").value
    clerk.post("/sign-out")
    thief = app.test_client()
    thief.set_cookie("desk", kept)

    assert thief.get("/").status_code == 302


def test_after_two_idle_hours_the_password_is_asked_again(as_: As, clock: Clock):
    clerk = as_("clerk")
    clock.wait(hours=1.9)
    still = clerk.get("/").status_code
    clock.wait(hours=2.1)

    assert (still, clerk.get("/").status_code) == (200, 302)


def test_after_a_working_day_the_password_is_asked_again(as_: As, clock: Clock):
    clerk = as_("clerk")
    for _ in range(8):
        clock.wait(hours=1.4)
        assert clerk.get("/").status_code == 200
    clock.wait(hours=1)

    assert clerk.get("/").status_code == 302


def test_the_eleventh_wrong_password_in_a_minute_waits(visitor: Visitor, clock: Clock):
    codes = [visitor.sign_in("some-clerk", "wrong").status_code for _ in range(10)]
    eleventh = visitor.sign_in("some-clerk")

    assert codes == [401] * 10
    assert (eleventh.status_code, eleventh.headers["Retry-After"]) == (429, "1")
    clock.wait(seconds=1.1)
    assert visitor.sign_in("some-clerk").status_code == 302


def test_wrong_passwords_at_many_names_slow_the_address(visitor: Visitor):
    for number in range(10):
        visitor.sign_in(f"guess-{number}", "wrong")

    assert visitor.sign_in("some-clerk").status_code == 429


def test_a_long_name_is_not_remembered_whole(visitor: Visitor, desk: Desk):
    visitor.sign_in("x" * 400_000, "wrong")

    assert [len(row["name"]) for row in desk.memory.rows("SELECT name FROM wrong")] == [64]


def test_wrong_passwords_stand_in_the_diary_without_what_was_typed(visitor: Visitor, desk: Desk):
    visitor.sign_in("some-clerk", "not the password")
    visitor.sign_in("four odd green lamps", "not the password")
    written = [(line.who, line.what) for line in desk.diary.lines()]

    assert written == [("unknown name", "wrong password"), ("some-clerk", "wrong password")]


def test_an_unknown_name_costs_a_hash_like_a_known_one(desk: Desk, monkeypatch):
    asked = []
    monkeypatch.setattr(PasswordHasher, "verify", lambda self, kept, _: asked.append(kept) or True)
    desk.people.check("nobody", "x")
    desk.people.check("some-clerk", "x")

    assert [kept.startswith("$argon2id$") for kept in asked] == [True, True]


def test_nobody_is_let_in_by_an_unknown_name(desk: Desk):
    assert desk.people.check("nobody", "nobody's password") is None


def test_passwords_are_kept_as_argon2id_only(desk: Desk):
    kept = [row["hash"] for row in desk.memory.rows("SELECT hash FROM people")]

    assert all(one.startswith("$argon2id$") for one in kept)
    assert PASSWORD.encode() not in desk.memory.path.read_bytes()


def test_the_default_hash_is_at_least_what_rfc_9106_advises():
    """RFC 9106 (2021), section 4, second recommendation: t = 3, 64 MiB, p = 4."""
    made = PasswordHasher()

    assert (made.time_cost, made.memory_cost, made.parallelism) >= (3, 64 * 1024, 4)


def test_the_key_is_made_once_for_its_owner_only(office: Office, app: Flask):
    path = office.store.home / KEY_FILE

    assert (path.stat().st_mode & 0o777, len(path.read_bytes())) == (0o600, 32)
    assert make_app(office).secret_key == app.secret_key


def test_two_desks_never_share_a_key(tmp_path: Path, app: Flask):
    assert secret_key(tmp_path) != app.secret_key


def test_the_desks_memory_is_for_its_owner_only(office: Office, app: Flask):
    assert (office.store.home / FILE_NAME).stat().st_mode & 0o777 == 0o600


def test_a_new_password_ends_every_other_session(as_: As):
    here, there = as_("clerk"), as_("clerk")
    here.post("/password", {"present": PASSWORD, "new": "seven slow brown kites"})

    assert (here.get("/").status_code, there.get("/").status_code) == (200, 302)


def test_a_new_password_asks_for_the_present_one(as_: As):
    answer = as_("clerk").post("/password", {"present": "x", "new": "seven slow brown kites"})

    assert answer.status_code == 400
    assert "The present password does not fit" in answer.text


def test_a_role_that_is_taken_away_is_gone_at_once(as_: As, desk: Desk):
    clerk = as_("clerk")
    desk.people.give_role("some-clerk", Role.READER)

    assert clerk.get("/").status_code == 302


def test_what_was_changed_stands_in_the_diary(as_: As, desk: Desk):
    given = {"name": "new", "password": PASSWORD, "role": "reader"}
    as_("administrator").post("/people", given)

    newest = desk.diary.lines()[0]
    assert (newest.who, newest.what) == ("some-administrator", "administering: add")


@pytest.mark.parametrize(
    "target", ["https://elsewhere.example", "//elsewhere.example", "/\\elsewhere.example", "/a\nb"]
)
def test_signing_in_leads_nowhere_else(visitor: Visitor, target: str):
    assert visitor.sign_in("some-clerk", then=target).headers["Location"] == "/"


def test_signing_in_leads_back_to_the_page_that_was_asked_for(visitor: Visitor):
    asked = visitor.get("/password").headers["Location"]

    assert asked == "/sign-in?then=/password"
    assert visitor.sign_in("some-clerk", then="/password").headers["Location"] == "/password"


def test_numbers_come_from_the_systems_own_chance():
    """OWASP ASVS 5.0, 11.5.1; a serial number would say which address comes next."""
    assert Office.__dataclass_fields__["bits"].default is secrets.randbits


def test_what_is_made_later_is_neither_higher_nor_lower():
    """Spearman's rank correlation of 400: beyond 0.25 once in a million; serial ones have 1."""
    tokens = [CareToken.new(secrets.randbits).code for _ in range(400)]

    assert abs(spearmanr(range(400), [sorted(tokens).index(one) for one in tokens])[0]) < 0.25
    assert spearmanr(range(400), range(7, 407))[0] == pytest.approx(1)
