from dataclasses import replace
from xml.etree import ElementTree

import pytest

from passport.documents.relief import relief_svg, relief_words, surface_map
from passport.leveling.relief import relief

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def laid(story):
    return relief(story.table, story.visits)


def test_the_map_names_every_station_and_both_ends(story, laid):
    texts = {one.text for one in ElementTree.fromstring(relief_svg(story.table, laid, 170)).iter()}

    names = {one.name for one in (*story.table.legs, *story.table.brackets)}
    assert names | {"A", "B", "left", "right"} <= texts


def test_every_drawn_height_is_a_contour_of_the_relief(story, laid):
    drawn = ElementTree.fromstring(relief_svg(story.table, laid, 170))
    heights = {f"{one.height / 25.4:.3f}" for one in laid.contours}

    labels = {one.text for one in drawn.iter(f"{SVG}text") if "." in (one.text or "")}
    assert labels <= heights | {f"\u2212{height[1:]}" for height in heights}


def test_the_words_name_both_definitions_and_a_95_percent_interval(story, laid):
    said = " ".join(relief_words(story.table, laid))

    assert all(word in said for word in ("least squares", "minimum zone", "(95 %)"))


def test_a_table_without_visits_has_no_map(story):
    assert surface_map(replace(story, visits=()), 170) is None
