"""The kit's form: what its marks mean, what it doubts, what it says."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from passport.visit import Count
from passport.visits.kit.interpret import STEP_MM
from passport.visits.kit.numbers import Gap
from passport.visits.kit.record import KitCheck, Pair
from passport.visits.kit.written import ALONE

DATED = {"date.month": 12, "date.day": Decimal(5)}


@pytest.fixture(scope="session")
def desk(long_table, desk_of):
    return desk_of("kit", long_table)


@st.composite
def checks(draw, context):
    metric = context.table.units == "metric"
    stack = st.integers(1000, 4000) if metric else st.integers(200, 4999)
    unit = Decimal("0.001") if metric else Decimal("0.00254")
    feeler = Decimal("0.01") if metric else Decimal("0.0254")
    steps = [0.001, 0.01] if metric else [0.00254, 0.0254]
    counts = st.integers(-4, 4).map(Count)
    filled = draw(st.booleans())
    gaps = {}
    for pair in Pair:
        if draw(st.booleans()):
            thin = draw(st.integers(0, 98))
            thick = draw(st.integers(thin + 1, 99))
            gaps[pair] = Gap(
                float(thin * feeler), float(thick * feeler), draw(st.sampled_from((1, -1)))
            )
    return KitCheck(
        context.layout.form,
        "kit",
        context.table.number,
        draw(st.dates(date(2026, 11, 2), date(2027, 1, 31))),
        context.table.kit,
        draw(st.sampled_from(("A. Reed", None))),
        None,
        float(draw(st.integers(1, 99))),
        tuple(float(draw(stack) * unit) for _ in range(3)) if filled else (),
        draw(st.sampled_from(steps)) if filled else None,
        filled,
        tuple((draw(counts), draw(counts)) for _ in range(draw(st.integers(0, 3)))),
        gaps,
        draw(st.booleans()),
    )


@given(data=st.data())
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
def test_answers_of_a_check_are_interpreted_as_that_check(desk, data):
    check = data.draw(checks(desk.context))

    assert desk.read(desk.kind.answers(check, printed_on=date(2026, 11, 2))) == check


def test_blank_parts_are_not_doubted(desk):
    assert desk.whys(DATED) == {}


def test_half_a_part_is_doubted(desk):
    units = desk.context.table.units
    written = DATED | {
        f"stack.1.{units}": Decimal("0.4"),
        "reversal.2.first": 3,
        f"edge.twin.passes.{units}": Decimal(2),
    }

    partly = "nothing is marked here, yet what belongs to it is"
    assert desk.whys(written) == {
        f"stack.2.{units}": partly,
        f"stack.3.{units}": partly,
        "stack.step": partly,
        "stack.zero": "not marked that the closed micrometer shows zero: the cards’ thickness is "
        "not taken",
        "reversal.2.turned_round": partly,
        f"edge.twin.stops.{units}": partly,
        "edge.twin.side": partly,
    }


def test_bound_and_crossed_feelers_are_doubted(desk):
    units = desk.context.table.units
    written = DATED | {
        "reversal.1.first": 5,
        "reversal.1.turned_round": 1,
        f"edge.twin.passes.{units}": Decimal(4),
        f"edge.twin.stops.{units}": Decimal(4),
        "edge.twin.side": "ends",
    }

    assert desk.whys(written) == {
        "reversal.1.first": "“more” is no count: level the spot better, then turn the level again",
        f"edge.twin.stops.{units}": "the feeler that stops is not thicker than the one that passes",
    }


def test_check_tells_its_numbers_with_intervals(desk_of, invented):
    desk = desk_of("kit", invented("long", units="metric"))
    check = KitCheck(
        "F", "kit", "T", None, desk.context.table.kit, stacks_mm=(1.9, 1.91, 1.92),
        micrometer_step_mm=STEP_MM["0.01 mm"], zero_shown=True,
        reversals=((Count(1), Count(-1)),), gaps={Pair.TWIN: Gap(0.02, 0.04)},
    )  # fmt: skip

    told = desk.kind.tell(desk.context.table, check)
    assert told[1] == "one card: 0.1910 ± 0.0026 mm; described as 0.127 mm"
    assert told[2].startswith("level’s zero: shows the right low by ")
    assert told[3].startswith("level’s edge: makes a board look hollower by 0.015 ± 0.")
    assert told[4] == ALONE
    assert [part.split(" = ")[0] for part in told[5].split(": ")[1].split(", ")] == [
        *("card", "card_uncertainty", "level_zero", "level_zero_uncertainty"),
        *("edge_bow", "edge_bow_uncertainty"),
    ]
    assert (
        desk.kind.tell(desk.context.table, replace(check, stacks_mm=(), gaps={}, reversals=()))[1:]
        == ()
    )
