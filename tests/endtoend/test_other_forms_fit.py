"""Every kind of form but the service form keeps its page budget, crowds nothing, says its words."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from forms.crowding import collisions
from forms.field import boxes_of
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.path import extent, steps
from forms.place import Placed, place
from passport.table_file import read_table
from passport.visits import KINDS

INVENTED = Path(__file__).parents[2] / "passport" / "invented"
PAGES = {"kit": 1, "surface": 1, "card": 1, "survey": 2, "installation": 2, "spare": 3}
CASES = [
    pytest.param((kind, name, units, paper), id=f"{kind}-{name}-{units}-{paper.name}")
    for kind in PAGES
    for name in ("long", "short")
    for units in ("imperial", "metric")
    for paper in Paper
]


def placed(kind: str, name: str, units: str, paper: Paper, technicians: int = 3) -> Placed:
    table = read_table((INVENTED / f"{name}.toml").read_text(), name, "100000181")
    form = KINDS[kind].form(
        replace(table, units=units),
        printed_on=date(2026, 11, 2),
        last_visit=None,
        technicians=[f"Invented Longername the {n}th" for n in range(technicians)],
    )
    return place(form, paper, FormNumber.new())


@pytest.fixture(scope="module", params=CASES)
def done(request: pytest.FixtureRequest) -> Placed:
    return placed(*request.param)


def test_every_kind_but_the_service_form_is_laid_out_here():
    assert PAGES.keys() == KINDS.keys() - {"service"}


def test_form_keeps_its_page_budget(done):
    assert len(done.layout.pages) == PAGES[done.form.kind]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("count", [0, 9, 16])
@pytest.mark.parametrize("kind", PAGES)
def test_long_list_of_technicians_keeps_the_page_budget(kind, count, paper):
    assert len(placed(kind, "long", "imperial", paper, count).layout.pages) == PAGES[kind]


def test_no_text_lies_over_another_or_over_a_box(done):
    assert collisions(done) == ()


def test_texts_are_large_enough_to_read_at_arms_length(done):
    assert min(text.size_pt for block in done.form.blocks for text in block.texts) >= 7.0


def test_boxes_are_large_enough_and_keep_white_between_them(done):
    for page in done.layout.pages:
        boxes = sorted(box for field in page.fields for box in boxes_of(field))
        assert min(min(box.width, box.height) for box in boxes) >= 4.5
        for index, one in enumerate(boxes):
            for other in boxes[index + 1 :]:
                apart_x = other.x - (one.x + one.width)
                apart_y = max(one.y, other.y) - min(one.y + one.height, other.y + other.height)
                if apart_x > 0.7:
                    break
                assert max(apart_x, apart_y) > 0.7, (one, other)


def test_strokes_keep_out_of_the_boxes(done):
    for block in done.form.blocks:
        boxes = [box for field in block.fields for box in boxes_of(field)]
        for stroke in block.strokes:
            if stroke.fill is not None or "A" in stroke.path or len(steps(stroke.path)) > 2:
                continue
            left, top, right, bottom = extent(stroke.path)
            for box in boxes:
                beside = right < box.x or left > box.x + box.width
                assert beside or bottom < box.y or top > box.y + box.height, (block.name, box)


def test_form_never_says_safe(done):
    said = " ".join(text.text for block in done.form.blocks for text in block.texts).lower()

    assert "safe" not in said.replace("unsafe", "").replace("safety data sheet", "")
