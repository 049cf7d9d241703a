from dataclasses import replace
from datetime import date

import pytest

from passport.leveling.warn import warnings
from passport.visit import BracketPass, Count, LegPass, Pass


def walked(visit, **walk):
    return replace(visit, passes=(Pass(**walk),))


@pytest.mark.parametrize(
    ("changes", "line"),
    [
        (
            {"unsafe": True},
            "Unsafe, do not use was ticked: out of use until checked. "
            "Telephone the customer today.",
        ),
        ({"office_must_read": True}, "The notes ask the office to read them."),
        (
            {"other_kit": True},
            "Measured with another kit than the form's: the turns under its counts did not apply.",
        ),
        (
            {"level_check": (Count(2), Count(-1))},
            "The level check differs by 3 cards: cross levels count as read both ways round. "
            "Adjust the level before the next visit.",
        ),
        (
            {"passes": (Pass(legs={"L1": LegPass(bears_left=False, bears_right=False)}),)},
            "L1: left foot and right foot carry nothing. Make it bear before any other turn.",
        ),
        (
            {"passes": (Pass(legs={"L1": LegPass(bears_left=False, bears_right=True)}),)},
            "L1: left foot carries nothing. Make it bear before any other turn.",
        ),
        (
            {"passes": (Pass(legs={"L1": LegPass(turns_left=1, jam_nut_locked=False)}),)},
            "L1: turned, and its jam nuts not ticked as locked. Check them first.",
        ),
        (
            {"passes": (Pass(brackets={"B2": BracketPass(turns=1, locked=False)}),)},
            "B2: turned, and not ticked as locked. Check its nuts first.",
        ),
    ],
)
def test_what_stands_out_is_said(table, visit, changes, line):
    assert warnings(table, [replace(visit, **changes)]) == (line,)


def test_level_check_that_rounding_can_explain_is_no_warning(table, visit):
    checked = replace(visit, level_check=(Count(1), Count(-1)))

    # 2 cards of 0.4 mm/m: the zero is 0.2 mm/m at least, and such a level's is known to 0.1
    assert warnings(table, [checked]) == ()


def test_no_history_has_no_warnings(table):
    assert warnings(table, []) == ()


def test_unsafe_comes_first(table, visit):
    lines = warnings(table, [replace(visit, other_kit=True, office_must_read=True, unsafe=True)])

    assert lines[0].startswith("Unsafe")


def test_slack_supporting_leg_is_no_warning(table, visit):
    assert warnings(table, [walked(visit, legs={"L2": LegPass(bears_left=False)})]) == ()


def test_value_far_from_what_was_left_is_said_with_both(table, visit):
    then = walked(visit, legs={"L1": LegPass(Count(0))})
    now = replace(walked(visit, legs={"L1": LegPass(Count(5))}), date=date(2026, 6, 1))

    assert warnings(table, [then, now]) == (
        "L1 cross level: found 1.99 ± 0.33 mm/m left high; by what was left, and what other "
        "stations did since, 0.00 ± 0.46 mm/m was to be expected: that is no drift. Before "
        "turning, look for a foot that sank, a loose jam nut, a level that lost its zero.",
    )


def test_value_near_what_was_left_is_no_warning(table, visit):
    then = walked(visit, legs={"L1": LegPass(Count(0))})
    now = walked(visit, legs={"L1": LegPass(Count(2))})

    assert warnings(table, [then, now]) == ()


def test_drift_is_from_left_to_found_and_not_to_left(table, visit):
    then = walked(visit, brackets={"B1": BracketPass(Count(7), -8, Count(2), True)})
    now = walked(visit, brackets={"B1": BracketPass(Count(2))})

    assert warnings(table, [then, now]) == ()


def test_moved_table_has_no_drift(table, visit):
    then = walked(visit, legs={"L1": LegPass(Count(0))})
    now = replace(walked(visit, legs={"L1": LegPass(Count(5))}), changed=frozenset({"moved"}))

    assert warnings(table, [then, now]) == (
        "The table was moved, or its floor or a part changed: what was left before is void.",
    )
