"""What readings mean: only what is sure counts, all else is a doubt with its reason."""

from datetime import date
from decimal import Decimal

import pytest

from passport.visit import BracketPass, Count, Doubt, LegPass
from scan.reading import Reading, Status, Why

BLANK_OK = {"quick.nothing_turned": True, "date.month": 12, "date.day": Decimal(5)}


def marks(**found):
    """Mark a dated quick visit with further answers; ``__`` stands for a dot."""
    return BLANK_OK | {key.replace("__", "."): value for key, value in found.items()}


def whys(visit):
    return {doubt.field: doubt.why for doubt in visit.doubts}


def test_visit_without_marks_but_quick_and_dated_has_no_doubts(long_context, visit_of):
    assert visit_of(long_context, BLANK_OK).doubts == ()


def test_doubtful_reading_is_left_out_and_listed_with_the_words_on_the_paper(
    long_context, visit_of
):
    doubtful = {"B2.pass1.found": Reading(Status.DOUBTFUL, 3, 0.6, Why.TWO_MARKS)}

    visit = visit_of(long_context, BLANK_OK, doubtful)
    assert (visit.passes, visit.doubts) == (
        (),
        (Doubt("B2.pass1.found", "B2 found", "two marks"),),
    )


def test_reading_outside_the_picture_is_a_doubt(long_context, visit_of):
    outside = {"air.humidity": Reading(Status.OUTSIDE, None, 0.0)}

    visit = visit_of(long_context, BLANK_OK, outside)
    assert whys(visit) == {"air.humidity": "not in the picture, or in an unreadable place"}


def test_value_that_the_paper_could_not_give_is_a_doubt(long_context, visit_of):
    visit = visit_of(long_context, marks(B1__pass1__found=9))

    assert whys(visit) == {"B1.pass1.found": "9 is not an answer that can be given here"}


def test_turns_without_a_reading_after_them_are_a_doubt_and_what_was_found_stays(
    long_context, visit_of
):
    visit = visit_of(long_context, {"B1.pass1.found": 1, "B1.pass1.turns": 4})

    assert visit.passes[0].brackets["B1"].found == Count(1)
    assert visit.passes[0].brackets["B1"].turns is None
    assert whys(visit)["B1.pass1.after"] == "turns are marked, but no reading after them"


def test_reading_after_turning_without_turns_is_a_doubt(long_context, visit_of):
    visit = visit_of(long_context, {"L1.pass1.found": -2, "L1.pass1.after": 0})

    assert visit.passes[0].legs["L1"] == LegPass(found=Count(-2))
    assert whys(visit)["L1.pass1.turns.left"] == ("a reading after turning is marked, but no turns")


def test_station_not_touched_yet_turned_is_a_doubt(long_context, visit_of):
    visit = visit_of(
        long_context,
        {"B3.pass1.found": 2, "B3.pass1.untouched": True, "B3.pass1.turns": 1,
         "B3.pass1.after": 2},
    )  # fmt: skip

    assert visit.passes[0].brackets["B3"].found == Count(2)
    assert visit.passes[0].brackets["B3"].untouched is False
    assert whys(visit)["B3.pass1.untouched"] == (
        "marked as not touched, yet turns or a reading after them are marked too"
    )


def test_station_not_touched_needs_no_reading(long_context, visit_of):
    visit = visit_of(long_context, {"B3.pass1.untouched": True})

    assert visit.passes[0].brackets["B3"] == BracketPass(untouched=True)
    assert "B3.pass1.found" not in whys(visit)


def test_blank_station_that_nothing_explains_is_a_doubt(long_context, visit_of):
    visit = visit_of(long_context, {"brackets.not_measured": True})

    names = {doubt.field for doubt in visit.doubts}
    assert {"L1.pass1.found", "L3.pass1.found", "L5.pass1.found", "rise.A.pass1.found"} <= names
    assert not any(name.startswith("B") for name in names)
    assert whys(visit)["L1.pass1.found"] == "nothing is marked here, and no box says why"


