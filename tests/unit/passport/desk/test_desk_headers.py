"""What every answer of the desk says to a browser, and what no page can be made to say."""

from collections.abc import Callable
from pathlib import Path

import pytest
from flask import Flask

import passport.desk
from passport.desk.app import MOST_BYTES, MOST_PARTS
from passport.desk.here import Desk
from passport.office import Office
from passport.office.acting import acting
from passport.office.history import story
from passport.office.printing import print_form
from passport.office.registering import register
from passport.records import Contact
from tests.hall import INVENTED, Hall

from .conftest import PASSWORD, Visitor
from .test_desk_doors import routes

As = Callable[[str], Visitor]
TEMPLATES = Path(passport.desk.__file__).parent / "templates"


def test_every_page_has_a_strict_policy_and_is_not_kept(app: Flask, as_: As):
    somebody = as_("administrator")
    answers = [somebody.get(path) for name, path in routes(app, "GET") if name != "static"]

    for answer in answers:
        policy = answer.headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert answer.headers["Referrer-Policy"] == "same-origin"
        assert answer.headers["Cache-Control"] == "no-store" or answer.mimetype == "font/woff2"


def test_nothing_comes_from_a_third_party(app: Flask):
    app.jinja_env.list_templates()
    sources = [path.read_text() for path in TEMPLATES.iterdir()]
    sources += [path.read_text() for path in (TEMPLATES.parent / "static").iterdir()]
    known = "http://www.w3.org/2000/svg"

    assert not [text for text in sources if "http" in text.replace(known, "")]


@pytest.mark.parametrize("word", ["|safe", "| safe", "style=", "onclick", "<style", "autoescape"])
def test_no_template_writes_unescaped_or_inline(word: str):
    assert not [path.name for path in TEMPLATES.iterdir() if word in path.read_text()]


def test_no_template_has_a_script_of_its_own():
    scripts = [
        line for path in TEMPLATES.iterdir() for line in path.read_text().splitlines()
        if "<script" in line and "src=" not in line
    ]  # fmt: skip

    assert scripts == []


def test_what_people_type_is_shown_as_they_typed_it(as_: As, desk):
    desk.diary.write("<script>x</script>", '"><img>', "{{7*7}}", desk.office.now())
    page = as_("administrator").get("/diary").text

    assert "&lt;script&gt;x&lt;/script&gt;" in page
    assert "&#34;&gt;&lt;img&gt;" in page
    assert "{{7*7}}" in page


def test_more_than_the_limit_is_refused_by_its_announced_length(as_: As):
    answer = as_("clerk").client.post("/password", content_length=MOST_BYTES + 1)

    assert answer.status_code == 413


def test_more_parts_than_the_limit_are_refused(as_: As):
    clerk = as_("clerk")
    many = {f"x{number}": "1" for number in range(MOST_PARTS + 1)}
    answer = clerk.client.post("/password", data=many, content_type="multipart/form-data")

    assert answer.status_code == 413


def test_a_page_that_does_not_exist_says_so(as_: As):
    answer = as_("reader").get("/nothing")

    assert (answer.status_code, "There is no such page" in answer.text) == (404, True)
    assert 'aria-label="Rooms"' in answer.text


@pytest.mark.parametrize(
    ("path", "ends"),
    [
        *((f"/{room}?skip={'9' * 30}", 200) for room in ("due", "forms", "notes", "doubts")),
        ("/due?skip=-1", 200),
        (f"/tables?q={'a+' * 3000}", 200),
        (f"/tables?q={'x' * 60_000}", 200),
        ("/tables?q=%00", 200),
        ("/tables?q=%ED%A0%80", 200),
        (f"/tables/{'9' * 5000}", 400),
        ("/pictures/{form}/*/0/photo.jpg", 400),
        ("/pictures/{form}/../0/photo.jpg", 400),
        (f"/pictures/{{form}}/{'a' * 64}/{'9' * 30}/photo.jpg", 400),
        (f"/F1/{{form}}/{'9' * 30}", 404),
        ("/forms/{form}/value?field=%00", 400),
        ("/static/..%2fapp.py", 404),
        ("/static/%2e%2e/app.py", 404),
        ("/fonts/..%2f..%2fpyproject.toml", 404),
        ("/calendar/%00.ics", 404),
    ],
)
def test_no_address_makes_the_desk_stumble(clerk: Visitor, hall: Hall, path: str, ends: int):
    assert clerk.get(path.format(form=hall.form)).status_code == ends


