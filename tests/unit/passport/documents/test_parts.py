"""Parts of the documents as data: gauge, identity, grid, log, text for style sheets."""

import re
from dataclasses import replace

import pytest

from passport.documents import wording
from passport.documents.gauge import WIDTH, gauge_svg
from passport.documents.grid import grids
from passport.documents.house import css_text, dialled
from passport.documents.identity import assumed_words, identity
from passport.documents.log import log, turned
from passport.leveling.advice import Quantity, StationState, Verdict
from passport.visit import BracketPass, Doubt, LegPass, Pass


def a_state(quantity: Quantity, value: float | None, low: float | None, high: float | None):
    return StationState(
        "L1", 0, quantity, value, 0.1, low, high, 0.5, 0.2, None, Verdict.UNDECIDED, ""
    )


def dots(svg: str) -> list[float]:
    return [float(x) for x in re.findall(r'cx="([\d.]+)"', svg)]


def line(svg: str) -> tuple[float, float]:
    """Find the ends of the thick line."""
    start, end = re.search(
        r'M([\d.]+) [\d.]+H([\d.]+)" stroke="#000" stroke-width="0.45"', svg
    ).groups()
    return float(start), float(end)


@pytest.mark.parametrize(
    ("value", "place"),
    [(0.5, WIDTH / 2), (0.7, WIDTH / 2 * (1 + 1 / 2.5)), (0.3, WIDTH / 2 * (1 - 1 / 2.5))],
)
def test_gauge_shows_the_value_in_tolerances_from_the_target(value, place):
    svg = gauge_svg(a_state(Quantity.HOLLOW, value, value - 0.1, value + 0.1))

    assert dots(svg) == [pytest.approx(place, abs=0.01)]


def test_gauge_of_a_cross_level_shows_left_high_at_the_left():
    """Cross slope positive: left high."""
    svg = gauge_svg(a_state(Quantity.CROSS, 0.7, 0.6, 0.8))

    assert dots(svg)[0] < WIDTH / 2


@pytest.mark.parametrize(
    ("quantity", "low", "high", "side"),
    [
        (Quantity.HOLLOW, 0.7, None, "right"),
        (Quantity.HOLLOW, None, 0.2, "left"),
        (Quantity.CROSS, 0.7, None, "left"),
        (Quantity.CROSS, None, 0.2, "right"),
    ],
)
def test_gauge_of_a_bound_runs_out_at_its_open_side(quantity, low, high, side):
    start, end = line(gauge_svg(a_state(quantity, None, low, high)))

    assert (start == 0.0, end == WIDTH) == (side == "left", side == "right")


def test_gauge_of_a_value_far_out_is_an_arrow_without_a_dot():
    svg = gauge_svg(a_state(Quantity.HOLLOW, 3.0, 2.9, 3.1))

    assert (dots(svg), "L25.6" in svg) == ([], True)


def test_gauge_of_an_unmeasured_station_is_empty():
    svg = gauge_svg(a_state(Quantity.HOLLOW, None, None, None))

    assert "0.45" not in svg


def test_identity_marks_what_common_practice_filled_in(table):
    marked = [name for name, _ in identity(table) if name.endswith("*")]

    assert marked == ["Legs *", "Feet *", "Target hollow *", "Target cross level *"]


def test_assumed_values_are_named_with_the_stations_they_are_of(table):
    assumed = ("legs.1.role", "legs.5.role", "targets.rise_tolerance", "brackets.2.hand")

    assert assumed_words(replace(table, assumed=assumed)) == (
        "hand of B2, rise tolerance, role of L1 and L5"
    )


def test_nothing_assumed_is_nothing_said(table):
    assert assumed_words(replace(table, assumed=())) == ""


def test_table_on_two_legs_says_that_it_has_no_rise(table):
    two = replace(table, legs=(table.legs[0], table.legs[-1]))

    assert dict(identity(two))["Target rise of ends"] == "none: two legs have no rise by feet"


def test_grid_keeps_the_stations_of_each_quantity_in_order(story):
    assert [(grid.title, grid.unit, len(grid.rows)) for grid in grids(story)] == [
        ("Cross level at the legs", "in/ft", 5),
        ("Hollow at the brackets", "in", 8),
        ("Rise of the ends", "in", 1),
    ]


def test_grid_row_says_what_was_found_and_left(story):
    row = next(r for grid in grids(story) for r in grid.rows if r.station == "B2")

    assert (row.target, row.tolerance, row.found.said, row.left.said, row.was) == (
        "0.020", "± 0.0075", "0.020 ± 0.005", "0.015 ± 0.004", "0.019",
    )  # fmt: skip


def test_grid_marks_nothing_where_nothing_changed(story):
    same = replace(story, former=story.advice)

    assert {row.was for grid in grids(same) for row in grid.rows} == {None}


def test_standing_counts_the_stations_by_verdict(story):
    assert wording.standing(story.advice.state) == ("6 within", "1 outside", "7 undecided")


def test_log_is_newest_first_and_marks_the_new_visit(story):
    assert [(entry.date, entry.new) for entry in log(story)] == [
        ("3 September 2026", True),
        ("11 February 2026", False),
    ]


def test_log_says_in_which_pass_something_was_turned(story):
    first = Pass(brackets={"B1": BracketPass(turns=-1)})
    second = Pass(legs={"L1": LegPass(turns_left=2, turns_right=0)}, rise_turns={"B": -4})
    visit = replace(story.visits[0], passes=(first, second))

    assert turned(visit) == (
        "Pass 1: B1 flatter 1 quarter",
        "Pass 2: L1 left foot up 2 quarters; end B, both feet down 4 quarters",
    )


def test_log_of_a_visit_without_turns_says_so(story):
    assert turned(replace(story.visits[0], passes=())) == ("nothing turned",)


def test_log_says_what_else_the_form_said(story):
    visit = replace(
        story.visits[-1],
        unsafe=True,
        changed=frozenset({"climate", "played heavy"}),
        surface={"wax_twice": True},
        doubts=(Doubt("B5.found", "B5 hollow, found", "two boxes are marked"),),
        missing_pages=(2, 3),
    )

    assert log(replace(story, visits=(visit,)))[0].remarks == (
        "Out of use until checked",
        "heating or air conditioning",
        "played heavy",
        "waxed twice",
        "in doubt: B5 hollow, found",
        "not in yet: page 2 and 3",
    )


@pytest.mark.parametrize("text", ['"', "\\", "</style>", "a'b", "x\ny", "{}@;", "Ünï – 1.5"])
def test_text_for_a_style_sheet_holds_nothing_that_ends_its_string(text):
    """CSS Syntax 3, 4.3.7: a backslash and hexadecimal digits stand for one character."""
    escaped = str(css_text(text))
    back = re.sub(r"\\([0-9a-f]+) ", lambda match: chr(int(match[1], 16)), escaped)

    assert (back, re.search(r'["<>\n{}@;]', escaped)) == (text, None)


@pytest.mark.parametrize(
    ("phone", "number"), [("+1 (555) 010-0199", "+15550100199"), ("555 010 0199", "5550100199")]
)
def test_telephone_is_dialled_as_digits(phone, number):
    """RFC 3966: digits after a leading plus."""
    assert dialled(phone) == number
