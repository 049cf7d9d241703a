from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from forms.field import Box, Choice, Digits, Note, Option, Scale, Tick
from forms.layout import Code, Layout, Page
from passport.booth import acts
from passport.booth.errors import (
    DoesNotFit,
    NoSuchField,
    NoSuchOption,
    NotOnTheForm,
    WrongKindOfAnswer,
)
from passport.booth.hand import fill, fill_form, written
from passport.booth.pens import PENS
from passport.booth.strokes import lay
from passport.booth.writer import Hand, MarkStyle, some_hand, with_mark

SCALE = 200 / 25.4  # px/mm
SCALE_FIELD = Scale(
    "hollow", "Hollow", "card", tuple(Option(i, Box(8 + 7.2 * i, 10, 4.8, 4.8)) for i in range(6))
)
SIDE = Choice(
    "side", "Low side", (Option("left", Box(8, 22, 5, 5)), Option("right", Box(18, 22, 5, 5)))
)
TICK = Tick("unsafe", "Unsafe", Box(40, 22, 5, 5))
HUMIDITY = Digits(
    "rh", "Humidity", "%", tuple(Box(8 + 7.5 * i, 34, 6.5, 8.5) for i in range(4)), decimals=1
)
NOTE = Note("note", "Notes", Box(8, 50, 70, 25))
PAGE = Page(
    1, 90.0, 85.0, Code("X", Box(70, 5, 15, 15)), (), (SCALE_FIELD, SIDE, TICK, HUMIDITY, NOTE)
)
BLANK = np.full((round(85 * SCALE), round(90 * SCALE)), 255, np.uint8)
BLANK.setflags(write=False)


def ink(picture, box, grow=0.0):
    """Darkness in a box that was made larger all round, summed [mm² of black]."""
    x, y = box.x - grow, box.y - grow
    right, bottom = box.x + box.width + grow, box.y + box.height + grow
    left, top, right, bottom = (round(max(0, v) * SCALE) for v in (x, y, right, bottom))
    return float((255 - picture[top:bottom, left:right, 1].astype(float)).sum()) / 255 / SCALE**2


def total(picture):
    return ink(picture, Box(0, 0, PAGE.width, PAGE.height))


def filled(answers, hand=None, slips=()):
    return fill(BLANK, PAGE, answers, hand or Hand(3), slips)


def box(value):
    return next(option.box for option in SCALE_FIELD.options if option.value == value)


@pytest.mark.parametrize("pen", PENS, ids=lambda pen: pen.name)
@pytest.mark.parametrize("style", MarkStyle)
def test_mark_lands_in_its_box(style, pen):
    for seed in range(8):
        picture = filled({"hollow": 2}, with_mark(some_hand(seed, pen), style))

        assert ink(picture, box(2), grow=0.4) > 0.6 * total(picture) > 0.05


@pytest.mark.parametrize("style", MarkStyle)
def test_mark_stays_out_of_the_neighbours_middle(style):
    for seed in range(20):
        picture = filled({"hollow": 2}, with_mark(some_hand(seed), style))

        assert ink(picture, box(1), grow=-1.2) + ink(picture, box(3), grow=-1.2) == 0


def test_filled_box_holds_more_ink_than_a_cross_and_a_cross_more_than_a_dot():
    styles = (MarkStyle.FILLED, MarkStyle.CROSS, MarkStyle.DOT)
    amounts = [total(filled({"hollow": 2}, Hand(3, mark=style))) for style in styles]

    assert amounts == sorted(amounts, reverse=True)


def test_marks_of_a_careless_hand_cross_the_edge():
    neat, careless = Hand(3, overshoot=0.6, wander=0), Hand(3, overshoot=1.6, wander=0)
    beyond = [
        total(picture) - ink(picture, box(2), grow=0.2)
        for picture in (filled({"hollow": 2}, hand) for hand in (neat, careless))
    ]

    assert (beyond[0], beyond[1] > 0.1) == (0, True)


def test_tick_that_is_false_leaves_no_ink():
    assert total(filled({"unsafe": False})) == 0


def test_true_tick_is_marked():
    assert ink(filled({"unsafe": True}), TICK.box) > 0.3


def test_option_of_a_choice_is_marked_by_its_name():
    picture = filled({"side": "right"})

    assert [ink(picture, option.box) > 0.3 for option in SIDE.options] == [False, True]


