"""How the desk says values, boxes and how far a form has come; read aloud, each is a sentence's."""

import pytest

from forms.field import Box, Option, Scale
from passport.desk.words import box, sentence, state, with_unit
from passport.records.form_state import FormState

PLACE = Box(0, 0, 5, 5)
COUNTS = Scale(
    "B1",
    "B1 found",
    "card",
    (Option(-2, PLACE, bound=True), Option(1, PLACE), Option(8, PLACE, bound=True)),
)


@pytest.mark.parametrize(
    ("value", "said"),
    [(-2, "−2 cards or less"), (1, "1 card"), (3, "3 cards"), (8, "8 cards or more")],
)
def test_a_count_at_its_scales_end_says_that_more_may_be_meant(value: int, said: str):
    assert with_unit(value, COUNTS) == said


def test_each_box_says_what_it_stands_for():
    assert [box(one) for one in COUNTS.options] == ["−2 or less", "1", "8 or more"]


@pytest.mark.parametrize(
    ("of", "said"),
    [
        (FormState.PRINTED, "out"),
        (FormState.PARTLY_IN, "incomplete"),
        (FormState.IN, "all in, with doubts"),
        (FormState.SETTLED, "settled"),
        (FormState.CLOSED, "closed"),
    ],
)
def test_a_form_stands_as_the_list_of_forms_says(of: FormState, said: str):
    assert state(of) == said


def test_a_sentence_begins_with_a_capital_letter_and_keeps_all_others():
    assert [sentence("three lanes, end A"), sentence("")] == ["Three lanes, end A", ""]
