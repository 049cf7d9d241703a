"""A service form can be drawn up, placed and read back for any layout of legs and brackets."""

from datetime import date

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from forms.crowding import collisions
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from passport.table import (
    Board,
    Bracket,
    FootType,
    Hand,
    Kit,
    Leg,
    LineLaser,
    Own,
    RiseBy,
    Role,
    Side,
    Table,
    Target,
    Targets,
    TautLine,
    Thread,
)
from passport.visits import KINDS, Context
from scan.reading import Reading, Status

THREADS = st.sampled_from(
    (
        None,
        Thread("3/8-16 UNC", 1.5875),
        Thread("1/2-13 UNC", 1.9538, Hand.LEFT),
        Thread("M8x1.25", 1.25),
        Thread("M12x1.75 LH", 1.75, Hand.LEFT),
    )
)
LEFT = st.one_of(st.none(), st.floats(0.0, 60.0))
PRINTED = date(2026, 11, 2)
GAUGES = {
    RiseBy.LINE: {"line": TautLine(Own(0.5, 0.02), Own(30.0, 0.6), Own(12.7, 0.05), 0.1, 0.05)},
    RiseBy.LASER: {"laser": LineLaser(Own(0.0, 0.17), 0.5, 0.25)},
}
RISES = st.sampled_from(RiseBy).map(lambda by: {"rise_by": by, **GAUGES.get(by, {})})


@st.composite
def tables(draw):
    length = draw(st.floats(2400.0, 7000.0))
    width = draw(st.floats(350.0, 600.0))
    count = draw(st.integers(2, 7))
    inner = st.sampled_from((Role.CENTRE, Role.SUPPORTING))
    roles = [Role.END, *(draw(inner) for _ in range(count - 2)), Role.END]
    step = (length - 800.0) / (count - 1)
    legs = tuple(
        Leg(f"L{n + 1}", 400.0 + n * step, role, draw(st.floats(300.0, 700.0)),
            draw(st.sampled_from(FootType)), draw(THREADS), draw(LEFT))
        for n, role in enumerate(roles)
    )  # fmt: skip
    number = draw(st.integers(0, 10))
    brackets = tuple(
        Bracket(f"B{n + 1}", length * (n + 0.5) / number, draw(THREADS),
                draw(st.sampled_from((*Side, None))))
        for n in range(number)
    )  # fmt: skip
    level = draw(st.floats(300.0, 1200.0))
    digital = draw(st.booleans())
    kit = Kit("Kit 9", level, level - 10.0, None if digital else 0.1, 0.01 if digital else None,
              draw(st.floats(0.1, 0.35)), 0.003, **draw(RISES))  # fmt: skip
    rise = draw(st.one_of(st.none(), st.just(Target(1.6, 0.4))))
    return Table(
        "100000181", "The blue room's table", "House by the mill",
        Board(length, width, 76.2, "hard maple"), legs, brackets,
        Targets(Target(0.508, 0.1905), Target(0.0, 0.8), rise), kit,
        draw(st.sampled_from(("imperial", "metric"))),
    )  # fmt: skip


@given(table=tables(), paper=st.sampled_from(Paper))
@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
def test_form_of_any_table_fits_its_pages_and_crowds_nothing(table, paper):
    form = KINDS["service"].form(
        table, printed_on=PRINTED, last_visit=None, technicians=("A. Reed", "B. Moss")
    )

    assert collisions(place(form, paper, FormNumber.new())) == ()


@given(table=tables())
@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
def test_blank_form_of_any_table_names_what_nothing_explains(table):
    service = KINDS["service"]
    form = service.form(table, printed_on=PRINTED, last_visit=None, technicians=())
    layout = place(form, Paper.A4, FormNumber.new()).layout
    blank = {
        field.id: Reading(Status.SURE, False, 1.0)
        if type(field).__name__ == "Tick"
        else Reading(Status.EMPTY, None, 1.0, ink=False)
        for page in layout.pages
        for field in page.fields
    }

    visit = service.interpret(
        Context(table, PRINTED, layout),
        blank,
        pages_in=[page.page for page in layout.pages],
        received_on=PRINTED,
    )
    doubted = {doubt.field for doubt in visit.doubts}
    stations = [*table.adjusted_legs(), *table.brackets]
    assert {f"{one.name}.pass1.found" for one in stations} <= doubted
    assert visit.passes == ()
