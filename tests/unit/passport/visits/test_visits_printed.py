"""A service form says when it was printed, what it had learned by then, where to look again."""

from dataclasses import replace
from datetime import date

import pytest

from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from forms.typeface import wrap
from passport.visit import BracketPass, Count, LegPass, Pass, Visit
from passport.visits import KINDS
from passport.visits.kind import LookFirst
from tests.tables import checked, described

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


OPEN = LookFirst(("turn planned: L3 and B4", "no value yet: B5"), frozenset({"L3", "B4", "B5"}))


def opened(table, lines):
    open_ = LookFirst(lines, frozenset())
    drawn = KINDS["service"].form(
        table, printed_on=PRINTED, last_visit=None, technicians=("AB",), look_first=open_
    )
    return next(block for block in drawn.blocks if block.name == "area")


def test_what_is_open_stands_at_the_head_and_at_its_stations(long_table, last):
    drawn = KINDS["service"].form(
        long_table, printed_on=PRINTED, last_visit=last, technicians=("AB",), look_first=OPEN
    )

    said = {
        (block.name, text.text)
        for block in drawn.blocks
        for text in block.texts
        if text.text in {"look first", "look again", "; ".join(OPEN.lines) + "."}
    }
    assert said == {
        ("area", "turn planned: L3 and B4; no value yet: B5."),
        ("leg L1", "look again"),
        ("leg L3", "look first"),
        ("bracket B2", "look again"),
        ("bracket B4", "look first"),
        ("bracket B5", "look first"),
    }


@pytest.mark.parametrize(("table", "lines"), [("long_table", 2), ("short_table", 1)])
def test_more_than_has_room_stands_on_the_next_actions(table, lines, request):
    many = tuple(f"a reason with many stations, number {number}" for number in range(30))

    texts = opened(request.getfixturevalue(table), many).texts
    said = next(text for text in texts if text.text.startswith("a reason"))
    assert said.text.endswith("; more on the next actions.")
    assert len(wrap(said.text, said.width, said.size_pt)) == lines


def test_form_of_which_nothing_is_open_says_nothing_of_it(long_table):
    assert not any("LOOK HERE" in text.text for text in opened(long_table, ()).texts)


LONGEST = "The Table With The Longest Name That Anybody Ever Wrote Down"  # 60, the most


@pytest.mark.parametrize("kind", ["service", "installation", "kit", "surface", "card", "survey"])
@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("units", ["imperial", "metric"])
@pytest.mark.parametrize("which", ["long", "middle", "short"])
@pytest.mark.parametrize("name", [LONGEST, LONGEST.upper()], ids=["longest", "widest"])
def test_form_holds_the_longest_names_of_table_site_and_kit(name, which, units, kind, paper):
    table = checked(described(which, units=units))
    table = replace(table, name=name, site=name, kit=replace(table.kit, name=name))
    drawn = KINDS[kind].form(table, printed_on=PRINTED, last_visit=None, technicians=("AB",))

    placed = place(drawn, paper, FormNumber.new())

    assert name in " ".join(text.text.replace("\n", " ") for text in placed.sheets[0].texts)
