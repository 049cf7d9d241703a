"""What tables of one build teach together, against hierarchical models worked out otherwise.

The independent computation integrates over the build's own strength and the spread by scipy's
Simpson rule; one table's nuts are then a multivariate normal whose covariances say what they have
in common (Gelman et al., *Bayesian Data Analysis*, 3rd ed., chapter 5; from memory). The likelihood
of one nut is compared with an ordinary least-squares line of statsmodels.
"""

import math
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import integrate, stats

from passport.leveling.lessons import Lesson, Said, lesson
from passport.leveling.lookup import nut_walk_mm
from passport.leveling.nut_prior import NUT_QUARTER_MM, USUAL
from passport.leveling.pooling import (
    ALIKE,
    BUILD_U,
    LOST_BUILD_U,
    LOST_SPREADS,
    SPREAD_LOG_U,
    SPREAD_MEDIAN,
    Source,
    lost_motion,
    pooled,
    strength,
)
from passport.leveling.response import learned, nut_response
from passport.table import Board, Bracket, BuildNuts, Kit, Side, Table, Target, Targets
from passport.visit import BracketPass, Count, Pass, Visit

STEP = 0.02  # mm: cards so thin that a count is as good as normal
KIT = Kit("thin cards", 500, 500, 0.1, None, STEP, 2e-6)
BUILT = BuildNuts(0.03, 0.2, 0.3, 0.1, 3, 41)
BOARD, BRACKET = Board(2600, 500, 76.2, "maple"), Bracket("B1", 1300, None, Side.LEFT)
TARGETS = Targets(Target(0.5, 0.19), Target(0.0, 0.8), None)
TABLE = Table("1", "Pooled", "Invented hall", BOARD, (), (BRACKET,), TARGETS, KIT, "metric")


def drawn(tables, median, seed, spread=0.3, alike=0.0):
    """Draw the nuts of some tables, each said to within 6 %."""
    draw = np.random.default_rng(seed)
    own = draw.normal(0, spread * math.sqrt(alike), (tables, 1))
    logs = own + draw.normal(0, spread * math.sqrt(1 - alike), (tables, 6))
    nuts = median * np.exp(logs)
    seen = nuts * (1 + 0.06 * draw.normal(size=nuts.shape))
    return [[Said(float(one), 0.06 * float(one)) for one in table] for table in seen]


MEANS, LOG_SPREADS = np.linspace(-1.2, 1.2, 481), np.linspace(math.log(0.1), math.log(0.9), 81)


def by_quadrature(tables):
    """Integrate over the build's strength and the spread; mean and deviation of a further nut."""
    logs = [np.log([one.value / NUT_QUARTER_MM for one in nuts]) for nuts in tables]
    noise = [np.diag([(one.u / one.value) ** 2 for one in nuts]) for nuts in tables]

    def density(log_spread, alike):
        """Give the density for all strengths of the build at once."""
        spread = math.exp(log_spread)
        found = stats.norm.pdf(MEANS, 0, BUILD_U)
        found *= stats.norm.pdf(log_spread, math.log(SPREAD_MEDIAN), SPREAD_LOG_U)
        for log, own in zip(logs, noise, strict=True):
            both = spread**2 * (alike + (1 - alike) * np.eye(len(log))) + own
            found *= stats.multivariate_normal.pdf(log - MEANS[:, None], cov=both)
        return found

    each = sum(np.array([density(one, alike) for one in LOG_SPREADS]) for alike in ALIKE)

    def moment(values):
        return integrate.simpson(integrate.simpson(values * each, x=MEANS), x=LOG_SPREADS)

    whole, mean = moment(np.ones_like(each)), moment(MEANS + 0 * each)
    square = moment(MEANS**2 + np.exp(2 * LOG_SPREADS[:, None]))
    return mean / whole, math.sqrt(square / whole - (mean / whole) ** 2)


@pytest.mark.parametrize(
    ("count", "median", "alike"), [(1, 0.0305, 0.0), (2, 0.0889, 0.0), (2, 0.03, 0.6)]
)
def test_strength_is_what_quadrature_of_the_hierarchy_gives(count, median, alike):
    tables = drawn(count, median, seed=count, alike=alike)

    mean, u = strength(tables)

    outside, outside_u = by_quadrature(tables)
    assert mean == pytest.approx(outside, abs=0.1 * outside_u)
    assert u == pytest.approx(outside_u, rel=0.06)


def test_lost_motion_is_what_quadrature_of_the_hierarchy_gives():
    nuts = [Said(0.42, 0.1), Said(0.35, 0.05), Said(0.5, 0.2), Said(0.3, 0.08)]

    def moment(weigh):
        return sum(
            integrate.quad(
                lambda mean, spread=spread: (
                    weigh(mean, spread)
                    * stats.norm.pdf(mean, USUAL.lost_quarters, LOST_BUILD_U)
                    * math.prod(
                        stats.norm.pdf(s.value, mean, math.hypot(s.u, spread)) for s in nuts
                    )
                ),
                *(0.0, 0.6),
            )[0]
            for spread in LOST_SPREADS
        )

    whole = moment(lambda *_: 1.0)
    mean = moment(lambda mean, _: mean) / whole
    square = moment(lambda mean, spread: mean**2 + spread**2) / whole
    assert lost_motion(nuts) == pytest.approx((mean, math.sqrt(square - mean**2)), rel=0.01)


def test_nobody_says_anything_of_a_build_without_turns():
    assert pooled([Source(Lesson(), 5)]) is None


