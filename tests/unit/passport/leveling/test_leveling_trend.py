from dataclasses import replace
from datetime import date

import pytest

from passport.leveling.trend import trends
from passport.visit import Count, LegPass, Pass


def monthly(visit, *rows):
    """Make one visit a month, each with one row of L1."""
    return [
        replace(visit, date=date(2026, month, 1), passes=(Pass(legs={"L1": row}),))
        for month, row in enumerate(rows, start=1)
    ]


def found(*cards):
    return [LegPass(Count(n)) for n in cards]


def test_leg_that_sinks_steadily_is_named_with_its_side(table, visit):
    visits = monthly(visit, *found(0, 1, 2, 3, 4))  # 0.4 mm/m in 30 days

    assert trends(table, visits) == [
        "L1: not turned for 5 visits, and its right side sinks by 0.41 ± 0.10 mm/m a month. "
        "Look at that foot, its jam nut and the floor before turning."
    ]


def test_leg_that_sinks_to_the_left_is_named_so(table, visit):
    (line,) = trends(table, monthly(visit, *found(0, -1, -2, -3, -4)))

    assert "its left side sinks" in line


@pytest.mark.parametrize("cards", [(0, 1, 0, 1, 0), (1, 1, 1, 1), (0, 1, 2), (0, 0, 0, 3, 0)])
def test_scatter_or_a_short_run_is_no_trend(table, visit, cards):
    assert trends(table, monthly(visit, *found(*cards))) == []


def test_run_starts_anew_where_the_leg_was_turned(table, visit):
    turned = LegPass(Count(2), 0, 1, Count(0))

    assert trends(table, monthly(visit, *found(0, 1), turned, *found(1, 2, 3))) == []


def test_run_starts_anew_where_the_table_was_moved(table, visit):
    visits = monthly(visit, *found(0, 1, 2, 3, 4))
    visits[2] = replace(visits[2], changed=frozenset({"moved"}))

    assert trends(table, visits) == []
