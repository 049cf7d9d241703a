"""A hollow by feelers of unequal steps: intervals by hand, words, look-ups, what is learned."""

from dataclasses import replace

import pytest

from passport.leveling.lines import hollow_count_words, hollow_range_words
from passport.leveling.lookup import hollow_turns
from passport.leveling.posterior.filter import known_at
from passport.leveling.readings import hollow_reading
from passport.visit import BracketPass, Count, Pass, Visit

BLADES = (0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.6)  # common practice, no source


@pytest.fixture
def table(table):
    return replace(table, kit=replace(table.kit, feelers_mm=BLADES, feeler_u_mm=0.003))


@pytest.mark.parametrize(
    ("count", "low", "high"),
    [
        (Count(0), 0.0, 0.05),
        (Count(4), 0.2, 0.3),
        (Count(6), 0.4, 0.6),
        (Count(7, True), 0.6, None),
        (Count(7), 0.6, None),  # no thicker blade: open, marked so or not
        (Count(9), 0.6, None),
        (Count(-1), -0.05, 0.0),
        (Count(-2), -0.1, -0.05),
        (Count(-2, True), None, -0.05),
        (Count(-9), None, -0.6),
    ],
)
def test_gap_lies_between_the_blade_that_passes_and_the_next(table, count, low, high):
    reading = hollow_reading(table.kit, 500, count)

    assert (reading.low, reading.high) == (low, high)


def test_short_level_shows_part_of_the_hollow_by_feelers_too(table):
    kit = replace(table.kit, level_length_mm=250.0)

    assert hollow_reading(kit, 500, Count(4)).low == pytest.approx(0.8)  # (500 / 250)² × 0.2


def test_blade_has_its_own_uncertainty_and_none_of_the_cards(table):
    reading = hollow_reading(table.kit, 500, Count(4))

    assert reading.own_u == pytest.approx(0.02902, abs=1e-5)  # 0.05 / √3 and 0.003
    assert (reading.per_card, reading.stretch) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("count", "said"),
    [
        (Count(0), "no feeler"),
        (Count(3), "0.15 mm feeler"),
        (Count(7, True), "0.60 mm feeler or more"),
        (Count(-1), "crown, 0.05 mm feeler"),
        (Count(-2, True), "crown, 0.10 mm feeler or more"),
    ],
)
def test_count_names_the_blade(table, count, said):
    assert hollow_count_words(table, table.kit, count) == said


def test_range_of_counts_names_both_blades(table):
    assert hollow_range_words(table, 2, 4) == "0.10 mm feeler to 0.20 mm feeler"
    assert hollow_range_words(table, 2, 2) == "0.10 mm feeler"


def test_look_up_is_ok_between_blades_within_tolerance_only(table):
    """Asked 0.5 ± 0.19 mm: 0.4 to 0.6 and 0.3 to 0.4 by blades; beyond 0.6 nobody knows."""
    ok = [n for n in range(8) if hollow_turns(table, table.brackets[0], Count(n, n == 7)).ok]

    assert ok == [6]


def test_cards_of_the_day_learn_nothing_from_feelers(table):
    """Hollows by blades say nothing of a pack's thickness; counted in cards they would."""
    read = Pass(brackets={one.name: BracketPass(Count(5)) for one in table.brackets})
    visit = Visit("F1", "service", table.number, None, table.kit, passes=(read,))
    known = known_at(table, [visit])

    card = known.places.card
    assert known.whole.covariance[card, card] == pytest.approx(known.start.covariance[card, card])