def test_unknown_build_has_nuts_as_unknown_as_usual():
    assert strength([]) == pytest.approx((0.0, USUAL.log_sigma), abs=0.02)
    assert lost_motion([]) == pytest.approx((USUAL.lost_quarters, USUAL.lost_u), abs=0.01)


@pytest.mark.parametrize("median", [0.0305, 0.0508, 0.0889])
def test_many_tables_teach_their_median_and_their_spread(median):
    found = pooled([Source(Lesson(tuple(nuts)), 7) for nuts in drawn(20, median, 4)])

    assert found.median_mm == pytest.approx(median, rel=0.08)
    assert found.log_u == pytest.approx(0.3, abs=0.05)
    assert (found.tables, found.as_of) == (20, 7)


def test_a_build_lies_between_common_practice_and_what_was_seen():
    one, many = (strength(drawn(n, 0.1, 9, spread=0.1))[0] for n in (1, 20))

    assert 0 < one < many


def test_nuts_alike_within_a_table_only_teach_less_than_as_many_tables():
    """Six nuts of one table may share what the next table does not."""
    one = drawn(1, 0.1, 3, spread=0.05)
    apart = [[said] for said in one[0]]

    assert strength(one)[0] < strength(apart)[0]


# one table's lesson


def visited(turns, seen, **more):
    rows = [Pass({}, {"B1": BracketPass(seen[0], turns[0], seen[1])})]
    later = zip(turns[1:], seen[2:], strict=True)
    rows += [Pass({}, {"B1": BracketPass(None, t, c)}) for t, c in later]
    return Visit("F", "service", "1", date(2026, 3, 2), KIT, passes=tuple(rows), **more)


TURNS = (2, 3, 2, 3, 2, 3)


def counts(response, seed=5):
    made = np.cumsum((0, *TURNS))
    hollow = 0.1 + made * response + np.random.default_rng(seed).normal(0, 0.0127, len(made))
    return [Count(math.floor(one / STEP)) for one in hollow]


def test_lesson_of_a_nut_is_its_least_squares_line_whatever_was_believed():
    seen = counts(0.06)
    said = lesson(replace(TABLE, build_nuts=BUILT), [visited(TURNS, seen)]).nuts[0]

    made = np.cumsum(TURNS)
    line = sm.OLS([(c.cards + 0.5) * STEP for c in seen][1:], sm.add_constant(made)).fit()
    noise = math.hypot(0.0127, STEP / math.sqrt(12))
    u = noise / math.sqrt(((made - made.mean()) ** 2).sum())
    assert said.value == pytest.approx(line.params[1], abs=1.2 * u)
    assert said.u == pytest.approx(u, rel=0.4)


def test_lesson_does_not_depend_on_what_the_build_taught():
    """So nothing comes back to where it came from."""
    visits = [visited(TURNS, counts(0.06))]

    assert lesson(replace(TABLE, build_nuts=BUILT), visits) == lesson(TABLE, visits)


def test_a_replaced_nut_teaches_beside_the_one_before():
    first = visited(TURNS, counts(0.06))
    new = visited(TURNS, counts(0.03), changed=frozenset({"part"}))
    second = replace(new, form="G", date=date(2026, 5, 2))

    said = lesson(TABLE, [second, first]).nuts

    assert [one.value for one in said] == pytest.approx([0.06, 0.03], abs=0.005)


def test_a_new_place_takes_nothing_from_what_the_nuts_taught():
    first = visited(TURNS, counts(0.06))
    later = replace(first, form="G", date=date(2026, 5, 2), passes=(), changed=frozenset({"moved"}))

    assert len(lesson(TABLE, [first, later]).nuts) == 1


def test_nothing_turned_is_no_lesson():
    read = Visit(
        *("F", "service", "1", date(2026, 3, 2), KIT),
        passes=(Pass({}, {"B1": BracketPass(Count(3))}),),
    )

    assert (lesson(TABLE, [read]), lesson(TABLE, [])) == (Lesson(), Lesson())


def test_counts_that_contradict_each_other_teach_nothing():
    odd = [BracketPass(Count(0)), BracketPass(Count(30)), BracketPass(Count(30), 4, Count(0))]
    rows = tuple(Pass({}, {"B1": row}) for row in odd)

    assert lesson(TABLE, [Visit("F", "service", "1", None, KIT, passes=rows)]).nuts == ()


# what a table believes by its build


def test_a_table_of_a_build_begins_where_the_others_ended():
    fresh = replace(TABLE, build_nuts=BUILT)

    assert nut_walk_mm(fresh, BRACKET) == pytest.approx(0.03 * math.exp(0.02) * 1.2)
    found = nut_response(fresh)
    assert (found.mm, found.log_u) == (0.03, 0.2)
    assert found.source() == "learned as of event 41, from 3 tables of this build"


def test_a_tables_own_turns_are_added_to_its_build():
    fresh, visits = replace(TABLE, build_nuts=BUILT), [visited(TURNS, counts(0.06))]

    own, both = (learned(one, visits).nuts["B1"] for one in (TABLE, fresh))

    assert 0.03 < both.mm < own.mm
    assert both.source() == (
        "learned from 6 turns; before: learned as of event 41, from 3 tables of this build"
    )


def test_new_parts_forget_the_tables_own_and_not_the_build():
    fresh = replace(TABLE, build_nuts=BUILT)
    first = visited(TURNS, counts(0.06))
    later = replace(first, form="G", date=date(2026, 5, 2), passes=(), changed=frozenset({"part"}))

    found = learned(fresh, [first, later]).nuts["B1"]

    assert (found.mm, found.log_u) == (pytest.approx(0.03), pytest.approx(0.2))
    assert found.source() == "learned as of event 41, from 3 tables of this build"
