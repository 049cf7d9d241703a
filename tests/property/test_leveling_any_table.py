"""Any table with any visits: a message that says what to do, or an answer; never a crash.

Numbers that are none, sizes of nought, parts in one place, counts that no hand makes, visits of one
day or out of order: what a program may send, and no description lets through.
"""

import math
import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from passport.leveling.advice import Verdict
from passport.leveling.advise import advise
from passport.leveling.errors import TableUnusable
from passport.leveling.evidence import evidence
from passport.leveling.explain import why_lines
from passport.leveling.lessons import lesson
from passport.leveling.relief import relief
from passport.leveling.seasons import season_course
from passport.leveling.sight import unseen
from passport.leveling.unusable import why_unusable
from passport.table import (
    Board,
    Bracket,
    FootType,
    Kit,
    Leg,
    LineLaser,
    Own,
    Reads,
    RiseBy,
    Role,
    Side,
    Steps,
    Table,
    Target,
    Targets,
    TautLine,
    Thread,
    Ways,
)
from passport.visit import BracketPass, Count, LegPass, Pass, Visit

TODAY = date(2026, 6, 1)
ODD = st.sampled_from([math.nan, math.inf, -math.inf, 0.0, -1.0, 1e-9, 1e9, 1e300])
MOST_STEPS = 18  # three parts of a nut in sixths


def mostly(*usual):
    """Draw a usual number, one time in 100 an odd one."""
    return st.integers(0, 99).flatmap(lambda n: ODD if n == 0 else st.sampled_from(usual))


LINES = st.builds(
    TautLine, st.builds(Own, mostly(0.5), st.just(0.02)), st.builds(Own, mostly(30.0), mostly(0.6)),
    st.just(Own(12.7, 0.05)), mostly(0.1), st.just(0.05),
)  # fmt: skip
LASERS = st.builds(LineLaser, st.just(Own(0.0, 0.17)), mostly(0.5), st.just(0.25))
KITS = st.builds(
    Kit, st.just("kit"), mostly(300.0, 609.6), mostly(280.0, 508.0), mostly(0.1, 0.5),
    st.none() | st.just(0.01), mostly(0.05, 0.19), mostly(0.001, 0.01), st.sampled_from(Reads),
    cross_read=st.sampled_from(Ways), rise_by=st.sampled_from(RiseBy),
    line=st.none() | LINES, laser=st.none() | LASERS,
)  # fmt: skip
THREADS = st.none() | st.builds(Thread, st.just("thread"), mostly(1.5, 1.5875))
COUNTS = (
    st.none()
    | st.builds(Count, st.integers(-8, 9), st.booleans())
    | st.sampled_from([Count(10**6), Count(-(10**6), True)])
)
TURNS = st.none() | st.integers(-9, 9) | st.sampled_from([10**6, -500])
TICKS = st.none() | st.booleans()
LEG_ROWS = st.builds(
    LegPass, COUNTS, TURNS, TURNS, COUNTS, TICKS, TICKS, TICKS, st.booleans(), COUNTS, COUNTS
)
NUT_ROWS = st.builds(BracketPass, COUNTS, TURNS, COUNTS, TICKS, st.booleans())
ENDS = st.sampled_from(["A", "B", "middle", "C"])
WALKS = st.builds(
    Pass,
    st.dictionaries(st.sampled_from([f"L{n}" for n in range(1, 14)]), LEG_ROWS),
    st.dictionaries(st.sampled_from([f"B{n}" for n in range(1, 10)]), NUT_ROWS),
    st.dictionaries(ENDS, COUNTS.filter(bool)),
    st.dictionaries(ENDS, COUNTS.filter(bool)),
    st.dictionaries(st.sampled_from("AB"), st.integers(-9, 9)),
)
DAYS = st.none() | st.integers(-4000, 4000).map(lambda n: TODAY + timedelta(days=n))


@st.composite
def tables(draw):
    length = draw(mostly(1200.0, 2743.2, 6705.6))
    reach = length if math.isfinite(length) and 0 < length < 1e6 else 5000.0
    count, nuts = draw(st.sampled_from([0, 1, 2, 3, 5, 12])), draw(st.sampled_from([0, 1, 8]))
    places = [reach / 12 + n * reach / 1.2 / max(1, count - 1) for n in range(count)]
    if count > 1 and draw(st.integers(0, 14)) == 0:
        places[1] = places[0]
    roles = [draw(st.sampled_from(Role)) for _ in places]
    if count > 2 and draw(st.booleans()):
        roles = [Role.END, *roles[1:-1], Role.END]
        roles[count // 2] = Role.CENTRE
    legs = tuple(
        Leg(f"L{n + 1}", x, role, draw(mostly(508.0)), FootType.UNKNOWN, draw(THREADS))
        for n, (x, role) in enumerate(zip(places, roles, strict=True))
    )
    brackets = tuple(
        Bracket(f"B{n + 1}", reach * (n + 0.5) / nuts, draw(THREADS), Side.LEFT)
        for n in range(nuts)
    )
    rise = draw(st.none() | st.builds(Target, mostly(3.175), mostly(0.8)))
    targets = Targets(Target(draw(mostly(0.5)), 0.19), Target(0.0, draw(mostly(0.8))), rise)
    board = Board(length, draw(mostly(508.0)), 76.2, draw(st.sampled_from(["maple", "none", ""])))
    table = Table("1", "Any", "Nowhere", board, legs, brackets, targets, draw(KITS), "metric")
    return replace(table, nuts_by=draw(st.sampled_from(Steps)))


@st.composite
def visited(draw):
    table = draw(tables())
    walks = st.lists(WALKS, max_size=2).map(tuple)
    visits = [
        Visit("F", "service", "1", draw(DAYS), draw(st.just(table.kit) | KITS), passes=draw(walks),
              changed=draw(st.frozensets(st.sampled_from(["part", "moved"]), max_size=1)))
        for _ in range(draw(st.integers(0, 3)))
    ]  # fmt: skip
    return table, visits + visits[: draw(st.integers(0, 1))]


@settings(max_examples=40, deadline=None)
@given(visited())
def test_any_table_gets_a_message_or_an_answer_with_numbers(drawn):
    table, visits = drawn
    evidence(table, visits)
    if why := why_unusable(table, visits):
        with pytest.raises(TableUnusable, match=re.escape(why)):
            advise(table, visits, today=TODAY)
        return

    advice = advise(table, visits, today=TODAY)

    for move in advice.moves:
        assert math.isfinite(move.expected)
        assert math.isfinite(move.expected_u)
        assert abs(move.steps) <= MOST_STEPS
    for state in advice.state:
        known = (state.value, state.u, state.low, state.high, state.p_in)
        assert all(number is None or math.isfinite(number) for number in known)
        assert state.value is not None or state.verdict in (Verdict.UNDECIDED, Verdict.UNKNOWN)
    assert " nan " not in " ".join((*why_lines(table, visits, advice), *unseen(table)))
    relief(table, visits)
    season_course(table, visits, TODAY)
    lesson(table, visits)
