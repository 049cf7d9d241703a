"""Parts of the passport: courses over time, the year to come, what is new, the booklet."""

import re
from base64 import b64decode
from dataclasses import replace
from datetime import date, datetime
from io import BytesIO
from xml.etree import ElementTree

import pikepdf
import pypdfium2
import pytest

from forms.paper import Paper
from passport.documents.courses import Point, chart_svg, courses
from passport.documents.house import drawing_svg, picture
from passport.documents.news import news
from passport.documents.passport import booklet_pdf
from passport.documents.yearly import yearly
from passport.drawing import draw
from passport.leveling.advice import Verdict
from passport.leveling.standing import MOST_VISITS

CLOCK = datetime.fromisoformat("2026-11-24T09:30:00+00:00")


@pytest.fixture(scope="module")
def booklet(paper_of) -> bytes:
    return paper_of(booklet_pdf, Paper.LETTER)


def shapes(svg: str, name: str) -> list[dict[str, str]]:
    root = ElementTree.fromstring(svg)
    return [one.attrib for one in root if one.tag.endswith(name)]


def test_every_station_has_a_chart(story):
    found = [chart.station for group in courses(story) for chart in group.charts]

    assert found == ["L1", "L3", "L5", *(f"B{n}" for n in range(1, 9)), "ends"]


def test_chart_says_in_words_what_it_shows(story):
    words = courses(story)[1].charts[1].words

    assert words.startswith("B2 over time, in, target 0.020 ± 0.0075. 11 February 2026: found ")


def test_new_table_has_no_charts(story):
    assert courses(replace(story, visits=())) == ()


def test_charts_hold_the_newest_visits_only(story):
    dated = [replace(story.visits[0], date=date(2010 + n, 1, 1)) for n in range(MOST_VISITS + 3)]
    words = courses(replace(story, visits=tuple(dated)))[0].charts[0].words

    assert ("1 January 2012" in words, "1 January 2013" in words) == (False, True)


def test_dot_stands_in_the_band_where_its_value_lies_in_the_tolerance(story):
    """The plot is 21 mm high and shows 2.5 tolerances up and down: one is 4.2 mm."""
    left = replace(story.advice.state[0], value=0.4, low=0.2, high=0.6)
    drawn = chart_svg(story.table, (Point(date(2026, 9, 3), left, left),))

    assert [float(dot["cy"]) for dot in shapes(drawn, "circle")] == pytest.approx([9.4, 9.4])


def test_value_far_beyond_becomes_an_arrow(story):
    far = replace(story.advice.state[0], value=9.0, low=8.0, high=10.0)
    drawn = chart_svg(story.table, (Point(date(2026, 9, 3), far, far),))

    assert shapes(drawn, "circle") == []
    assert sum("l-0.7 1.5h1.4Z" in path["d"] for path in shapes(drawn, "path")) == 2


def test_year_says_its_ends_and_what_it_rests_on(story):
    found = yearly(story, 170.0)

    assert found is not None
    assert "Dry end" in found.words
    assert found.lines[0].startswith("Seasons rest on ")


@pytest.mark.parametrize("change", [{"visits": ()}, {"today": None}])
def test_without_visits_or_a_day_no_year_is_foretold(story, change):
    assert yearly(replace(story, **change), 170.0) is None


def test_news_name_the_visit_the_verdicts_and_the_next_visit(story):
    worse = replace(story.advice.state[0], verdict=Verdict.OUT)
    advice = replace(story.advice, state=(worse, *story.advice.state[1:]))
    former = replace(story.advice, as_of=date(2026, 2, 11), next_visit=date(2026, 8, 1))

    assert news(replace(story, advice=advice, former=former)) == (
        "Service visit of 3 September 2026 by AB.",
        "Cross level: L1 now outside, was within.",
        "Next visit: January 2027, was August 2026.",
    )


def test_first_passport_has_no_news(story):
    assert news(replace(story, former=None)) == ()


def test_nothing_new_is_said_so(story):
    same = replace(story.advice, as_of=date(2026, 9, 3))

    assert news(replace(story, former=same)) == ("Nothing.",)


def test_booklet_opens_with_its_cover_and_counts_on(booklet):
    pdf = pypdfium2.PdfDocument(BytesIO(booklet))
    halves = []
    for side in pdf:
        width, height = side.get_size()
        text = side.get_textpage()
        for left, right in ((0, width / 2), (width / 2, width)):
            halves.append(text.get_text_bounded(left, 0, right, height))
    pages = len(halves)
    shown = [int(half.split(" of ")[-2].split("page ")[-1]) for half in halves]

    assert pages % 4 == 0
    assert shown == [
        page
        for sheet in range(pages // 4)
        for page in (pages - 2 * sheet, 1 + 2 * sheet, 2 + 2 * sheet, pages - 1 - 2 * sheet)
    ]
    assert "TABLE PASSPORT" in halves[1]


def test_booklet_keeps_title_language_and_tags(booklet):
    with pikepdf.open(BytesIO(booklet)) as document:
        kinds = {
            str(item.S)
            for item in document.objects
            if isinstance(item, pikepdf.Dictionary) and item.get("/Type") == "/StructElem"
        }
        with document.open_metadata() as metadata:
            said = (metadata["pdfuaid:part"], str(document.Root.Lang))

    assert said == ("1", "en")
    assert {"/H1", "/H2", "/Table", "/TH", "/Figure"} <= kinds


def test_same_booklet_and_clock_give_the_same_bytes(story, booklet):
    assert booklet_pdf(story, Paper.LETTER, CLOCK) == booklet


def test_text_in_drawings_names_the_shipped_face_and_then_any_without_serifs(story):
    drawn = [chart.picture for group in courses(story) for chart in group.charts]
    drawn.append(picture(drawing_svg(draw(story.table, 180.0, 52.0))))
    texts = [b64decode(one.partition(",")[2]).decode() for one in drawn]
    families = {family for text in texts for family in re.findall(r'font-family="([^"]*)"', text)}

    assert families == {"Form, sans-serif"}
