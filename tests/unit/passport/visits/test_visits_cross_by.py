"""Forms for levels that are read without cards: what they print and what their answers mean."""

from dataclasses import replace

import pytest

from passport.table import Reads
from passport.visit import Count, LegPass
from passport.visits import service
from passport.visits.service import ids, legs, remarks


@pytest.fixture(params=[Reads.DIVISIONS, Reads.DISPLAY], ids=lambda way: way.value)
def table(request, long_table):
    step = {"sensitivity_mm_per_m": None, "display_step_deg": 0.01}
    kit = replace(long_table.kit, cross_by=request.param, sensitivity_mm_per_m=0.3)
    return replace(long_table, kit=replace(kit, **step) if request.param is Reads.DISPLAY else kit)


@pytest.fixture
def context(table, context_of):
    return context_of(table)


def test_answers_that_give_a_visit_are_read_as_that_visit(context, visit_of):
    passes = visit_of(context, {ids.found(1, "L1"): 3, ids.CHECK[0]: 2, ids.CHECK[1]: 1})

    again = visit_of(context, service.answers(passes))

    assert (again.passes, again.level_check, again.kit) == (
        passes.passes,
        (Count(2), Count(1)),
        context.table.kit,
    )


def test_three_boxes_are_three_of_what_the_kit_counts(context, visit_of):
    read = visit_of(context, {ids.found(1, "L1"): 3})

    assert read.passes[0].legs["L1"] == LegPass(found=Count(3))


def test_columns_of_a_bubble_run_from_the_high_side_and_of_a_display_from_the_low(table):
    first = legs.plain_counts(table.kit).values[0]

    assert first == (5 if table.kit.cross_by is Reads.DIVISIONS else -5)


def test_boxes_of_a_display_name_degrees(table):
    words = legs.plain_counts(table.kit).words[5:8]

    shown = ("0", "1", "2") if table.kit.cross_by is Reads.DIVISIONS else ("0", ".02", ".04")
    assert words == shown


def test_nothing_asks_for_cards_under_the_level_s_end(table):
    head = legs.blocks(table, {})[0]

    assert not any("cards under" in text.text for text in head.texts)


def test_another_kit_s_counts_are_dropped_and_say_why(context, visit_of):
    other = {ids.OTHER_KIT: True, ids.found(1, "L1"): 3}
    sizes = {ids.OTHER_CARD["imperial"]: 50, ids.OTHER_BEARING["imperial"]: 195}

    read = visit_of(context, other | sizes)

    assert remarks.KIT_UNLIKE in {doubt.why for doubt in read.doubts}
