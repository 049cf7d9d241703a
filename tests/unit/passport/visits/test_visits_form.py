"""What stands on the service form: look-ups, directions, cautions, steps, and why."""

from dataclasses import replace
from datetime import date

import pytest

from forms.field import Choice, Expectation, Scale
from passport.leveling import lookup
from passport.leveling.lookup import CrossTurns, HollowTurns, RiseTurns
from passport.table import FootType, Hand, Kit, Own, Side, Thread
from passport.visit import BracketPass, Count, LegPass, Pass, Visit
from passport.visits import KINDS, service
from passport.visits.service import brackets, legs, own_numbers, rise
from passport.visits.service.words import (
    cross_words,
    foot_direction,
    hollow_words,
    nut_direction,
    raisable,
    rise_words,
)

LEFT_HAND = Thread("M10x1.5 LH", 1.5, Hand.LEFT)


def drawn(table, **more):
    asked = {"printed_on": date(2026, 11, 2), "last_visit": None, "technicians": ("A. Reed",)}
    return service.form(table, **(asked | more))


def block(form, name):
    return next(block for block in form.blocks if block.name == name)


def words(form):
    return " ".join(text.text for one in form.blocks for text in one.texts)


def fields(form):
    return {field.id: field for one in form.blocks for field in one.fields}


def test_registry_knows_the_service_form(long_table):
    assert (KINDS["service"].name, drawn(long_table).kind) == ("service", "service")


@pytest.mark.parametrize(
    ("turns", "count", "said"),
    [
        (CrossTurns(0, 0, ok=True), Count(0), ("OK",)),
        (CrossTurns(2, 0), Count(-3), ("L↑2",)),
        (CrossTurns(0, 1), Count(2), ("R↑1",)),
        (CrossTurns(-2, 3), Count(4), ("R↑3", "L↓2")),
        (CrossTurns(2, 0, until_centred=True), Count(-5, True), ("L↑",)),
        (CrossTurns(0, 2, until_centred=True), Count(5, True), ("R↑",)),
        (CrossTurns(6, 0), Count(-4), ("L↑*",)),
        (CrossTurns(0, 0), Count(1), ("0",)),
    ],
)
def test_cross_look_up_names_the_foot_and_its_quarters(turns, count, said):
    assert cross_words(turns, count) == said


@pytest.mark.parametrize(
    ("turns", "said"),
    [
        (HollowTurns(0, ok=True), "OK"),
        (HollowTurns(4), "+4"),
        (HollowTurns(-3), "−3"),
        (HollowTurns(8, at_least=True), "+8*"),
        (HollowTurns(0), "0"),
    ],
)
def test_hollow_look_up_says_hollower_or_flatter(turns, said):
    assert hollow_words(turns) == said


@pytest.mark.parametrize(
    ("turns", "said"),
    [
        (RiseTurns(0, ok=True), "OK"),
        (RiseTurns(4), "↑4"),
        (RiseTurns(-2), "↓2"),
        (RiseTurns(7, at_least=True), "↑7*"),
        (RiseTurns(0), "0"),
    ],
)
def test_rise_look_up_says_up_or_down(turns, said):
    assert rise_words(turns) == said


def test_each_count_has_under_it_what_the_calculator_asks_for(long_table):
    leg, bracket, end = long_table.legs[0], long_table.brackets[0], long_table.legs[0]

    assert legs.counts(long_table, leg).lookups == tuple(
        cross_words(lookup.cross_turns(long_table, leg, Count(n, abs(n) == 5)), Count(n))
        for n in range(-5, 6)
    )
    assert brackets.counts(long_table, bracket).lookups == tuple(
        (hollow_words(lookup.hollow_turns(long_table, bracket, Count(n, n in (-2, 8)))),)
        for n in range(-2, 9)
    )
    assert rise.counts(long_table, end).lookups == tuple(
        (rise_words(lookup.rise_turns(long_table, end, Count(n, n in (-2, 8)))),)
        for n in range(-2, 9)
    )


def test_look_ups_stand_in_the_column_of_their_count(long_table):
    one = block(drawn(long_table), "bracket B1")
    field = fields(drawn(long_table))["B1.pass1.found"]

    for option, said in zip(
        field.options, brackets.counts(long_table, long_table.brackets[0]).lookups, strict=True
    ):
        middle = option.box.x + option.box.width / 2
        assert any(
            text.text == said[0] and text.x == pytest.approx(middle) and text.size_pt >= 9
            for text in one.texts
        )


