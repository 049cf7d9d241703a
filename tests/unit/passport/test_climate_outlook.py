from datetime import date

import numpy as np
import pytest

from passport.climate.air import AirReading
from passport.climate.learning import Sighting
from passport.climate.outlook import OUT_CHANCE, chance_out, outlook
from passport.climate.seasons import Known, seasons
from passport.table import Board, Room, Target

BOARD = Board(6700, 508, 76.2, "hard maple")
TARGET = Target(0.508, 0.1905)
TODAY = date(2026, 3, 2)


def seen(day, hollow=0.5):
    return [Sighting(f"B{i}", day, hollow, 0.055, 0.03) for i in range(1, 9)]


def history(months, years=5, swing=0.0):
    """Visit in given months of some years; the hollow peaks in August."""
    days = [date(TODAY.year - years + k, month, 15) for k in range(years) for month in months]
    return [one for day in days for one in seen(day, 0.5 + swing * _wave(day))]


def _wave(day):
    return float(np.cos(2 * np.pi * (day.month - 7.5) / 12))


def look(sightings, room=None, air=(), target=TARGET):
    known = Known(BOARD, room or Room(heated=True), tuple(sightings), tuple(air))
    return outlook(seasons(known, TODAY), target, TODAY, 0.06)


def test_chance_of_being_out_is_that_of_two_tails():
    """At the edge of a wide tolerance one half; in its middle with u a third of it 0.0027."""
    chances = chance_out(np.array([0.6985, 0.508]), np.array([0.01, 0.0635]), TARGET)

    assert chances == pytest.approx([0.5, 0.0027], abs=1e-4)


def test_fresh_table_is_foreseen_from_its_room_alone():
    found = look(seen(TODAY))

    assert (found.dry.day.month, found.damp.day.month) == (2, 8)


def test_fresh_table_is_plainly_uncertain():
    found = look(seen(TODAY))

    assert found.swing.u > found.swing.value


def test_year_of_visits_settles_the_swing():
    found = look(history(range(1, 13, 2), years=3, swing=0.2))

    assert abs(found.swing.value - 0.4) < 2 * found.swing.u < 0.25


def test_still_table_that_was_seen_all_year_is_expected_to_stay_still():
    found = look(history(range(1, 13, 2), years=3))

    assert found.swing.value + 2 * found.swing.u < 0.25


def test_visit_is_foreseen_when_the_first_bracket_passes_the_chance():
    found = look(seen(TODAY))

    assert found.passing is not None
    assert found.passing.chance == pytest.approx(OUT_CHANCE, abs=0.03)


def test_visit_to_a_table_that_moves_more_is_foreseen_earlier():
    still, moving = (look(history(range(1, 13, 2), 3, swing)) for swing in (0.0, 0.4))

    assert moving.passing.day < still.passing.day


def test_wide_tolerance_is_not_passed_within_the_year():
    assert look(seen(TODAY), target=Target(0.508, 5.0)).passing is None


def test_bracket_that_stands_out_of_line_is_the_one_that_is_named():
    sightings = [*seen(TODAY)[:7], Sighting("B8", TODAY, 0.67, 0.055, 0.03)]

    assert look(sightings).passing.bracket == "B8"


def test_setting_leaves_room_for_what_comes():
    """In March the hollow is about to grow: set flatter than the target."""
    found = look(history(range(1, 13, 2), 3, 0.2))

    assert found.setting.hollow_mm < TARGET.value


def test_setting_of_a_table_that_barely_moves_is_its_target():
    found = look(seen(TODAY), target=Target(0.508, 5.0))

    assert found.setting.until is None
    assert abs(found.setting.hollow_mm - 0.508) < 0.5


@pytest.mark.parametrize(("months", "best"), [((1, 7), {4, 10}), ((4, 10), {1, 7})])
def test_month_to_visit_is_midway_between_the_usual_ones(months, best):
    assert look(history(months)).best.month in best


def test_visit_in_the_named_month_narrows_the_year_more_than_one_in_a_usual_month():
    usual = history((1, 7))
    named = look(usual).best.month
    after = [look([*usual, *seen(date(2026, month, 15))]) for month in (named, 7)]

    assert after[0].swing.u < after[1].swing.u


def test_owner_cards_narrow_what_is_expected():
    days = [date(2024 + k // 12, k % 12 + 1, 5) for k in range(26)]
    cards = [AirReading(day, 42 + 11 * _wave(day), 20.0) for day in days]
    sightings = history(range(1, 13, 2), years=1, swing=0.1)

    assert look(sightings, air=cards).damp.change.u < look(sightings).damp.change.u


def test_reading_of_impossible_air_changes_nothing():
    impossible = [AirReading(date(2025, 6, 1), 400.0, 20.0)]

    assert look(seen(TODAY), air=impossible) == look(seen(TODAY))


def test_last_visit_that_is_years_ago_is_carried_to_today():
    found = look(seen(date(2020, 3, 2)))

    assert found.passing is not None
    assert found.passing.day <= TODAY


def test_visit_of_a_day_to_come_is_looked_at_from_that_day():
    found = look(seen(date(2028, 1, 3)))

    assert found.damp.day > date(2028, 1, 3)


def test_visits_older_than_five_years_are_left_out():
    old = seen(date(2012, 3, 2), 0.9)

    assert look([*old, *seen(TODAY)]) == look(seen(TODAY))