@pytest.mark.parametrize(
    ("path", "sent"),
    [
        ("/tables/{table}/action", {"result": "gone", "action": "x"}),
        ("/tables/{table}/action", {"result": "done", "action": "\x00"}),
        ("/due/round", {"table": ["x", "9" * 400]}),
        ("/forms/{form}/value", {"field": "air.humidity", "value": "1e400", "why": "x"}),
        ("/forms/{form}/value", {"field": "air.humidity", "value": "NaN", "why": "x"}),
        ("/forms/{form}/value", {"field": "air.humidity", "value": "9" * 5000, "why": "x"}),
        ("/intake", {"form": "zzz"}),
    ],
)
def test_no_answer_makes_the_desk_stumble(
    clerk: Visitor, busy: Office, hall: Hall, path: str, sent: dict
):
    table = busy.store.form(hall.form).table

    assert clerk.post(path.format(form=hall.form, table=table), sent).status_code == 400


@pytest.mark.parametrize("path", ["/people", "/people/some-reader/role"])
def test_a_role_that_is_none_is_refused(as_: As, desk: Desk, path: str):
    before = desk.people.all()
    sent = {"name": "new", "password": PASSWORD, "role": "owner"}

    assert as_("administrator").post(path, sent).status_code == 400
    assert desk.people.all() == before


def test_the_typeface_is_the_papers_own(visitor: Visitor):
    assert visitor.get("/fonts/inter-regular.woff2").data[:4] == b"wOF2"


def test_no_other_file_is_given_as_a_typeface(visitor: Visitor):
    assert visitor.get("/fonts/OFL.txt").status_code == 404


HOSTILE = '<script>x</script>"><img src=x>{{7*7000}}'
SHOWN = "&lt;script&gt;x&lt;/script&gt;&#34;&gt;&lt;img src=x&gt;{{7*7000}}"


def test_hostile_words_in_every_field_of_a_table_stand_as_they_were_typed(
    busy: Office, clerk: Visitor, hall: Hall, tmp_path: Path
):
    text = (INVENTED / "short.toml").read_text()
    text = text.replace("Nook Table", HOSTILE.replace('"', '\\"'))
    text = text.replace("Thimble Inn (invented), back room", HOSTILE.replace('"', '\\"'))
    path = tmp_path / "hostile.toml"
    path.write_text(text)
    table = register(busy, path).table.number
    printed = print_form(busy, "card", table).layout.form
    told = dict.fromkeys(vars(Contact()), HOSTILE)
    clerk.post(f"/tables/{table}/contact", told)
    action = acting(busy, story(busy, table))[0].action.id
    clerk.post(f"/tables/{table}/action", {"action": action, "result": "done", "why": HOSTILE})
    fixed = {"field": "B1.pass1.found", "value": "4", "why": HOSTILE}
    clerk.post(f"/forms/{hall.form}/value", fixed)
    pages = {
        path: clerk.get(path).text
        for path in (
            *("/tables", f"/tables/{table}", "/due", "/due?by=place", "/forms"),
            *(f"/forms/{printed}", f"/F1/{printed}/1"),
            f"/forms/{hall.form}/value?field=B1.pass1.found",
        )
    }

    assert not [path for path, page in pages.items() if "<script>x" in page or "<img src=x" in page]
    assert not [path for path, page in pages.items() if "49000" in page]
    assert [path for path, page in pages.items() if SHOWN not in page] == []


def test_nothing_secret_is_logged(visitor: Visitor, desk: Desk, caplog, capfd):
    """OWASP ASVS 5.0, 16.2.5: no password, code or session number in any log."""
    caplog.set_level(0)
    visitor.sign_in("some-clerk", "not the password")
    visitor.sign_in("some-administrator")
    visitor.get("/nothing?word=hidden")
    cookie = visitor.client.get_cookie("desk").value
    (kept,) = desk.memory.rows("SELECT secret FROM factors")
    out, err = capfd.readouterr()
    said = caplog.text + out + err + "".join(str(line) for line in desk.diary.lines())

    secrets = (PASSWORD, "not the password", cookie, kept["secret"], desk.memory.word("calendar"))
    assert [one for one in secrets if one in said] == []
