"""The page of next actions: how closely it is set, who is needed, where cautions stand."""

from dataclasses import replace
from datetime import datetime
from io import BytesIO

import pypdfium2
import pytest

from forms.paper import Paper
from passport.documents import texts
from passport.documents.action import Action, Step
from passport.documents.actions import actions_pdf
from passport.documents.worklist import action_list, look_first
from passport.leveling.advice import Verdict
from passport.visits.kind import LookFirst

CLOCK = datetime(2026, 11, 24, 9, 30)


def pages(pdf: bytes) -> list[str]:
    return [
        " ".join(page.get_textpage().get_text_range().replace("\ufffe", "-").split())
        for page in pypdfium2.PdfDocument(BytesIO(pdf))
    ]


@pytest.fixture(scope="module")
def close(story) -> list[str]:
    """Six moves on one page of letter paper."""
    decided = tuple(replace(state, verdict=Verdict.IN) for state in story.advice.state)
    advice = replace(story.advice, state=decided, withheld=())
    return pages(actions_pdf(replace(story, advice=advice), Paper.LETTER, CLOCK))


def test_five_moves_of_the_longest_table_are_one_page(close):
    assert len(close) == 1


def test_closely_set_page_keeps_what_the_hand_must_know(close):
    assert "24 mm of thread may still come out." in close[0]


def test_each_caution_stands_whole_where_it_is_met_first(close):
    for caution in (texts.Caution.FOOT, texts.Caution.UNDER, texts.Caution.AEROSOL):
        assert close[0].count(str(caution)) == 1


def test_caution_that_stood_before_is_pointed_at_beside_its_step(close):
    assert "Jam nut … as at 2." in close[0]


def test_page_says_how_many_people_are_needed(close):
    assert "Two where feet are turned" in close[0]


def test_work_without_feet_is_for_one(story):
    decided = tuple(replace(state, verdict=Verdict.IN) for state in story.advice.state)
    advice = replace(story.advice, moves=(), state=decided, look_again=())

    assert (
        "One, if nothing is lifted."
        in pages(actions_pdf(replace(story, advice=advice), Paper.A4, CLOCK))[0]
    )


def test_next_form_looks_first_at_what_is_open(story):
    first = look_first(action_list(story.table, story.visits, story.advice))

    assert first.lines[0] == "turned last time, read as found: L1 and B2"
    assert first.lines[1].startswith("turn planned: ")
    assert "B1" in first.stations


def test_next_form_leaves_out_what_was_closed_and_what_ends_every_visit():
    turn = Action("F/a", Step.BRACKETS, "B1", "", "", "Inner nut", "", turns=2, stations=("B1",))
    shots = Action("F/shots", Step.PROVE, "", "", "", "Shoot.", "")

    assert look_first((turn, shots)) == LookFirst(("turn planned: B1",), frozenset({"B1"}))
    assert look_first((turn, shots), {"F/a"}) == LookFirst()


def test_next_form_names_an_end_and_what_was_noted_of_the_surface():
    rise = Action("F/A/rise", Step.RISE, "A", "", "", "Feet", "", turns=1, stations=("A",))
    dent = Action("F/surface/damaged", Step.SURFACE, "", "", "", "Look.", "")

    assert look_first((rise, dent)).lines == (
        "turn planned: end A",
        "surface: dent or crack noted",
    )


@pytest.mark.parametrize("paper", list(Paper))
def test_all_turns_of_the_longest_table_are_one_page(story, paper):
    """Three legs and eight brackets to turn, and what goes with them: seventeen actions."""
    by_letter = {move.station[0]: move for move in reversed(story.advice.moves)}
    moves = tuple(
        replace(by_letter[name[0]], station=name)
        for name in ("L1", "L3", "L5", *(f"B{n}" for n in range(1, 9)))
    )
    decided = tuple(replace(state, verdict=Verdict.IN) for state in story.advice.state)
    advice = replace(story.advice, moves=moves, state=decided)

    (page,) = pages(actions_pdf(replace(story, advice=advice), paper, CLOCK))
    assert page.count("3 quarters of a turn") == 11
    assert page.count("If 1 or 2 cards pass") == 8
    assert page.count("0.51 mm is asked for.") == 8
