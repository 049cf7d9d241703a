from dataclasses import replace
from datetime import date

import pytest

from passport.climate.air import AirReading
from passport.climate.outlook import (
    Amount,
    BestMonth,
    Outlook,
    Passing,
    Setting,
    YearEnd,
)
from passport.leveling.seasons import (
    Foreseen,
    foreseen,
    season_course,
    season_lines,
    season_outlook,
)
from passport.table import Room
from passport.visit import BracketPass, Count, Pass, Visit

TODAY = date(2026, 3, 9)
FOUND = Outlook(
    sensitivity=Amount(0.12, 0.05),
    swing=Amount(0.3, 0.1),
    dry=YearEnd(date(2027, 2, 8), Amount(-0.05, 0.02)),
    damp=YearEnd(date(2026, 8, 10), Amount(0.25, 0.09)),
    setting=Setting(0.42, date(2026, 6, 5), Amount(0.37, 0.06), Amount(0.67, 0.1)),
    passing=Passing(date(2026, 4, 20), "B3", 0.3),
    best=BestMonth(8, 0.62),
    stated="a heated room, assumed driest in February",
    readings=1,
)


def seen(visit, day, cards=2, **parts):
    row = BracketPass(Count(cards))
    walk = Pass(brackets={f"B{i}": row for i in range(1, 9)})
    return replace(visit, **{"date": day, "passes": (walk,), **parts})


def test_table_without_a_hollow_between_counts_has_no_seasons(table, visit):
    assert season_outlook(table, [visit], TODAY) is None


def test_open_ended_counts_tell_of_no_movement(table, visit):
    walk = Pass(brackets={"B1": BracketPass(Count(7, bound=True))})

    assert season_outlook(table, [replace(visit, passes=(walk,))], TODAY) is None


def test_visit_without_a_date_is_left_out(table, visit):
    assert season_outlook(table, [seen(visit, None)], TODAY) is None


def test_visits_teach_the_seasons(table, visit):
    one, two = date(2025, 8, 3), date(2026, 2, 3)
    still = season_outlook(table, [seen(visit, one), seen(visit, two)], TODAY)
    moved = season_outlook(table, [seen(visit, one, 5), seen(visit, two)], TODAY)

    assert moved.swing.value > still.swing.value


def test_turns_between_counts_are_no_season(table, visit):
    turned = BracketPass(Count(5), turns=-3, after=Count(2))
    walk = Pass(brackets={f"B{i}": turned for i in range(1, 9)})
    first = seen(visit, date(2025, 8, 3), passes=(walk,))
    still = seen(visit, date(2025, 8, 3))

    after, untouched = (
        season_outlook(table, [one, seen(visit, date(2026, 2, 3))], TODAY) for one in (first, still)
    )
    assert after.swing.value == pytest.approx(untouched.swing.value, abs=0.1)


@pytest.mark.parametrize("mark", ["moved", "climate", "refinished", "part"])
def test_change_of_the_table_or_its_room_starts_anew(table, visit, mark):
    last = seen(visit, date(2026, 3, 2), changed=frozenset({mark}))
    before = seen(visit, date(2025, 8, 3), 5)

    assert season_outlook(table, [before, last], TODAY) == season_outlook(table, [last], TODAY)


def test_air_of_visits_and_owner_cards_counts(table, visit):
    last = seen(visit, date(2026, 3, 2), air_humidity_pct=40.0, air_temperature_c=20.0)
    found = season_outlook(table, [last], TODAY, [AirReading(date(2026, 2, 1), 35.0)])

    assert found.readings == 2


def test_room_as_described_decides_over_the_season(table, visit):
    """Driest about 1 August; the board follows some two weeks later."""
    named = replace(table, room=Room(dry_months=(7, 8), damp_months=(1, 2)))
    found = season_outlook(named, [seen(visit, date(2026, 3, 2))], TODAY)

    assert (found.dry.day.month, found.damp.day.month) == (8, 2)


def test_visit_is_foreseen_with_its_reason(table):
    assert foreseen(table, date(2026, 3, 2), FOUND) == Foreseen(
        date(2026, 4, 20),
        "By then B3's hollow is out of tolerance with a chance of 30 % (seasons: "
        "0.30 ± 0.20 mm over the year).",
    )


def test_visit_is_foreseen_two_weeks_after_the_last_at_the_soonest(table):
    soon = replace(FOUND, passing=Passing(date(2026, 3, 2), "B3", 0.9))

    assert foreseen(table, date(2026, 3, 2), soon).on == date(2026, 3, 16)


@pytest.mark.parametrize("found", [None, replace(FOUND, passing=None)])
def test_no_visit_is_foreseen_where_nothing_passes(table, found):
    assert foreseen(table, date(2026, 3, 2), found) is None


def test_seasons_are_said_in_five_lines(table):
    assert season_lines(table, FOUND) == (
        "Seasons rest on a heated room, assumed driest in February, and 1 reading of the air; the "
        "board is taken as a slab open below.",
        "Yearly movement of the hollow: 0.30 ± 0.20 mm from dry to damp end.",
        "Dry end in February: 0.05 ± 0.04 mm flatter; damp end in August: 0.25 ± 0.18 mm "
        "hollower, against today.",
        "A hollow set to 0.42 mm today stays in tolerance longest: the chance of being out passes "
        "30 % by 5 June 2026; then 0.37 ± 0.12 mm at the dry end, 0.67 ± 0.20 mm at the damp end.",
        "A visit in August would settle the yearly movement best: it leaves 62 % of what is "
        "uncertain.",
    )


def test_setting_that_lasts_the_year_is_said_so(table):
    lasting = replace(FOUND, setting=replace(FOUND.setting, until=None))

    assert season_lines(table, lasting)[3].startswith(
        "A hollow set to 0.42 mm today stays in tolerance longest: the chance of being out stays "
        "below 30 % for a year; then"
    )


def test_ends_of_a_year_that_may_be_still_are_doubted(table):
    doubtful = replace(FOUND, swing=Amount(0.1, 0.2))

    assert season_lines(table, doubtful)[2] == (
        "Dry end perhaps in February: 0.05 ± 0.04 mm flatter; damp end perhaps in August: "
        "0.25 ± 0.18 mm hollower, against today."
    )


def test_counts_that_no_hand_makes_are_learned_from_without_a_crash(table):
    """Visits of one day with as many cards as fit a number: all of their error is shared."""
    walk = Pass({}, {nut.name: BracketPass(Count(10**12)) for nut in table.brackets})
    day = Visit("F", "service", "1", date(2026, 3, 2), table.kit, passes=(walk,))

    assert season_course(table, [day] * 4, date(2026, 6, 1)) is not None
