"""What a visit's answers say is that visit again: interpret is the inverse of answers."""

from datetime import date
from decimal import Decimal

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from passport.table import Kit
from passport.visit import BracketPass, Count, Glide, LegPass, Pass, Shot, Visit
from passport.visits import service

NAMES = ("A. Reed", "B. Moss", None)
MINUTES = (5, 15, 30, 60, 240, None)
DAYS = st.dates(date(2026, 11, 2), date(2027, 1, 31))


def counts(low, high):
    return st.integers(low, high).map(lambda n: Count(n, n in (low, high)))


def turned(most):
    return st.integers(-most, most).filter(bool)


def leg_passes(first):
    found = counts(-5, 5)
    bears = st.sampled_from((True, False, None)) if first else st.none()
    still = st.builds(
        LegPass, found, bears_left=bears, bears_right=bears,
        jam_nut_locked=st.sampled_from((True, None)),
        untouched=st.booleans() if first else st.just(False),
    )  # fmt: skip
    moved = st.builds(LegPass, found, turned(4), st.integers(-4, 4), counts(-5, 5), bears, bears,
                      st.booleans())  # fmt: skip
    return st.one_of(still, moved)


def bracket_passes(first):
    found = counts(-2, 8)
    still = st.builds(BracketPass, found, untouched=st.booleans() if first else st.just(False))
    moved = st.builds(BracketPass, found, turned(8), counts(-2, 8), st.booleans())
    return st.one_of(still, moved)


@st.composite
def passes(draw, first):
    legs = {name: draw(leg_passes(first)) for name in ("L1", "L3", "L5")}
    brackets = {f"B{n}": draw(bracket_passes(first)) for n in range(1, 9)}
    minutes = draw(st.sampled_from(MINUTES))
    if not first:
        return Pass(legs, brackets, minutes_to_after=minutes)
    rise = {end: draw(counts(-2, 8)) for end in "AB" if draw(st.booleans())}
    ends = [end for end in rise if draw(st.booleans())]
    after = {end: draw(counts(-2, 8)) for end in ends}
    return Pass(legs, brackets, rise, after, {end: draw(turned(8)) for end in ends}, minutes)


@st.composite
def visits(draw, context):
    walks = [draw(passes(True)), *([draw(passes(False))] if draw(st.booleans()) else [])]
    kit, other = context.table.kit, draw(st.booleans())
    if other:
        card = float(draw(st.integers(10, 300)) * Decimal("0.00254"))
        bearing = float(Decimal(draw(st.integers(50, 999))) / 10 * Decimal("25.4"))
        kit = Kit("other kit", bearing, bearing, kit.sensitivity_mm_per_m, None, card, card * 0.03)
    shots = tuple(
        Shot(lane, end, inches, abs(inches) == 6)
        for end in "AB"
        for lane in ("left", "middle", "right")
        for inches in [draw(st.integers(-6, 6))]
    )
    feet = st.integers(1, 300).map(lambda n: float(Decimal(n) / 10 * Decimal("0.3048")))
    seconds = st.integers(5, 600).map(lambda n: n / 10)
    return Visit(
        context.layout.form,
        "service",
        context.table.number,
        draw(DAYS),
        kit,
        draw(st.sampled_from(NAMES)),
        float((draw(st.integers(33, 122)) - 32) * 5) / 9,
        float(draw(st.integers(1, 99))),
        draw(st.one_of(st.none(), st.tuples(counts(-5, 5), counts(-5, 5)))),
        tuple(walks),
        shots,
        tuple(Glide(end, draw(feet), draw(seconds)) for end in "AB"),
        draw(st.dictionaries(st.sampled_from(("cleaned", "wax_once", "worn")), st.just(True))),
        draw(st.frozensets(st.sampled_from(("moved", "spill", "part")))),
        unsafe=draw(st.booleans()),
        office_must_read=draw(st.booleans()),
        notes=draw(st.dictionaries(st.sampled_from(("notes.text", "signature")),
                                   st.just("crop.png"))),
        other_kit=other,
    )  # fmt: skip


@given(data=st.data())
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
def test_answers_of_a_visit_are_interpreted_as_that_visit(long_context, visit_of, data):
    visit = data.draw(visits(long_context))

    answers = service.answers(visit, printed_on=date(2026, 11, 2))
    assert visit_of(long_context, answers) == visit


@given(data=st.data())
@settings(max_examples=10, deadline=None, suppress_health_check=list(HealthCheck))
def test_answers_are_of_the_kind_that_their_boxes_give(long_context, data):
    answers = service.answers(data.draw(visits(long_context)), printed_on=date(2026, 11, 2))
    fields = {field.id: field for page in long_context.layout.pages for field in page.fields}

    for field_id, value in answers.items():
        options = getattr(fields.get(field_id), "options", None)
        assert options is None or value in [option.value for option in options]
