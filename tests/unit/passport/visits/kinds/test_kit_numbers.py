"""The kit's own numbers: cards, level and edge."""

import math

import numpy as np
import pytest

from passport.table import Kit
from passport.visit import Count
from passport.visits.kit.numbers import (
    Gap,
    Measured,
    bow_by_three,
    bow_by_twin,
    card_thickness,
    level_zero,
)
from passport.visits.kit.record import KitCheck, Pair

BARE = {"bearing_mm": 500.0, "centred_u": 0.0}
CARD = Measured(0.2, 0.002)
KIT = Kit("Level 24", 609.6, 500.0, 0.1, None, 0.19, 0.003)


def test_card_is_a_tenth_of_the_stack_with_its_parts_as_squares():
    card = card_thickness((1.90, 1.92, 1.91), 0.01)

    scatter = 0.01 / math.sqrt(3) / 10
    step = 0.005 / math.sqrt(3) / 10
    pressed = 0.01 * 0.191 / math.sqrt(3)
    assert card.value == pytest.approx(0.191)
    assert card.u == pytest.approx(math.sqrt(scatter**2 + 2 * step**2 + pressed**2))


def test_stack_that_reads_the_same_everywhere_is_as_uncertain_as_its_step_and_press():
    assert card_thickness((1.9, 1.9, 1.9), 0.01).freedom > 1e6
    assert card_thickness((1.9, 1.9, 1.9), 0.01).u > 0.0005


def test_level_zero_is_half_the_difference_of_both_ways():
    zero = level_zero([(3, -1)], CARD, **BARE)

    assert zero.value == pytest.approx(2 * 0.2 / 0.5)  # 2 cards of 0.2 mm on 0.5 m
    counted, card = 0.2 / 0.5 / math.sqrt(24), 2 * 0.002 / 0.5
    assert zero.u == pytest.approx(math.hypot(counted, card))


def test_tilt_of_the_spot_does_not_enter_the_zero():
    flat, tilted = (level_zero([pair], CARD, **BARE) for pair in ((1, -1), (3, 1)))

    assert flat.value == tilted.value


def test_repeats_do_not_average_the_width_of_a_card():
    once, thrice = (level_zero([(1, 0)] * n, CARD, **BARE).u for n in (1, 3))

    assert once == thrice


def test_three_edges_give_each_its_own_bow():
    one, two, three = 0.03, -0.01, 0.05
    gaps = (Gap(0.019, 0.021), Gap(0.079, 0.081), Gap(0.039, 0.041))

    found = bow_by_three(*gaps)
    assert found.value == pytest.approx(one)
    assert [g.measured.value for g in gaps] == pytest.approx([one + two, one + three, two + three])


def test_rocking_edges_are_a_negative_hollow():
    assert Gap(0.02, 0.04, -1).measured.value == pytest.approx(-0.03)


def test_twin_alone_leaves_anything_from_none_to_the_whole_gap():
    found = bow_by_twin(Gap(0.04, 0.06))

    assert found.value == pytest.approx(0.025)
    assert found.u > 0.025 / math.sqrt(3)


@pytest.mark.parametrize("seed", range(5))
def test_intervals_of_cards_hold_the_truth_nine_times_in_ten(seed):
    """Simulated: true card 0.19 mm, pressed 0 to 2 % wide band, micrometer steps of 0.01 mm."""
    rng, held = np.random.default_rng(seed), 0
    for _ in range(200):
        pressed = rng.uniform(-0.01, 0.01)
        stack = 10 * 0.19 * (1 + pressed) + rng.normal(0, 0.006, 3)
        card = card_thickness(tuple(np.round(stack, 2)), 0.01)
        held += abs(card.value - 0.19) <= card.half_width()

    assert held >= 180


@pytest.mark.parametrize(
    ("found", "value"),
    [
        ({"stacks_mm": (1.9, 1.9, 1.9), "micrometer_step_mm": 0.01}, None),
        ({"stacks_mm": (1.9, 1.9, 1.9), "zero_shown": True}, None),
        ({"stacks_mm": (1.9,) * 3, "micrometer_step_mm": 0.01, "zero_shown": True}, 0.19),
    ],
)
def test_card_needs_readings_step_and_a_closed_zero(found, value):
    card = KitCheck("F", "kit", "T", None, KIT, **found).card

    assert (card and card.value) == (value and pytest.approx(value))


def test_bound_gives_no_zero():
    check = KitCheck("F", "kit", "T", None, KIT, reversals=((Count(5, True), Count(1)),))

    assert check.zero is None


def test_zero_takes_the_described_card_where_none_was_measured():
    check = KitCheck("F", "kit", "T", None, KIT, reversals=((Count(1), Count(-1)),))

    assert check.zero.value == pytest.approx(0.19 / 0.5)


def test_bow_is_by_three_edges_only_where_all_were_there():
    gaps = {pair: Gap(0.01, 0.03) for pair in Pair}
    both = KitCheck("F", "kit", "T", None, KIT, gaps=gaps)
    alone = KitCheck("F", "kit", "T", None, KIT, gaps={Pair.TWIN: Gap(0.01, 0.03)})

    assert both.bow == bow_by_three(*gaps.values())
    assert alone.bow == bow_by_twin(gaps[Pair.TWIN])
