"""A service form says when it was printed, what it had learned by then, where to look again."""

from dataclasses import replace
from datetime import date

import pytest

from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from passport.visit import BracketPass, Count, LegPass, Pass, Visit
from passport.visits import KINDS

PRINTED = date(2026, 11, 2)


def form(table, last=None):
    return KINDS["service"].form(table, printed_on=PRINTED, last_visit=last, technicians=("AB",))


@pytest.fixture
def last(long_table):
    legs = {"L1": LegPass(Count(1), 1, 0, Count(0)), "L3": LegPass(Count(0))}
    nuts = {"B2": BracketPass(Count(1), 1, Count(2), True), "B3": BracketPass(Count(2))}
    return Visit("8K2M4QX07RJ", "service", long_table.number, date(2026, 3, 2), long_table.kit,
                 passes=(Pass(legs, nuts),))  # fmt: skip


def test_form_before_any_visit_says_that_nothing_is_learned_yet(long_table):
    assert form(long_table).footer.endswith(" Printed 2026-11-02, nothing learned yet.")


def test_form_says_up_to_which_visit_its_look_ups_have_learned(long_table, last):
    said = " Printed 2026-11-02; look-ups learned up to 2026-03-02."

    assert form(long_table, last).footer.endswith(said)


def test_stations_turned_last_time_and_no_others_say_look_again(long_table, last):
    again = [
        block.name
        for block in form(long_table, last).blocks
        if any(text.text == "look again" for text in block.texts)
    ]

    assert again == ["leg L1", "bracket B2"]


LONGEST = "The Table With The Longest Name That Anybody Ever Wrote Down"  # 60, the most


@pytest.mark.parametrize("kind", ["service", "installation", "kit", "surface", "card", "survey"])
@pytest.mark.parametrize("paper", Paper)
def test_form_holds_the_longest_names_of_table_site_and_kit(long_table, kind, paper):
    kit = replace(long_table.kit, name=LONGEST)
    table = replace(long_table, name=LONGEST, site=LONGEST, kit=kit)
    drawn = KINDS[kind].form(table, printed_on=PRINTED, last_visit=None, technicians=("AB",))

    placed = place(drawn, paper, FormNumber.new())

    assert LONGEST in " ".join(text.text.replace("\n", " ") for text in placed.sheets[0].texts)
