"""The hall itself: signs, counts, play of a nut, what happens between visits. Seed 1."""

import numpy as np
import pytest
from leveling.bridge import advice_on, planner, turns_of
from leveling.exact import Cloud
from leveling.hall import THOU, World
from leveling.rows import Share, hall_of
from leveling.tables import five_legs, two_legs
from leveling.walk import NONE, Log, read_once

PLAIN = World(card_off=0, zero=0, touch=0, bubble=0, foot=0, nut_sigma=0, neighbour=(0.2, 0.2))


@pytest.fixture
def hall():
    plain = hall_of(five_legs(), 3, 1, PLAIN)
    plain.begin_visit()
    plain.cross[:], plain.hollow[:], plain.rise[:] = 0.0, 0.0, 3.0
    return plain


def all_of(hall, turns):
    return np.full(hall.count, turns)


def test_left_foot_up_makes_left_high_and_its_end_higher(hall):
    hall.turn_feet(0, all_of(hall, 4), all_of(hall, 0))

    # a turn of 1.5875 mm over 508 mm; the leg's middle goes up by half of it
    assert (hall.cross[0, 0], hall.rise[0, 0]) == pytest.approx((3.125, 3.79375))


def test_both_feet_of_the_centre_leg_up_lower_both_ends(hall):
    hall.turn_feet(1, all_of(hall, 1), all_of(hall, 1))

    assert hall.rise[0] == pytest.approx([3 - 0.396875] * 2)


@pytest.mark.parametrize(
    ("thou", "cards"),
    [(0.1, 0), (7.4, 0), (7.6, 1), (59, 7), (61, 8), (999, 8), (-1, -1), (-8, -2)],
)
def test_hollow_is_the_cards_that_pass_and_a_crown_the_cards_that_stop_it(hall, thou, cards):
    hall.hollow[:] = thou * THOU

    assert hall.read_hollow(2).tolist() == [cards] * 3


@pytest.mark.parametrize(("slope", "cards"), [(0.18, 0), (0.19, 1), (-0.57, -2), (9.0, 5)])
def test_cross_level_is_the_nearest_count_of_cards(hall, slope, cards):
    hall.cross[:] = slope  # a card is 0.375 mm/m

    assert hall.read_cross(1).tolist() == [cards] * 3


def test_rise_of_an_end_is_read_along_a_straight_v(hall):
    span = five_legs().board.length_mm / 2 - 300

    assert hall.read_rise(0).tolist() == [round(3.0 / span * 508 / 0.1905)] * 3


def test_nut_moves_its_hollow_and_a_fifth_at_those_beside(hall):
    hall.play[:], hall.lost[:] = 0.4, 0.4  # play taken up in the direction of the turn
    hall.turn_nut(2, all_of(hall, 5))

    assert hall.hollow[0, 1:5] == pytest.approx(np.array([2, 10, 2, 0]) * THOU)


def test_nut_that_turns_back_loses_its_play_once(hall):
    hall.play[:], hall.lost[:] = 0.5, 0.5
    hall.turn_nut(2, all_of(hall, -3))
    hall.turn_nut(2, all_of(hall, -1))

    assert hall.hollow[0, 2] == pytest.approx(-3.5 * 2 * THOU)


def test_back_beyond_and_forward_again_loses_nothing(hall):
    hall.play[:], hall.lost[:] = 0.5, 0.5
    hall.turn_nut(2, all_of(hall, -4))
    hall.turn_nut(2, all_of(hall, 1))

    assert hall.hollow[0, 2] == pytest.approx(-3 * 2 * THOU)


def test_tenth_of_a_change_goes_back_before_the_next_visit(hall):
    hall.begin_visit()
    found = hall.cross[:, 1].copy()
    hall.turn_feet(1, all_of(hall, 2), all_of(hall, 0))  # 1.5625 mm/m
    hall.begin_visit()

    assert hall.cross[:, 1] == pytest.approx(found + 0.9 * 1.5625)


def test_table_is_good_only_when_every_station_is(hall):
    hall.hollow[:] = 20 * THOU
    hall.rise[:] = 125 * THOU
    hall.hollow[1, 3] = 12.4 * THOU
    hall.cross[2, 1] = 0.81

    assert hall.good().tolist() == [True, False, False]


def test_share_has_the_interval_of_clopper_and_pearson():
    """8 of 10: 0.4439 to 0.9748, as in many tables (value from memory)."""
    share = Share(8, 10)

    assert (share.low, share.high) == pytest.approx((0.4439, 0.9748), abs=1e-4)


def test_cloud_holds_the_slope_that_a_count_allows():
    """One count of 2 cards, no zero, no card error: 0.5625 to 0.9375 mm/m, all alike likely."""
    one = hall_of(two_legs(), 1, 1)
    one.begin_visit()
    walk = read_once(one)
    walk.legs.found[:], walk.nuts.found[:] = 2, NONE
    cloud = Cloud(two_legs(), World(card_off=0, zero=1e-9), 20_000, 1)
    cloud.live(Log([[walk]]), 0)

    seen = cloud.hall.cross[:, 0]
    flat = np.hypot(0.375 / 12**0.5, 0.05)
    assert (seen.mean(), seen.std()) == pytest.approx((0.747, flat), abs=0.01)


def test_plan_that_a_technician_follows_is_what_the_advice_says():
    hall, log = hall_of(five_legs(), 3, 1), Log()
    hall.begin_visit()
    log.visits.append([read_once(hall)])

    followed = planner(hall)(log)
    said = turns_of(hall, [advice_on(hall, log, table) for table in range(hall.count)])
    for part in ("feet", "ends", "nuts"):
        assert np.array_equal(getattr(followed, part), getattr(said, part))