@pytest.mark.parametrize(
    ("answer", "text"),
    [
        (Decimal("45.2"), "452"),
        (45, "450"),
        (Decimal("0.4"), "04"),
        (0, "00"),
        ("7", "7"),
        ("  12", "  12"),
        (Decimal("100.0"), "1000"),
    ],
)
def test_number_is_spelt_for_its_boxes(answer, text):
    assert written(HUMIDITY, answer) == text


def test_number_is_written_right_aligned():
    picture = filled({"rh": Decimal("45.2")})

    inked = [ink(picture, one, grow=-0.3) > 0.3 for one in HUMIDITY.boxes]

    assert inked == [False, True, True, True]


def test_digits_stay_in_their_boxes():
    for seed in range(10):
        picture = filled({"rh": "8888"}, some_hand(seed))

        inside = sum(ink(picture, one, grow=0.3) for one in HUMIDITY.boxes)

        assert inside > 0.97 * total(picture)


def test_note_stays_in_its_area():
    text = "bracket 4 outer nut was loose, tightened; glide in lane 2 took 14 s. " * 2
    picture = filled({"note": text})

    assert ink(picture, NOTE.box, grow=0.5) > 0.99 * total(picture) > 5


def test_longer_note_takes_more_ink():
    short, long = (total(filled({"note": text})) for text in ("wax", "wax low, call the office"))

    assert long > 2 * short


@settings(max_examples=25, deadline=None)
@given(st.text(max_size=200), st.integers(0, 50))
def test_any_note_can_be_written(text, seed):
    picture = filled({"note": text}, some_hand(seed))

    assert picture[: round(45 * SCALE)].min() == 255


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 9999), st.integers(0, 50))
def test_any_number_that_fits_inks_as_many_boxes_as_it_has_digits(number, seed):
    picture = filled({"rh": Decimal(number).scaleb(-1)}, some_hand(seed))

    inked = sum(ink(picture, one, grow=-0.3) > 0.2 for one in HUMIDITY.boxes)

    assert inked == max(2, len(str(number)))


def test_same_hand_fills_the_same():
    answers = {"hollow": 1, "rh": 33, "note": "floor changed"}

    assert np.array_equal(filled(answers), filled(answers))


def test_another_hand_fills_differently():
    assert not np.array_equal(filled({"rh": 33}, some_hand(1)), filled({"rh": 33}, some_hand(2)))


def test_changing_one_answer_changes_that_field_only():
    one, other = (filled({"hollow": value, "rh": 33, "unsafe": True}) for value in (1, 4))

    rows = np.flatnonzero((one != other).any(axis=(1, 2))) / SCALE

    assert 7 < rows.min() < rows.max() < 18


def test_filling_leaves_the_blank_as_it_was():
    filled({"hollow": 1})

    assert BLANK.min() == 255


def test_printed_black_stays_black_under_ink():
    black = np.zeros_like(BLANK)

    assert fill(black, PAGE, {"hollow": 1}, Hand(1)).max() == 0


def test_two_marks_ink_two_boxes():
    picture = filled({}, slips=[acts.TwoMarks("hollow", 1, 4)])

    assert [ink(picture, box(i), -0.3) > 0.2 for i in range(6)] == [
        False,
        True,
        False,
        False,
        True,
        False,
    ]


def test_scribbled_out_box_holds_much_more_ink_than_the_right_one():
    picture = filled({}, slips=[acts.ScribbledOut("hollow", 1, 4)])

    assert ink(picture, box(1)) > 2 * ink(picture, box(4)) > 0.4


def test_box_scribbled_out_without_another_stays_alone():
    picture = filled({}, slips=[acts.ScribbledOut("hollow", 1)])

    assert ink(picture, box(1), grow=1.2) > 0.98 * total(picture)


def test_faint_mark_is_pale():
    faint, firm = (
        total(filled({}, slips=[acts.Faint("hollow", 2, pressure)])) for pressure in (0.25, 1.0)
    )

    assert 0.05 * firm < faint < 0.35 * firm


def test_erased_mark_leaves_a_ghost_beside_the_new_one():
    picture = filled({}, slips=[acts.Erased("hollow", 1, then=4)])

    assert 0.05 * ink(picture, box(4)) < ink(picture, box(1)) < 0.7 * ink(picture, box(4))