def test_part_not_measured_yet_marked_is_a_doubt(long_context, visit_of):
    visit = visit_of(long_context, marks(brackets__not_measured=True, B1__pass1__found=2))

    assert whys(visit) == {
        "brackets.not_measured": "marked as not measured, yet readings are marked too"
    }


def test_nothing_turned_yet_turns_marked_is_a_doubt(long_context, visit_of):
    visit = visit_of(
        long_context, marks(B1__pass1__found=1, B1__pass1__turns=4, B1__pass1__after=2)
    )

    assert whys(visit) == {
        "quick.nothing_turned": "marked as nothing turned, yet turns are marked too"
    }


def test_more_without_turns_is_only_a_bound(long_context, visit_of):
    visit = visit_of(long_context, marks(L1__pass1__found=5))

    assert visit.passes[0].legs["L1"] == LegPass(found=Count(5, bound=True))


def test_foot_without_a_mark_beside_a_turned_one_was_not_turned(long_context, visit_of):
    visit = visit_of(
        long_context,
        {"L1.pass1.found": -3, "L1.pass1.turns.left": 2, "L1.pass1.after": 0,
         "L1.pass1.locked": True},
    )  # fmt: skip

    assert visit.passes[0].legs["L1"] == LegPass(Count(-3), 2, 0, Count(0), jam_nut_locked=True)


def test_doubtful_foot_beside_a_turned_one_stays_unknown(long_context, visit_of):
    visit = visit_of(
        long_context,
        {"L1.pass1.found": -3, "L1.pass1.turns.left": 2, "L1.pass1.after": 0},
        {"L1.pass1.turns.right": Reading(Status.DOUBTFUL, 1, 0.5, Why.FAINT)},
    )

    assert visit.passes[0].legs["L1"].turns_right is None


def test_turned_leg_whose_jam_nuts_are_not_marked_tight_is_not_locked(long_context, visit_of):
    visit = visit_of(
        long_context, {"L1.pass1.found": -3, "L1.pass1.turns.left": 2, "L1.pass1.after": 0}
    )

    assert visit.passes[0].legs["L1"].jam_nut_locked is False


def test_supporting_leg_raised_but_not_lowered_again_is_a_doubt(long_context, visit_of):
    visit = visit_of(long_context, marks(L2__pass1__clear=True))

    assert whys(visit) == {
        "L2.pass1.touch": "raised clear of the floor, but not marked as down to touch again"
    }


def test_station_left_alone_in_the_first_pass_may_be_turned_in_the_second(long_context, visit_of):
    visit = visit_of(
        long_context,
        {"B1.pass1.untouched": True, "B1.pass2.found": 1, "B1.pass2.turns": 4,
         "B1.pass2.after": 2},
    )  # fmt: skip

    assert visit.passes[1].brackets == {"B1": BracketPass(Count(1), 4, Count(2), False)}


def test_unused_pass_sheet_is_not_missing(long_context, visit_of):
    visit = visit_of(long_context, BLANK_OK, pages=(1, 2, 3))

    assert (visit.missing_pages, visit.doubts) == ((), ())


def test_page_that_did_not_come_in_is_named_and_its_values_are_absent(long_context, visit_of):
    visit = visit_of(long_context, BLANK_OK, pages=(1, 3))

    assert (visit.missing_pages, visit.doubts, visit.date) == ((2,), (), date(2026, 12, 5))


def test_pass_sheet_gives_a_second_pass(long_context, visit_of):
    visit = visit_of(
        long_context,
        marks(B1__pass1__found=2, B1__pass2__found=1, B1__pass2__turns=4, B1__pass2__after=2,
              B1__pass2__locked=True, after__pass2__minutes=30) | {"quick.nothing_turned": False,
              "legs.not_measured": True} | {f"B{n}.pass1.untouched": True for n in range(2, 9)},
    )  # fmt: skip

    second = visit.passes[1]
    assert second.brackets == {"B1": BracketPass(Count(1), 4, Count(2), True)}
    assert (second.minutes_to_after, visit.doubts) == (30, ())