def test_boxes_wholly_in_tolerance_are_framed_heavily_in_both_rows(long_table):
    head = brackets.counts(long_table, long_table.brackets[0])
    one = block(drawn(long_table), "bracket B1")

    assert head.ok()
    assert one.heavy == {
        f"B1.pass1.{row}={value}" for row in ("found", "after") for value in head.ok()
    }


def test_supporting_leg_gets_no_turns_but_clear_first_and_touch_last(long_table):
    form = drawn(long_table)
    one = block(form, "supporting leg L2")

    assert {field.id for field in one.fields} == {
        "L2.pass1.found", "L2.pass1.clear", "L2.pass1.touch",
        "L2.pass1.foot.left", "L2.pass1.foot.right",
    }  # fmt: skip
    assert legs.counts(long_table, long_table.legs[1]).lookups == ()


@pytest.mark.parametrize(
    ("foot", "thread", "way"),
    [
        (FootType.STUD_IN_LEG, None, None),
        (FootType.STUD_IN_LEG, Thread("3/8-16 UNC", 1.5875), "clockwise from above"),
        (FootType.NUT_ON_STUD, Thread("3/8-16 UNC", 1.5875), "anticlockwise from above"),
        (FootType.STUD_IN_LEG, LEFT_HAND, "anticlockwise from above"),
        (FootType.NUT_ON_STUD, LEFT_HAND, "clockwise from above"),
        (FootType.UNKNOWN, Thread("3/8-16 UNC", 1.5875), None),
    ],
)
def test_foot_turns_the_way_its_type_and_thread_say(long_table, foot, thread, way):
    leg = replace(long_table.legs[0], foot_type=foot, thread=thread)

    assert foot_direction(leg) == way


@pytest.mark.parametrize(
    ("thread", "side", "way"),
    [
        (Thread("3/8-16 UNC", 1.5875), Side.LEFT, "+ = anticlockwise from left"),
        (LEFT_HAND, Side.RIGHT, "+ = clockwise from right"),
        (None, Side.LEFT, "+ = outward"),
        (LEFT_HAND, None, "+ = outward"),
    ],
)
def test_nut_turns_the_way_its_side_and_thread_say(long_table, thread, side, way):
    bracket = replace(long_table.brackets[0], thread=thread, working_side=side)

    assert nut_direction(bracket) == way


def test_picture_blackens_the_inner_nut_of_the_working_plate(long_table):
    bracket = long_table.brackets[0]

    def black(side):
        strokes = brackets.picture(replace(bracket, working_side=side)).strokes
        return [stroke.path.split(" ")[0] for stroke in strokes if stroke.fill == 0.0]

    assert (black(Side.LEFT), black(Side.RIGHT), black(None)) == (["M3.4"], ["M11.4"], [])


def test_unknown_thread_engagement_prints_when_to_stop_and_no_count(long_table, short_table):
    known = replace(
        short_table, legs=tuple(replace(leg, thread_left_mm=25.0) for leg in short_table.legs)
    )

    assert "Stop when the thread left in the leg is shorter than the stud is thick." in words(
        drawn(long_table)
    )
    assert raisable(known.legs[0]) == 62  # 25 mm ÷ (1.5875 mm ÷ 4) = 62.99 quarters
    assert "· max 62" in words(drawn(known))


def test_two_leg_table_prints_why_there_is_no_rise(short_table):
    form = drawn(short_table)

    assert "rise.A.pass1.found" not in fields(form)
    assert "the table stands on two legs, and raising an end then only tilts" in words(form)


def test_form_never_says_safe(long_table, short_table):
    for table in (long_table, short_table):
        said = words(drawn(table)).lower().replace("unsafe", "").replace("safety data sheet", "")
        assert "safe" not in said


def test_every_page_names_the_kit_it_is_printed_for(long_table):
    assert drawn(long_table).header[-1] == (
        "For kit: Level 24; level 24 in, bearing 23 in, card 0.0075 ± 0.0002 in"
    )


def test_form_says_what_the_kits_check_found_and_when(long_table):
    day = date(2026, 5, 4)
    kit = replace(long_table.kit, zero=Own(0.12, 0.06, day), bow=Own(-0.006, 0.004, day))

    said = words(drawn(replace(long_table, kit=kit, units="metric")))
    assert (
        "This level: zero 0.12 ± 0.12 mm/m, marked end high (2026-05-04); "
        "edge 0.006 ± 0.008 mm crowned (2026-05-04)."
    ) in said


