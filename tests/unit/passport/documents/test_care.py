"""The customer's page: what it says, what it never says, what it weighs."""

import gzip
import re
from base64 import b64encode
from dataclasses import replace
from datetime import date
from hashlib import sha256
from html import unescape
from urllib.parse import parse_qs, unquote, urlsplit

import pytest

from forms.numbers import CareToken
from passport.documents import hosting, texts
from passport.documents.care import (
    Use,
    Written,
    care_html,
    message_links,
    moisture_bow_mm,
    write_care,
)
from passport.leveling.advice import Verdict
from passport.settings import Settings
from passport.table import Board

TODAY = date(2026, 11, 24)
FIRST, SECOND = CareToken("7ZK2M04QX9RJ1B5T"), CareToken("0123456789ABCDEF")


def care(story, **changes) -> str:
    given = {"today": TODAY, "settings": Settings(phone="+1 555 010 0199")} | changes
    return care_html(story.table, story.advice, given.pop("settings"), **given)


def words(html: str) -> str:
    body = html[html.index("<body>") :]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


@pytest.mark.parametrize("caution", texts.CUSTOMER_CAUTIONS)
def test_care_page_carries_each_caution(story, caution):
    assert caution in words(care(story))


def test_care_page_names_children_first():
    assert texts.CUSTOMER_CAUTIONS[0].startswith("Children")


@pytest.mark.parametrize(
    "heading",
    [
        "Today, whenever you play",
        "Each week",
        "Each month",
        "What humidity does",
        "In the heating season",
        "In a heat wave or a damp spell",
        "Call the office when",
    ],
)
def test_care_page_has_its_headings(story, heading):
    assert f"<h2>{heading}</h2>" in care(story)


def test_care_page_says_which_humidity_to_keep_and_why(story):
    assert "between 35 and 55 % relative humidity , and steady" in words(care(story))
    assert (
        "the playing surface bends by 0.028 to 0.059 in; the hollow it is set to is 0.020 in."
        in (care(story))
    )


def test_moisture_bow_of_a_maple_board_agrees_with_the_handbook_coefficients():
    """Wood Handbook FPL-GTR-190, table 13-5: 0.00165 and 0.00353 per 1 %, over 20 × 3 in.

    20² / (8 × 3) × C = 0.0275 and 0.0588 in.
    """
    bow = tuple(value / 25.4 for value in moisture_bow_mm(508, 76.2))

    assert bow == pytest.approx((0.0275, 0.05883), abs=5e-5)


def test_care_page_of_another_wood_gives_no_figure(story):
    table = replace(story.table, board=Board(2743, 508, 76, "beech"))

    assert "When its top and underside differ, the board bends." in care(
        replace(story, table=table)
    )


@pytest.mark.parametrize(
    ("today", "said"),
    [
        (date(2026, 11, 24), "January 2027. The office will call to agree on a day."),
        (date(2027, 1, 31), "January 2027. The office will call to agree on a day."),
        (date(2027, 2, 1), "A visit was due in January 2027. Please call the office."),
    ],
)
def test_care_page_says_when_the_next_visit_is(story, today, said):
    assert f"<dd>{said}</dd>" in care(story, today=today)


def test_care_page_without_a_planned_visit_says_so(story):
    unplanned = replace(story, advice=replace(story.advice, next_visit=None))

    assert "Not planned yet. Please call the office to agree on one." in care(unplanned)


def test_care_page_of_a_stopped_table_opens_with_out_of_use(story):
    html = care(story, use=Use.STOPPED)

    assert "Out of use until checked" in words(html).split("Next visit")[0]


def test_care_page_of_an_open_table_does_not_say_out_of_use(story):
    assert "Out of use" not in care(story)


def test_care_page_names_no_person_site_or_token(story):
    seeded = replace(
        story.table, name="Mr Customer-Name", site="12 Site Street", office_phone="+1 555 010 0199"
    )
    html = care(replace(story, table=seeded))

    found = [
        w for w in ("Customer-Name", "Site Street", "AB", "9f2c41d0", "/T/") if w in words(html)
    ]
    assert found == []


def test_care_page_loads_nothing_and_runs_nothing(story):
    html = care(story)

    assert re.findall(r"<script|\son\w+=|https?:|url\(|@import|<iframe|<form|style=", html) == []


def test_care_page_has_a_strict_policy_with_the_hash_of_its_style(story):
    html = care(story)
    style = re.search(r"<style>(.*)</style>", html, re.DOTALL)[1]
    hashed = b64encode(sha256(style.encode()).digest()).decode()

    assert (
        f"default-src 'none'; style-src 'sha256-{hashed}'; img-src data:; base-uri 'none'; "
        "form-action 'none'"
    ) in html


@pytest.mark.parametrize(
    "tag",
    [
        '<meta name="robots" content="noindex, nofollow, noarchive">',
        '<meta name="referrer" content="no-referrer">',
        '<link rel="icon" href="data:,">',
        '<html lang="en">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        '<a class="call" href="tel:+15550100199">',
    ],
)
def test_care_page_holds(story, tag):
    assert tag in care(story)


def test_care_page_escapes_what_people_wrote(story):
    html = care(story, settings=Settings(phone="<script>alert(1)</script>"))

    assert "<script" not in html


def test_care_page_weighs_at_most_14_kilobytes_compressed(story):
    assert len(gzip.compress(care(story, use=Use.STOPPED).encode())) <= 14_000


