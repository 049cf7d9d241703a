"""Rise by a level stepped along the board, on paper: look-up, sums, what is doubtful."""

from dataclasses import replace
from decimal import Decimal

import pytest

from passport.leveling.rises import step_reading
from passport.leveling.supports import spans_mm
from passport.table import RiseBy
from passport.visit import Count
from passport.visits.service import both_ways, ids, rise_ladder, rise_steps, rows

A, B = ids.rise("A"), ids.rise("B")


@pytest.fixture
def table(long_table):
    return replace(long_table, kit=replace(long_table.kit, rise_by=RiseBy.STEPS))


def sums(station, inner, outer, look=ids.found):
    return {look(1, station): Decimal(inner), ids.outer(look(1, station)): Decimal(outer)}


def test_sum_that_is_ok_is_the_targets_height_in_cards(table):
    steps = {word: int(first) for first, word in rise_ladder.ladder(table) if first[0] != "−"}

    target = table.targets.rise_mm
    read = step_reading(table.kit, spans_mm(table)[0], 0, Count(steps["OK"])).value
    past = step_reading(table.kit, spans_mm(table)[0], 0, Count(steps["↓1"])).value
    assert target.value - target.tolerance < read < target.value < past


def test_look_up_goes_on_below_nought(table):
    firsts = [first for first, _ in rise_ladder.ladder(table)]

    assert any(first.startswith("−") for first in firsts)


def test_each_end_has_its_own_look_up_where_their_spans_differ(table):
    legs = (replace(table.legs[0], x_mm=table.legs[0].x_mm + 600), *table.legs[1:])
    uneven = replace(table, legs=legs)

    said = [
        [text.text for text in rise_steps.block(one).texts if text.text.endswith("sum from")]
        for one in (table, uneven)
    ]

    assert said == [["sum from"], ["A: sum from", "B: sum from"]]


def test_form_says_how_many_steps_and_how_long(table):
    words = " ".join(text.text for text in rise_steps.block(table).texts)

    span = spans_mm(table)[0]
    count = -(-span // table.kit.bearing_length_mm)
    assert f"in {count:.0f} equal steps of" in words


def test_sums_are_read_as_their_difference(table, context_of, visit_of):
    answers = {
        **sums(A, 6, 2), **sums(B, 0, 3),
        ids.turns(1, A): 2, ids.turns(1, B): 5,
        **sums(A, 9, 0, ids.after), **sums(B, 10, 0, ids.after),
    }  # fmt: skip

    (walk,) = visit_of(context_of(table), answers).passes

    assert (walk.rise, walk.rise_turns, walk.rise_after) == (
        {"A": Count(4), "B": Count(-3)},
        {"A": 2, "B": 5},
        {"A": Count(9), "B": Count(10)},
    )


def test_what_is_written_reads_as_the_same(table, context_of, visit_of):
    found, after = {"A": Count(-12), "B": Count(0)}, {"A": Count(7), "B": Count(8)}
    turned = {ids.turns(1, A): 4, ids.turns(1, B): 4}

    (walk,) = visit_of(context_of(table), {**rise_steps.write(found, after), **turned}).passes

    assert (walk.rise, walk.rise_after) == (found, after)


def test_one_sum_without_the_other_is_doubtful(table, context_of, visit_of):
    answers = {ids.found(1, A): Decimal(6)}

    visit = visit_of(context_of(table), answers)

    assert (ids.outer(ids.found(1, A)), both_ways.HALF) in {(d.field, d.why) for d in visit.doubts}
    assert not any(walk.rise for walk in visit.passes)


def test_turns_without_sums_after_them_are_doubtful(table, context_of, visit_of):
    answers = {**sums(A, 2, 0), ids.turns(1, A): 2}

    doubts = visit_of(context_of(table), answers).doubts

    assert (ids.after(1, A), rows.NO_AFTER) in {(d.field, d.why) for d in doubts}
