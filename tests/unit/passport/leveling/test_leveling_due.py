from dataclasses import replace
from datetime import date

import pytest

from passport.leveling.advice import Verdict
from passport.leveling.due import Due, Terms, next_visit, terms_of
from passport.leveling.seasons import Foreseen
from passport.table import Room
from passport.visit import BracketPass, Count, Pass

TODAY = date(2026, 3, 9)  # the visit was on 2 March


def test_first_leveling_is_due_at_once():
    assert next_visit(None, 0, Verdict.UNKNOWN, TODAY) == Due(
        TODAY, "Nothing was measured yet: the first leveling is due."
    )


@pytest.mark.parametrize(
    ("case", "due"),
    [
        (
            (1, Verdict.IN, ()),
            Due(date(2026, 3, 23), "New here, and wood answers slowly: within weeks."),
        ),
        (
            (2, Verdict.OUT, ()),
            Due(date(2026, 3, 16), "A station is out of tolerance: within two weeks."),
        ),
        (
            (2, Verdict.UNDECIDED, ()),
            Due(date(2026, 4, 13), "A station is undecided or not measured: within weeks."),
        ),
        (
            (2, Verdict.IN, ()),
            Due(date(2026, 5, 16), "Two to three months of average use (common practice)."),
        ),
        (
            (2, Verdict.IN, ("played heavy",)),
            Due(date(2026, 4, 16), "Played heavily: earlier than two months."),
        ),
    ],
)
def test_next_visit_is_the_earliest_of_all_reasons(visit, case, due):
    count, verdict, marks = case
    last = replace(visit, changed=frozenset(marks))

    assert next_visit(last, count, verdict, TODAY) == due


def test_next_visit_that_has_passed_is_overdue(visit):
    due = next_visit(visit, 2, Verdict.OUT, date(2026, 4, 1))

    assert due.why == "A station is out of tolerance: within two weeks. Overdue."


def test_next_visit_counts_from_today_where_the_date_is_in_doubt(visit):
    due = next_visit(replace(visit, date=None), 2, Verdict.OUT, TODAY)

    assert due.on == date(2026, 3, 23)


def test_seasons_bring_a_visit_forward(visit):
    terms = Terms(Foreseen(date(2026, 4, 20), "B3 is likely out."))

    assert next_visit(visit, 2, Verdict.IN, TODAY, terms) == Due(
        date(2026, 4, 20), "B3 is likely out."
    )


def test_seasons_never_put_a_visit_off_beyond_average_use(visit):
    terms = Terms(Foreseen(date(2026, 9, 1), "B3 is likely out."))

    assert next_visit(visit, 2, Verdict.IN, TODAY, terms).on == date(2026, 5, 16)


def test_visit_after_an_installation_stays_due_within_weeks(visit):
    terms = Terms(Foreseen(date(2026, 9, 1), "B3 is likely out."), longest_days=182)

    assert next_visit(visit, 1, Verdict.IN, TODAY, terms).on == date(2026, 3, 23)


def test_owner_may_set_another_longest_wait(visit):
    assert next_visit(visit, 2, Verdict.IN, TODAY, Terms(longest_days=182)) == Due(
        date(2026, 8, 31), "The owner has set a visit every 26 weeks."
    )


def test_seasons_still_count_where_the_owner_waits_longer(visit):
    terms = Terms(Foreseen(date(2026, 7, 1), "B3 is likely out."), longest_days=182)

    assert next_visit(visit, 2, Verdict.IN, TODAY, terms).on == date(2026, 7, 1)


def seen_in_two_cards(visit):
    row = BracketPass(Count(2))
    return replace(visit, passes=(Pass(brackets={f"B{i}": row for i in range(1, 9)}),))


def test_terms_hold_what_the_seasons_foresee(table, visit):
    terms = terms_of(table, [seen_in_two_cards(visit)], TODAY)

    assert terms.foreseen.why.startswith("By then B")


def test_terms_hold_the_owners_weeks_in_days(table, visit):
    asked = replace(table, room=Room(visit_within_weeks=26))

    assert terms_of(asked, [visit], TODAY) == Terms(None, 182)


def test_terms_of_a_table_without_dated_visits_are_the_owners(table, visit):
    undated = replace(seen_in_two_cards(visit), date=None)

    assert terms_of(table, [undated], TODAY) == Terms()
