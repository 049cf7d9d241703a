"""Signs (fieldwork): one worked number each. Left and right as seen from end A."""

from decimal import Decimal

from passport.visit import Count, Glide, LegPass, Shot

QUICK = {"quick.nothing_turned": True}


def only(context, visit_of, **answers):
    named = {key.replace("__", "."): value for key, value in answers.items()}
    return visit_of(context, named)


def labels(context, field_id):
    """Where the boxes of a scale stand, by value, from left to right."""
    field = next(f for page in context.layout.pages for f in page.fields if f.id == field_id)
    return [option.value for option in sorted(field.options, key=lambda o: o.box.x)]


def test_left_half_of_the_cross_level_is_negative_left_is_low(long_context, visit_of):
    visit = only(long_context, visit_of, L1__pass1__found=-3)

    assert labels(long_context, "L1.pass1.found") == [-5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5]
    assert visit.passes[0].legs["L1"].found == Count(-3)  # cards under the LEFT: left is low


def test_cards_under_the_right_mean_left_is_high_and_the_slope_is_positive(long_context, visit_of):
    visit = only(long_context, visit_of, L1__pass1__found=2)

    # Cross slope positive: left high. 2 cards of 0.19 mm on 584.2 mm: +0.65 mm/m.
    assert visit.passes[0].legs["L1"].found.cards * 0.19 / 0.5842 > 0


def test_foot_turn_is_positive_where_the_board_goes_up(long_context, visit_of):
    visit = only(
        long_context, visit_of, L1__pass1__found=-3, L1__pass1__turns__left=2,
        L1__pass1__turns__right=-1, L1__pass1__after=0,
    )  # fmt: skip

    assert labels(long_context, "L1.pass1.turns.left") == [-4, -3, -2, -1, 0, 1, 2, 3, 4]
    leg = visit.passes[0].legs["L1"]
    assert (leg.turns_left, leg.turns_right) == (2, -1)


def test_nut_turn_is_positive_where_it_gets_hollower(long_context, visit_of):
    field = next(
        f for page in long_context.layout.pages for f in page.fields if f.id == "B1.pass1.turns"
    )
    upper = min(option.box.y for option in field.options)

    # The upper row is named "hollower".
    assert [o.value for o in field.options if o.box.y == upper] == [1, 2, 3, 4, 5, 6, 7, 8]


def test_hollow_is_positive_and_crown_two_or_more_is_a_negative_bound(long_context, visit_of):
    visit = only(long_context, visit_of, B1__pass1__found=4, B2__pass1__found=-2)

    found = {name: row.found for name, row in visit.passes[0].brackets.items()}
    assert found == {"B1": Count(4), "B2": Count(-2, bound=True)}


def test_rise_is_positive_when_the_outer_end_is_high(long_context, visit_of):
    visit = only(long_context, visit_of, rise__A__pass1__found=3, rise__B__pass1__found=8)

    assert visit.passes[0].rise == {"A": Count(3), "B": Count(8, bound=True)}


def test_drift_is_positive_to_the_left_whatever_end_it_came_from(long_context, visit_of):
    visit = only(long_context, visit_of, shot__left__from_A=2, shot__middle__from_B=-6)

    # Both rows run from left to right on the drawing, end B at its head.
    assert labels(long_context, "shot.left.from_A") == list(range(6, -7, -1))
    assert labels(long_context, "shot.middle.from_B") == list(range(6, -7, -1))
    assert visit.shots == (Shot("left", "A", 2), Shot("middle", "B", -6, bound=True))


def test_glide_in_feet_becomes_metres(long_context, visit_of):
    visit = visit_of(
        long_context,
        QUICK | {"glide.from_A.feet": Decimal("18.5"), "glide.from_A.seconds": Decimal("4.2")},
    )

    assert visit.glides == (Glide("A", 5.6388, 4.2),)  # 18.5 ft × 0.3048 m, exact


def test_leg_without_marks_is_not_in_the_pass(long_context, visit_of):
    visit = only(long_context, visit_of, L1__pass1__found=0)

    assert visit.passes[0].legs == {"L1": LegPass(found=Count(0))}