def luminance(colour: str) -> float:
    """WCAG 2.2, relative luminance."""
    if len(colour) == 4:
        colour = "#" + "".join(c * 2 for c in colour[1:])
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize(
    ("ground", "inks"),
    [("#fff", ("#111", "#4a4a4a", "#0b4fa0", "#a30000")),
     ("#121212", ("#f0f0f0", "#bdbdbd", "#9cc7ff", "#ff8a80"))],
)  # fmt: skip
def test_care_page_colours_have_enough_contrast(story, ground, inks):
    """WCAG 2.2, 1.4.3 (AA): at least 4.5 to 1, light and dark."""
    html = care(story)

    ratios = {
        ink: (max(luminance(ink), luminance(ground)) + 0.05)
        / (min(luminance(ink), luminance(ground)) + 0.05)
        for ink in inks
    }
    assert all(ink in html for ink in (ground, *inks))
    assert [ink for ink, ratio in ratios.items() if ratio < 4.5] == []


def test_care_pages_lie_where_the_code_leads(tmp_path):
    write_care(tmp_path, [(FIRST, "one"), (SECOND, "two")])

    files = {str(p.relative_to(tmp_path)): p.read_text() for p in tmp_path.rglob("index.html")}
    assert files == {
        "index.html": "",
        "T/index.html": "",
        "T/7ZK2M04QX9RJ1B5T/index.html": "one",
        "T/0123456789ABCDEF/index.html": "two",
    }


def test_care_page_says_when_the_last_visit_was_and_how_it_left_the_table(story):
    told = replace(story.advice, as_of=date(2026, 10, 12), verdict=Verdict.OUT)

    assert (
        "Last visit October 2026. Some places still have to be set; the next visit goes on with "
        "them." in words(care(replace(story, advice=told)))
    )


@pytest.mark.parametrize("verdict", list(Verdict))
def test_care_page_has_words_for_every_verdict(verdict):
    assert texts.LAST_VISIT[verdict].endswith(".")


def test_ready_made_messages_name_the_table(story):
    """Read back by the standard library's own parser."""
    table = replace(story.table, number="989838732")
    links = message_links(table, "+1 (555) 010-0199", "office+care@care.example")

    read = {words: urlsplit(link) for words, link in links.items()}
    said = {words: parse_qs(one.query, strict_parsing=True) for words, one in read.items()}
    assert {words: (one.scheme, unquote(one.path)) for words, one in read.items()} == {
        "Write to office+care@care.example": ("mailto", "office+care@care.example"),
        "Send a text message": ("sms", "+15550100199"),
    }
    assert said["Write to office+care@care.example"]["subject"] == ["Table 989 8387 32"]
    assert said["Send a text message"]["body"][0].splitlines()[0] == "Table 989 8387 32"


def test_office_without_telephone_or_address_is_found_on_the_label(story):
    table = replace(story.table, office_phone=None)

    html = care(replace(story, table=table), settings=Settings())

    assert ("call" not in re.findall(r'class="(\w+)"', html), "on the label" in words(html)) == (
        True,
        True,
    )


def test_every_other_address_shows_one_page_that_says_nothing_of_any_table():
    html = hosting.not_found_html()

    assert words(html).startswith("No page here Scan the code on the table’s label once more")
    assert f'content="{hosting.policy()}"' in html


@pytest.mark.parametrize("settings", ["_headers", ".htaccess", "nginx", "caddy"])
def test_settings_for_each_host_send_every_header(settings):
    text = {**hosting.files(), **{name: make() for name, make in hosting.SERVERS.items()}}[settings]

    missing = [value for value in hosting.headers().values() if value not in text]
    assert missing == []


def test_headers_file_is_as_hosts_of_static_pages_document_it():
    """Pattern, then indented ``Name: value`` lines; the sources are named in ``hosting``.

    One host takes at most 2,000 characters a line and one ``*`` a pattern.
    """
    pattern, *lines = hosting.files()["_headers"].splitlines()

    assert pattern == "/*"
    assert all(re.fullmatch(r"  [A-Z][A-Za-z-]+: \S.*", line) for line in lines)
    assert max(map(len, lines)) <= 2000


def test_pages_bring_the_settings_of_hosts_and_the_page_for_all_other_addresses(tmp_path):
    write_care(tmp_path, [(FIRST, "one")])

    assert {path.name: path.read_text() for path in tmp_path.iterdir() if path.is_file()} == {
        "index.html": "",
        **hosting.files(),
    }


def test_only_pages_that_say_something_new_are_written(story, tmp_path):
    first, later = (care(story, today=date(2026, 11, day)) for day in (3, 24))
    stopped = care(story, today=date(2026, 11, 24), use=Use.STOPPED)
    page = tmp_path / "T" / FIRST.code / "index.html"

    counts = [
        write_care(tmp_path, [(FIRST, text) for text in pages])
        for pages in ([first], [later], [stopped], [])
    ]

    assert counts == [Written(1, 1, 0), Written(1, 0, 0), Written(1, 1, 0), Written(0, 0, 1)]
    assert not page.exists()


def test_a_page_that_says_the_same_keeps_the_day_on_which_it_was_written(story, tmp_path):
    for day in (3, 24):
        write_care(tmp_path, [(FIRST, care(story, today=date(2026, 11, day)))])

    page = (tmp_path / "T" / FIRST.code / "index.html").read_text()
    assert "Written 3 November 2026;" in page


def test_withdrawn_care_page_is_gone_and_other_files_stay(tmp_path):
    write_care(tmp_path, [(FIRST, "one"), (SECOND, "two")])
    (tmp_path / "T" / "notes").mkdir()
    (tmp_path / "index.html").write_text("the office's own")

    write_care(tmp_path, [(SECOND, "three")])

    assert (
        sorted(p.name for p in (tmp_path / "T").iterdir()),
        (tmp_path / "T" / SECOND.code / "index.html").read_text(),
        (tmp_path / "index.html").read_text(),
    ) == (["0123456789ABCDEF", "index.html", "notes"], "three", "the office's own")