def test_filled_act_blackens_most_of_the_box():
    picture = filled({}, slips=[acts.Filled("hollow", 2)])

    assert ink(picture, box(2)) > 0.45 * 4.8**2


def test_stroke_through_crosses_every_box_between():
    picture = filled({}, slips=[acts.StrokeThrough((("hollow", 0), ("hollow", 5)))])

    assert min(ink(picture, box(i), -0.3) for i in (1, 2, 3, 4)) > 0.5


def test_stray_line_runs_where_it_is_told():
    picture = filled({}, slips=[acts.Stray((30, 40), (60, 40))])

    assert ink(picture, Box(29, 38.5, 32, 3)) > 0.98 * total(picture) > 5


def test_overwritten_digit_holds_both():
    once = ink(filled({"rh": "3"}), HUMIDITY.boxes[3])

    assert (
        ink(filled({}, slips=[acts.Overwritten("rh", 3, "3", "8")]), HUMIDITY.boxes[3]) > 1.3 * once
    )


def test_struck_out_digit_has_the_right_one_above():
    picture = filled({}, slips=[acts.StruckOut("rh", 2, "5", "6")])
    struck = HUMIDITY.boxes[2]

    assert min(ink(picture, one) for one in (struck, struck.moved(0, -8))) > 0.3


def test_ditto_is_two_short_strokes_in_the_box():
    picture = filled({}, slips=[acts.Ditto("hollow", 2)])

    assert ink(picture, box(2)) > 0.98 * total(picture) > 0.2


def test_unknown_field_is_refused():
    with pytest.raises(NoSuchField) as caught:
        filled({"crown": 1})

    assert str(caught.value) == (
        "Page 1 has no field 'crown'. Give answers for this page's fields only."
    )


def test_unknown_option_is_refused():
    with pytest.raises(NoSuchOption) as caught:
        filled({"side": "middle"})

    assert str(caught.value) == (
        "Field 'side' has no box for 'middle'. Its boxes are: left, right."
    )


@pytest.mark.parametrize("answer", [Decimal("45.25"), -1, 1000, "12345"])
def test_number_that_does_not_fit_is_refused(answer):
    with pytest.raises(DoesNotFit) as caught:
        filled({"rh": answer})

    assert str(caught.value) == (
        f"{answer} can't be written into field 'rh': it has 4 digit boxes, 1 of them behind the "
        "point, and none for a sign. Round the number, or mark its sign in the sign's own field."
    )


@pytest.mark.parametrize(
    ("field", "answer", "wanted"),
    [
        ("unsafe", 1, "True or False"),
        ("note", 3, "a text"),
        ("rh", "4.5", "a number, or a text of digits and blanks"),
        ("rh", True, "a number, or a text of digits and blanks"),
    ],
)
def test_answer_of_another_kind_is_refused(field, answer, wanted):
    with pytest.raises(WrongKindOfAnswer) as caught:
        filled({field: answer})

    assert str(caught.value) == f"Field '{field}' was given {answer!r}. Give {wanted}."


def test_digit_box_beyond_the_field_is_refused():
    with pytest.raises(NoSuchOption) as caught:
        filled({}, slips=[acts.Overwritten("rh", 4, "1", "2")])

    assert str(caught.value) == "Field 'rh' has no box for 4. Its boxes are: 0, 1, 2, 3."


def test_form_is_filled_page_by_page():
    second = Page(2, 90.0, 85.0, PAGE.code, (), (replace(TICK, id="wax"),))
    layout = Layout("F1", "service", "T1", (PAGE, second))

    pages = fill_form([BLANK, BLANK], layout, {"unsafe": True, "wax": True}, Hand(1))

    assert [ink(page, TICK.box) > 0.3 for page in pages] == [True, True]


def test_answer_that_no_page_asks_for_is_refused():
    layout = Layout("F1", "service", "T1", (PAGE,))

    with pytest.raises(NotOnTheForm) as caught:
        fill_form([BLANK], layout, {"crown": 1, "unsafe": True, "moon": 2}, Hand(1))

    assert str(caught.value) == (
        "Form F1 has no field crown, moon. Give answers for this form's fields only."
    )


def test_no_strokes_leave_no_ink():
    sheet = np.full((50, 50, 3), 255, np.uint8)
    lay(sheet, (), Hand(1).pen, np.random.default_rng(1), SCALE)

    assert sheet.min() == 255
