"""The explanation of an advice, line by line."""

from dataclasses import replace

from passport.leveling.advise import advise
from passport.leveling.explain import why_lines
from passport.visit import BracketPass, Count, Pass


def explained(table, visit):
    walk = Pass(brackets={"B1": BracketPass(Count(0), 4, Count(1))})
    visits = [replace(visit, passes=(walk,))]
    return why_lines(table, visits, advise(table, visits, today=visit.date))


def test_nothing_to_explain_without_a_visit(table, visit):
    assert why_lines(table, [], advise(table, [], today=visit.date)) == [
        "No visit yet: nothing to explain."
    ]


def test_readings_are_listed_in_their_order_with_their_intervals(table, visit):
    lines = [line.split(";")[0] for line in explained(table, visit) if line.startswith("  B1 hol")]

    assert lines[:2] == [
        "  B1 hollow: 0 cards, level shows 0.00 mm to 0.20 mm",
        "  B1 hollow, read again: 1 card, level shows 0.20 mm to 0.40 mm",
    ]


def test_each_response_says_what_it_rests_on(table, visit):
    lines = explained(table, visit)

    assert "  B2: 0.055 ± 0.046 mm (common practice)" in lines
    assert any(line.startswith("  B1: ") and "learned from 1 turn" in line for line in lines)


def test_shared_errors_come_first(table, visit):
    lines = explained(table, visit)

    assert [line.partition(":")[0] for line in lines[2:5]] == [
        "  cards",
        "  level's zero",
        "  straightedge's bow",
    ]
