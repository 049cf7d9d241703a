"""What every answer of the desk says to a browser, and what no page can be made to say."""

from collections.abc import Callable
from pathlib import Path

import pytest
from flask import Flask

import passport.desk
from passport.desk.app import MOST_BYTES, MOST_PARTS

from .conftest import Visitor
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


def test_the_typeface_is_the_papers_own(visitor: Visitor):
    assert visitor.get("/fonts/inter-regular.woff2").data[:4] == b"wOF2"


def test_no_other_file_is_given_as_a_typeface(visitor: Visitor):
    assert visitor.get("/fonts/OFL.txt").status_code == 404