def test_form_says_that_nobody_checked_the_kit(long_table):
    assert own_numbers.NOT_CHECKED in words(drawn(long_table))


def test_level_check_says_what_a_known_zero_makes_of_it(long_table):
    kit = replace(long_table.kit, zero=Own(0.33, 0.02))  # a card is 0.325 mm/m

    check = block(drawn(replace(long_table, kit=kit)), "level check and air")
    assert any("the first shows 2 cards more RIGHT low, ± 1" in text.text for text in check.texts)


def test_known_zero_moves_what_a_count_asks_for(long_table):
    zero = 0.19 * 1000 / 584.2  # one card: marked end left, the level shows one card RIGHT low
    kit = replace(long_table.kit, zero=Own(zero, 0.01))
    leg = long_table.legs[0]

    usual, moved = (
        dict(zip((one := legs.counts(table, leg)).values, one.lookups, strict=True))
        for table in (long_table, replace(long_table, kit=kit))
    )
    assert (moved[4], moved[-3]) == (usual[3], usual[-4])


def test_known_bow_moves_what_a_hollow_asks_for(long_table):
    over = (long_table.kit.level_length_mm / long_table.board.width_mm) ** 2
    kit = replace(long_table.kit, bow=Own(0.19 * over, 0.01))  # a card too hollow over the board
    bracket = long_table.brackets[0]

    usual, moved = (
        dict(zip((one := brackets.counts(table, bracket)).values, one.lookups, strict=True))
        for table in (long_table, replace(long_table, kit=kit))
    )
    assert (moved[6], moved[1]) == (usual[5], usual[0])


def test_metric_form_asks_in_metric_units(long_table):
    form = drawn(replace(long_table, units="metric"))

    asked = fields(form)
    assert {"air.celsius", "glide.from_A.metres", "kit.card.micrometre"} <= set(asked)
    assert form.header[-1] == (
        "For kit: Level 24; level 610 mm, bearing 584 mm, card 0.190 ± 0.006 mm"
    )


def test_display_level_is_read_off_its_display(long_table):
    kit = Kit("Display level", 609.6, 584.2, None, 0.01, 0.19, 0.003)

    head = block(drawn(replace(long_table, kit=kit)), "legs head")
    assert any("until it shows level" in text.text for text in head.texts)


def test_level_shorter_than_the_board_is_said(long_table):
    kit = replace(long_table.kit, level_length_mm=406.4, bearing_length_mm=381.0)

    said = words(drawn(replace(long_table, kit=kit)))
    assert "Level shorter than the board: look-ups allow for what it misses." in said


def test_technicians_have_a_box_each_or_a_line_for_the_name(long_table):
    listed = fields(drawn(long_table, technicians=("A. Reed", "B. Moss")))
    unlisted = fields(drawn(long_table, technicians=()))

    assert isinstance(listed["technician"], Choice)
    assert [option.value for option in listed["technician"].options] == ["A. Reed", "B. Moss"]
    assert "technician.name" in unlisted


def test_last_visit_is_expected_but_not_printed(long_table):
    left = Pass(
        {"L1": LegPass(Count(-3), 2, 0, Count(1))},
        {"B1": BracketPass(Count(0), 8, Count(2)), "B2": BracketPass(Count(2))},
        {"A": Count(1)},
        {"A": Count(2)},
    )
    last = Visit("F", "service", "T", date(2026, 6, 1), long_table.kit, passes=(left,))

    form = drawn(long_table, last_visit=last)
    expected = {
        field.id: field.expect
        for field in fields(form).values()
        if isinstance(field, Scale) and field.expect
    }
    assert expected == {
        "L1.pass1.found": Expectation(1.0, 1.5),
        "B1.pass1.found": Expectation(2.0, 1.5),
        "B2.pass1.found": Expectation(2.0, 1.5),
        "rise.A.pass1.found": Expectation(2.0, 1.5),
    }
    same = words(drawn(long_table)).replace("B1 bracket", "B1 look again")
    assert words(form) == same.replace("L1 end leg", "L1 look again")


def test_field_ids_are_stable(short_table):
    assert sorted(fields(drawn(short_table)))[:12] == [
        "B1.pass1.after", "B1.pass1.found", "B1.pass1.locked", "B1.pass1.turns",
        "B1.pass1.untouched", "B1.pass2.after", "B1.pass2.found", "B1.pass2.locked",
        "B1.pass2.turns", "B2.pass1.after", "B2.pass1.found", "B2.pass1.locked",
    ]  # fmt: skip