@pytest.mark.parametrize(
    ("answers", "why"),
    [
        ({"date.month": 10, "date.day": Decimal(30)}, "the date lies before the form was printed"),
        (
            {"date.month": 3, "date.day": Decimal(1), "date.next_year": True},
            "the date lies after the form came in",
        ),
        ({"date.month": 11, "date.day": Decimal(31)}, "there is no such day"),
        ({"date.month": 11}, "the date is not complete"),
    ],
)
def test_date_is_sure_only_between_print_and_intake(long_context, visit_of, answers, why):
    visit = visit_of(long_context, {"quick.nothing_turned": True} | answers)

    assert (visit.date, whys(visit)) == (None, {"date.day": why})


def test_date_of_the_next_year_is_read(long_context, visit_of):
    visit = visit_of(long_context, marks(date__month=1, date__next_year=True))

    assert visit.date == date(2027, 1, 5)


def test_doubtful_month_is_one_doubt_not_two(long_context, visit_of):
    visit = visit_of(
        long_context, BLANK_OK, {"date.month": Reading(Status.DOUBTFUL, 12, 0.5, Why.FAINT)}
    )

    assert whys(visit) == {"date.month": "faint"}


def test_doubtful_unsafe_counts_as_unsafe_until_a_person_has_looked(long_context, visit_of):
    visit = visit_of(
        long_context, BLANK_OK, {"notes.unsafe": Reading(Status.DOUBTFUL, None, 0.5, Why.FAINT)}
    )

    assert (visit.unsafe, whys(visit)) == (
        True,
        {"notes.unsafe": "held to be ticked until a person has looked"},
    )


def test_other_kit_makes_the_counts_those_of_that_kit(long_context, visit_of):
    visit = visit_of(
        long_context,
        marks(kit__other=True, kit__card__tenth_thou=Decimal(91),
              kit__bearing__tenth_inch=Decimal("19.5")),
    )  # fmt: skip

    assert visit.other_kit
    assert visit.kit.card_mm == pytest.approx(0.23114)  # 0.0091 in × 25.4 mm
    assert visit.kit.bearing_length_mm == pytest.approx(495.3)  # 19.5 in × 25.4 mm


def test_other_kit_that_is_not_named_leaves_no_counts(long_context, visit_of):
    visit = visit_of(long_context, marks(kit__other=True, B1__pass1__found=2))

    assert visit.passes[0].brackets["B1"].found is None
    assert whys(visit) == {
        "kit.other": "another kit was used, but its card or its bearing length is not sure"
    }


def test_notes_with_ink_are_kept_with_their_picture(long_context, visit_of):
    visit = visit_of(long_context, BLANK_OK | {"notes.text": "n1.png", "signature": "s1.png"})

    assert visit.notes == {"notes.text": "n1.png", "signature": "s1.png"}


def test_changes_and_surface_are_read(long_context, visit_of):
    visit = visit_of(
        long_context,
        marks(changed__moved=True, changed__played="heavy", surface__wax_twice=True,
              technician="B. Moss"),
    )  # fmt: skip

    assert visit.changed == {"moved", "played heavy"}
    assert (visit.surface, visit.technician) == ({"wax_twice": True}, "B. Moss")


def test_fahrenheit_becomes_celsius(long_context, visit_of):
    visit = visit_of(long_context, marks(air__fahrenheit=Decimal(68), air__humidity=Decimal(45)))

    assert (visit.air_temperature_c, visit.air_humidity_pct) == (20.0, 45.0)


def test_level_check_in_one_way_round_only_is_a_doubt(long_context, visit_of):
    visit = visit_of(long_context, marks(check__first=0))

    assert (visit.level_check, whys(visit)) == (
        None,
        {"check.turned_round": "one way round is marked, the other is not"},
    )


def test_level_check_in_both_ways_round_is_read(long_context, visit_of):
    visit = visit_of(long_context, marks(check__first=0, check__turned_round=-1))

    assert visit.level_check == (Count(0), Count(-1))


def test_other_kits_boxes_without_its_tick_are_a_doubt(long_context, visit_of):
    visit = visit_of(long_context, marks(kit__card__tenth_thou=Decimal(91)))

    assert (visit.other_kit, whys(visit)) == (
        False,
        {"kit.other": "boxes of another kit are filled, but “other kit used” is not ticked"},
    )
