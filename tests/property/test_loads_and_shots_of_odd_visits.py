"""Whatever a form may say, loads and shots are numbers, or a line that says why there are none."""

import re
from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from passport.leveling.evidence import evidence
from passport.leveling.loads.floor import Floor
from passport.table import (
    Board,
    Bracket,
    FootType,
    Kit,
    Leg,
    Role,
    Side,
    Table,
    Target,
    Targets,
    Thread,
)
from passport.visit import BracketPass, Count, Glide, LegPass, Pass, Shot, Visit

FOOT = Thread("3/8-16 UNC", 1.5875)
KIT = Kit("kit", 500, 500, 0.1, None, 0.2, 0.004)
ROLES = (Role.END, Role.SUPPORTING, Role.CENTRE, Role.SUPPORTING, Role.END)
TABLE = Table(
    "1",
    "Invented",
    "Nowhere",
    Board(6600, 500, 76.2, "maple"),
    tuple(
        Leg(f"L{i + 1}", 300 + 1500 * i, role, 500, FootType.STUD_IN_LEG, FOOT)
        for i, role in enumerate(ROLES)
    ),
    tuple(Bracket(f"B{i + 1}", 400 + 800 * i, FOOT, Side.LEFT) for i in range(8)),
    Targets(Target(0.5, 0.19), Target(0.0, 0.8), Target(3.175, 0.8)),
    KIT,
    "metric",
)

counts = st.none() | st.builds(Count, st.integers(-9, 9) | st.just(10**6), st.booleans())
turns = st.none() | st.integers(-40, 40)
ticks = st.none() | st.booleans()
legs = st.builds(LegPass, counts, turns, turns, counts, ticks, ticks)
brackets = st.builds(BracketPass, counts, turns, counts)
named_legs = st.dictionaries(st.sampled_from([leg.name for leg in TABLE.legs]), legs)
named_brackets = st.dictionaries(st.sampled_from([b.name for b in TABLE.brackets]), brackets)
rises = st.dictionaries(st.sampled_from("AB"), counts.filter(bool))
numbers = st.sampled_from([None, 0.0, 4.0, 5.0, 70.0, float("nan"), 1e300])
visits = st.builds(
    Visit,
    form=st.just("F"),
    kind=st.just("service"),
    table=st.just("1"),
    date=st.none() | st.just(date(2026, 3, 2)),
    kit=st.just(KIT),
    level_check=st.none() | st.tuples(counts.filter(bool), counts.filter(bool)),
    passes=st.lists(st.builds(Pass, named_legs, named_brackets, rises), max_size=2).map(tuple),
    shots=st.lists(
        st.builds(
            Shot,
            st.sampled_from(["left", "middle", "right", ""]),
            st.sampled_from(["A", "B", "C"]),
            st.integers(-6, 6),
            st.booleans(),
        ),
        max_size=6,
    ).map(tuple),
    glides=st.lists(st.builds(Glide, st.sampled_from("AB"), numbers, numbers), max_size=3).map(
        tuple
    ),
)


@given(st.lists(visits, max_size=2), st.sampled_from([None, Floor(), Floor(40, 500), Floor(0, -1)]))
@settings(max_examples=40, deadline=None)
def test_any_visit_gives_lines_without_a_number_that_is_none(made, floor):
    found = evidence(TABLE, made, floor)

    read = [re.sub(r"glide from .*? can't be", "", line) for line in found.shot_lines]
    assert not re.search(r"\b(nan|inf|None)\b", " ".join((*found.load_lines, *read)))
