"""The installation's gates: which apply, that none is passed by, their cautions."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from passport.visits.installation import Installation
from passport.visits.installation.form import sign
from passport.visits.installation.stages import STAGES, stages_of

DATED = {"date.month": 12, "date.day": Decimal(5)}


@pytest.fixture(scope="session")
def desk(long_table, desk_of):
    return desk_of("installation", long_table)


@given(data=st.data())
@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
def test_answers_of_an_installation_are_interpreted_as_that_installation(desk, data):
    keys = [stage.key for stage in stages_of(desk.context.table)]
    done = tuple(keys[: data.draw(st.integers(0, len(keys)))])
    record = Installation(
        form=desk.context.layout.form,
        kind="installation",
        table=desk.context.table.number,
        date=data.draw(st.dates(date(2026, 11, 2), date(2027, 1, 31))),
        stages=done,
        unsafe=data.draw(st.booleans()),
        notes={sign(key): "crop.png" for key in done},
    )

    assert desk.read(desk.kind.answers(record, printed_on=date(2026, 11, 2))) == record


def test_stage_that_was_passed_by_and_one_that_is_not_signed_are_doubted(desk):
    marked = DATED | {
        "stage.area.done": True, "stage.area.sign": "crop.png", "stage.frame.done": True,
    }  # fmt: skip

    assert desk.whys(marked) == {
        "stage.legs.done": "a later stage is marked as done, this one is not",
        "stage.frame.sign": "marked as done, but not signed",
    }


def test_only_the_stages_of_this_table_are_printed(invented):
    long, short = ([stage.key for stage in stages_of(invented(name))] for name in ("long", "short"))

    assert long == [stage.key for stage in STAGES]
    assert set(long) - set(short) == {"rise", "supports"}


def test_stages_come_in_the_order_of_the_work(desk):
    names = [one.name for one in desk.form.blocks if one.name.startswith("stage ")]

    assert names == [f"stage {stage.key}" for stage in stages_of(desk.context.table)]


def test_calls_stand_on_a_card_to_pin_up(desk):
    assert all(
        word in desk.said("calls") for word in ("READY", "LIFT", "DOWN", "HANDS OUT", "STOP")
    )


def test_installation_tells_what_is_open(desk_of, invented):
    desk = desk_of("installation", invented("short"))
    keys = [stage.key for stage in stages_of(desk.context.table)]
    record = Installation(form="F", kind="installation", table="T", stages=tuple(keys[:-2]))

    assert desk.kind.tell(desk.context.table, record) == (
        "stages done: 11 of 13",
        "open: Surface, Hand-over",
    )
