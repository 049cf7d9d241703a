"""Fresh tables of a build with and without what eight others of it taught.

Each build's nuts share a median that the calculator does not know: weaker than common practice,
stronger, or the same, which is a build that shares nothing. Simulated by the hall, which knows
nothing of the calculator; every 25 fresh tables have eight teachers of their own, each visited
twice by the paper alone. Rows have the 95 % interval of Clopper and Pearson.
"""

import pytest
from leveling.builds import fresh_both, paper_both
from leveling.hall import THOU, World
from leveling.tables import five_legs

PAPER, PLAN = 4000, 1000
MEDIANS = {"weak": 1.2, "strong": 3.5}  # thousandths of an inch for a quarter turn; usual: 2


def world(thou):
    return World(nut_median=thou * THOU)


def said(show, name, rows):
    for what, (without, with_) in rows.items():
        show(f"{name}, {what}: without {without}, with {with_}")


@pytest.mark.parametrize("name", MEDIANS)
def test_paper_of_a_taught_build_brings_more_tables_in_with_one_walk(show, share, name):
    rows = paper_both(five_legs(), world(MEDIANS[name]), round(PAPER * share), 71)
    said(show, f"{name} build", rows)

    without, with_ = rows["paper, one walk"]
    assert without.high < with_.low if share == 1 else without.hits < with_.hits


def test_paper_is_no_worse_where_a_build_shares_nothing(show, share):
    rows = paper_both(five_legs(), world(2.0), round(PAPER * share), 72)
    said(show, "build like any other", rows)

    assert all(with_.high >= without.low for without, with_ in rows.values())


@pytest.mark.long
@pytest.mark.parametrize("name", MEDIANS)
def test_plan_of_a_taught_build_brings_more_tables_in_with_one_pass(show, share, name):
    rows = fresh_both(five_legs(), world(MEDIANS[name]), round(PLAN * share), 73)
    said(show, f"{name} build", rows)

    without, with_ = rows["plan, one pass"]
    assert without.high < with_.low if share == 1 else without.hits <= with_.hits


@pytest.mark.long
def test_plan_is_no_worse_where_a_build_shares_nothing(show, share):
    rows = fresh_both(five_legs(), world(2.0), round(PLAN * share), 74)
    said(show, "build like any other", rows)

    assert all(with_.high >= without.low for without, with_ in rows.values())
