"""What is named before anyone turns a nut, and what is not."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from passport.leveling.posterior.filter import known_through
from passport.leveling.watch import compared, watch
from passport.visit import BracketPass, Count, LegPass, Pass

LEVEL = {f"L{n}": LegPass(Count(0)) for n in (1, 3, 5)}
EVEN = {f"B{n}": BracketPass(Count(2)) for n in range(1, 9)}


def line_of(table, visit, *walks):
    visits = [replace(visit, form=str(n), passes=(walk,)) for n, walk in enumerate(walks)]
    return watch(table, known_through(table, visits)[-1])


def test_visit_like_the_one_before_is_not_named(table, visit):
    assert line_of(table, visit, Pass(LEVEL, EVEN), Pass(LEVEL, EVEN)) == []


def test_bracket_that_moved_alone_is_named_with_what_was_expected(table, visit):
    loose = EVEN | {"B4": BracketPass(Count(0))}

    assert line_of(table, visit, Pass(LEVEL, EVEN), Pass(LEVEL, loose)) == [
        "B4 hollow: found 0.17 ± 0.07 mm hollow; by what was left, and what other stations did "
        "since, 0.48 ± 0.20 mm hollow was to be expected: that is no drift. Before turning, look "
        "for a loose nut or bracket, a count written in the wrong row."
    ]


def test_all_brackets_that_moved_alike_are_the_room_and_not_named(table, visit):
    dry = {name: BracketPass(Count(1)) for name in EVEN}

    assert line_of(table, visit, Pass(LEVEL, EVEN), Pass(LEVEL, dry)) == []


def test_level_that_lost_its_zero_is_named_once_and_no_leg(table, visit):
    off = {name: LegPass(Count(3)) for name in LEVEL}

    (line,) = line_of(table, visit, Pass(LEVEL, EVEN), Pass(off, EVEN))

    assert line.startswith("All cross levels are off alike: the level seems to show ")


def test_counts_that_contradict_their_turns_are_named(table, visit):
    odd = EVEN | {"B4": BracketPass(Count(7), 1, Count(2))}

    lines = line_of(table, visit, Pass(LEVEL, EVEN), Pass(LEVEL, odd))

    assert lines == [
        "B4 hollow: its counts and turns can't all be true. Look at its row on the form; only its "
        "last count is used."
    ]


def test_change_that_relaxes_after_a_turn_is_no_loosening(table, visit):
    crown = {name: BracketPass(Count(-1), 8, Count(1)) for name in EVEN}

    later = {name: BracketPass(Count(1)) for name in EVEN}
    assert line_of(table, visit, Pass(LEVEL, crown), Pass(LEVEL, later)) == []


def test_nothing_is_off_in_an_empty_visit(table, visit):
    known = known_through(table, [replace(visit, date=date(2026, 1, 1))])[-1]

    assert compared(known).off == pytest.approx(np.zeros(known.places.state))
