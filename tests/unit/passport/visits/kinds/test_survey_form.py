"""The survey's form: meaning, inverse, cautions, what it tells."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from passport.visits.survey import Survey, ids
from passport.visits.survey.passage import SIZES, Place

DATED = {"date.month": 12, "date.day": Decimal(5)}


@pytest.fixture(scope="session")
def desk(long_table, desk_of):
    return desk_of("survey", long_table)


def subsets(words):
    return st.frozensets(st.sampled_from(list(words)))


@st.composite
def surveys(draw, context):
    units = context.table.units
    step, most = (Decimal(1), 9999) if units == "metric" else (Decimal("2.54"), 9999)
    size = st.integers(10, most).map(lambda n: float(n * step))
    foot = st.integers(0, 99).map(lambda n: float(n * step))
    feet = [(leg.name, side) for leg in context.table.legs for side in ("left", "right")]
    places = [place for place in SIZES if draw(st.booleans())]
    return Survey(
        form=context.layout.form,
        kind="survey",
        table=context.table.number,
        units=units,
        date=draw(st.dates(date(2026, 11, 2), date(2027, 1, 31))),
        places={place: tuple(draw(size) for _ in SIZES[place]) for place in places},
        run_up_mm={end: draw(size) for end in "AB"},
        air_humidity_pct=float(draw(st.integers(1, 99))),
        near=draw(subsets(ids.SEEN)),
        dry_months=draw(subsets(range(1, 13))),
        damp_months=draw(subsets(range(1, 13))),
        floor=draw(st.sampled_from((*ids.FLOORS, None))),
        load_doubtful=draw(st.booleans()),
        below_mm={one: draw(foot) for one in feet},
        sockets=draw(st.sampled_from((*ids.SOCKETS_BY, None))),
        helpers=draw(st.one_of(st.none(), st.integers(0, 20))),
        aids=draw(subsets(ids.AID_WORDS)),
    )


@given(data=st.data())
@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
def test_answers_of_a_survey_are_interpreted_as_that_survey(desk, data):
    survey = data.draw(surveys(desk.context))

    assert desk.read(desk.kind.answers(survey, printed_on=date(2026, 11, 2))) == survey


def test_blank_survey_has_no_doubts(desk):
    assert desk.whys(DATED) == {}


def test_half_measured_place_is_doubted_and_left_out(desk):
    units = desk.context.table.units
    written = DATED | {ids.size(Place.CORNER_1, 0, units): Decimal(50)}

    partly = "the other sizes of this place are written, this one is not"
    assert desk.whys(written) == {
        ids.size(Place.CORNER_1, 1, units): partly,
        ids.size(Place.CORNER_1, 2, units): partly,
    }
    assert desk.read(written).places == {}


def told(desk, **found):
    record = Survey(form="F", kind="survey", table="T", units="metric", **found)
    return desk.kind.tell(desk.context.table, record)


@pytest.fixture(scope="session")
def metric(desk_of, invented):
    return desk_of("survey", invented("long", units="metric"))


def test_what_must_be_settled_first_is_told_first(metric):
    assert told(metric, unsafe=True, load_doubtful=True, sockets="nobody")[:4] == (
        "OUT OF USE until checked",
        "floor load in doubt: a qualified person decides before delivery",
        "sockets: nobody has looked; a licensed electrician before installation",
        "way in: not measured",
    )


def test_tightest_spot_is_named_first_with_its_interval(metric):
    lines = told(
        metric,
        places={
            Place.DOOR: (900.0, 2000.0),
            Place.CORNER_1: (3000.0, 3000.0, 2400.0),
            Place.LIFT: (1100.0, 1400.0, 2200.0, 900.0, 2000.0),
        },
    )

    assert lines[0] == "tightest spot: lift"
    assert lines[1].startswith("lift: the board does not go through (longest ")
    assert lines[1].endswith(" by the tape)")
    assert lines[2].startswith("corner 1: the board goes through (longest ")
    assert lines[3] == "narrowest door: the board goes through"


def test_floor_says_how_far_feet_must_differ_with_the_tape(metric):
    lines = told(metric, below_mm={("L1", "left"): 0.0, ("L5", "right"): 14.0})

    assert lines[1] == ("floor: feet must differ by 14 mm ± 10 mm; their threads have 38 mm left")


def test_weights_and_published_lifting_say_where_the_method_does_not_apply(metric):
    lines = told(metric, helpers=4)[1:]

    # 6.7056 × 0.508 × 0.0762 m³ × 705.6 kg/m³ (Wood Handbook: 0.63 × 1000 × 1.12) = 183.2 kg.
    assert lines[0] == "board: 183 ± 18 kg as sugar maple, Wood Handbook Table 5-3"
    assert lines[1].startswith("frame rails: ")
    assert (
        "the NIOSH 94-110 lifting equation does not apply: the load is lifted by more" in lines[2]
    )
    assert lines[3].startswith(
        "HSE L23 team fractions, as information: 2 people: each 151 kg alone"
    )
    assert lines[4] == (
        "Crew and aids come from the employer’s lifting assessment; without them: stop."
    )
    assert lines[5] == "help named: 4 people"
    assert not any("safe" in line.lower() for line in lines)


def test_survey_tells_what_to_bring_and_leaves_out_what_is_there(metric):
    lines = told(
        metric,
        places={Place.LANDING: (900.0, 1200.0, 2000.0, 2300.0)},
        floor="carpet",
        aids=frozenset({"trolley"}),
        air_humidity_pct=45.0,
        below_mm={("L1", "left"): 0.0, ("L5", "right"): 60.0},
    )

    assert lines[-1] == (
        "bring: covers for floor, edges and rails; lifting straps; blocks, spacers; powered stair "
        "aid; shims of hard wood or steel for the feet; pads that spread a foot’s load, felt or "
        "cups"
    )
