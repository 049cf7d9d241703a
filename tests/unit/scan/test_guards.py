"""Each guard can be loosened alone, and then lets through what it stops."""

from dataclasses import replace
from decimal import Decimal
from math import inf

import numpy as np
import pytest

from forms.field import Box, Digits, Expectation
from scan.cells import Cell
from scan.digits import checked, read_number
from scan.errors import MarksDisagree
from scan.fiducials import Fiducial
from scan.glyph import Glyph
from scan.guards import GUARDS, Held
from scan.marks import BoxInk, Level, read_choice
from scan.network import HERE, Guess, digit_network
from scan.page import flatten
from scan.pen import Norm, narrowed
from scan.read import read_photo
from scan.reading import Reading, Status, Why

FIELD = Digits("n", "", "mm", (Box(0, 0, 6.5, 8.5),), 0, 0, 99, expect=Expectation(50, 1))
GLYPH = Glyph(np.zeros((28, 28), np.float32), 0.6, 0.8, 0.1, 0.4)


def sure(value: object) -> Reading:
    return Reading(Status.SURE, value, 0.999)  # type: ignore[arg-type]


def test_a_page_that_is_not_flat_gives_values_without_the_guard_of_its_residual(
    printed, save, layout_of
):
    photo = save(printed)

    bent = replace(GUARDS, residual_mm=-1.0, outlines_mm=-1.0)
    strict = read_photo(photo, layout_of, guards=bent)
    loose = read_photo(photo, layout_of, guards=replace(GUARDS, residual_mm=inf))

    assert [
        {one.status for one in found.pages[0].fields.values()} for found in (strict, loose)
    ] == [
        {Status.DOUBTFUL},
        {Status.EMPTY, Status.SURE},
    ]


def test_a_number_on_a_bent_page_is_judged_by_the_outlines_of_its_own_boxes(
    printed, layout, save, layout_of
):
    washed = printed.copy()
    box = next(one for one in layout.pages[0].fields if one.id == "humidity").boxes[0]
    x, y, tall = (round(8 * length) for length in (box.x, box.y, box.height))
    washed[y : y + tall, x - 4 : x + 5] = 255  # one side of one box

    bent = replace(GUARDS, residual_mm=-1.0)
    whole, torn = (
        read_photo(save(one), layout_of, guards=bent).pages[0] for one in (printed, washed)
    )

    assert [page.fields["humidity"].status for page in (whole, torn)] == [
        Status.EMPTY,
        Status.DOUBTFUL,
    ]
    assert whole.fields["number"].why is Why.WITNESS  # its sign is a mark
    assert {whole.fields[name].status for name in ("count.2", "tick.2")} == {Status.DOUBTFUL}


def test_what_a_bent_page_still_tells_surely_is_not_named_in_its_problem(printed, save, layout_of):
    found = read_photo(save(printed), layout_of, guards=replace(GUARDS, residual_mm=-1.0))

    assert set(found.pages[0].fields) - set(found.problems[0].fields) == {"humidity"}


def _moved_square(layout):
    found = []
    for mark in layout.pages[0].marks:
        x, y, side = *mark.corner, mark.size
        corners = np.array([[x, y], [x + side, y], [x + side, y + side], [x, y + side]]) * 8
        found.append(Fiducial(mark.id, corners + (400 if mark.id % 8 < 3 else 0)))
    return found


def test_squares_of_two_sheets_are_taken_for_one_without_the_guard_of_their_places(layout):
    found, page = _moved_square(layout), layout.pages[0]

    with pytest.raises(MarksDisagree):
        flatten(found, page)
    assert flatten(found, page, stray_mm=inf).px_per_mm > 0


def test_the_faint_band_narrows_to_nothing():
    assert narrowed(Norm(0.05, 0.17, 0.4), 0.0) == Norm(0.05, 0.05, 0.4)


def test_a_second_mark_is_overlooked_without_its_guard():
    inks = [BoxInk(Level.INKED, 0.5), BoxInk(Level.INKED, 0.6)]

    statuses = [read_choice([1, 2], inks, second_mark=share).status for share in (0.0, inf)]

    assert statuses == [Status.DOUBTFUL, Status.SURE]


def test_a_strange_shape_is_like_a_digit_without_the_guard_of_its_domain():
    strange = replace(GLYPH, aspect=9.0)

    loose = replace(GUARDS, domain=inf, unlike=1.0)
    found = [digit_network().guess([strange], guards)[0] for guards in (GUARDS, loose)]

    assert [guess.like_a_digit for guess in found] == [False, True]


def test_a_digit_far_beyond_its_box_is_one_without_that_guard():
    with np.load(HERE / "digits.npz") as stored:
        seven = (stored["golden"][7] / 255).astype(np.float32)
    leaning = replace(GLYPH, picture=seven, beyond=0.3)

    loose = replace(GUARDS, beyond=1.0)
    found = [digit_network().guess([leaning], guards)[0] for guards in (GUARDS, loose)]

    assert [guess.like_a_digit for guess in found] == [False, True]


def test_an_unclear_digit_is_sure_without_the_guard_of_its_chance():
    guesses = [Guess((*(0.1,) * 6, 0.0, 0.4, 0.0, 0.0), like_a_digit=True)]

    loose = replace(GUARDS, digit_chance=0.0)
    found = [read_number(FIELD, [Cell(GLYPH, 1.0)], guesses, guards) for guards in (GUARDS, loose)]

    assert [one.status for one in found] == [Status.DOUBTFUL, Status.SURE]


def test_a_number_against_its_witness_is_sure_without_that_guard():
    field = replace(FIELD, witness="ladder", expect=None)
    others = {"ladder": sure("8")}

    loose = replace(GUARDS, witness=Held.APART)
    found = [checked(field, sure(Decimal(7)), others, guards) for guards in (GUARDS, loose)]

    assert [one.why for one in found] == [Why.WITNESS, None]


def test_an_unexpected_number_is_sure_without_that_guard():
    loose = replace(GUARDS, expectation=inf)
    found = [checked(FIELD, sure(Decimal(7)), {}, guards) for guards in (GUARDS, loose)]

    assert [one.why for one in found] == [Why.UNEXPECTED, None]
