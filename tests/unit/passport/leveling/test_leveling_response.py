import math
from dataclasses import replace

import numpy as np
import pytest

from passport.leveling.response import (
    NUT_PRIOR,
    Response,
    Trial,
    foot_prior,
    foot_responses,
    nut_responses,
    sharpen,
)
from passport.visit import BracketPass, Count, LegPass, Pass


def nut_visit(visit, *rows, **changes):
    return replace(visit, passes=tuple(Pass(brackets={"B1": row}) for row in rows), **changes)


def test_foot_starts_at_a_quarter_of_its_pitch(table):
    assert foot_prior(table.legs[0]) == Response(0.396875, 0.05)


def test_foot_without_a_thread_has_no_response(table):
    legs = (replace(table.legs[0], thread=None), *table.legs[1:])

    assert foot_responses(replace(table, legs=legs), [])["L1"] is None


def test_nut_starts_at_two_thousandths_of_an_inch(table):
    assert nut_responses(table, [])["B1"] == Response(0.0508, 0.4)


def test_nothing_recorded_leaves_the_prior():
    assert sharpen(NUT_PRIOR, []) == NUT_PRIOR


def test_nut_that_moved_more_than_expected_is_learned_as_stronger(table, visit):
    seen = nut_visit(visit, BracketPass(Count(0), 5, Count(2)))  # 0.4 mm by 5: 0.08

    found = nut_responses(table, [seen])["B1"]

    assert 0.0508 < found.mm < 0.08


def test_nut_learned_from_one_turn_is_surer(table, visit):
    seen = nut_visit(visit, BracketPass(Count(0), 5, Count(2)))

    found = nut_responses(table, [seen])["B1"]

    assert (found.log_u < 0.4, found.learned_from) == (True, 1)


@pytest.mark.parametrize(
    "row",
    [
        BracketPass(Count(0), 5, None),
        BracketPass(None, 5, Count(2)),
        BracketPass(Count(0), None, Count(2)),
        BracketPass(Count(0), 0, Count(1)),
        BracketPass(Count(0), 5, Count(8, bound=True)),
        BracketPass(Count(-2, bound=True), 5, Count(0)),
    ],
)
def test_nut_learns_nothing_from_an_open_or_half_filled_row(table, visit, row):
    assert nut_responses(table, [nut_visit(visit, row)])["B1"] == NUT_PRIOR


def test_replaced_part_makes_what_was_learned_void(table, visit):
    seen = nut_visit(visit, BracketPass(Count(0), 5, Count(2)))
    later = replace(visit, changed=frozenset({"part"}))

    assert nut_responses(table, [seen, later])["B1"] == NUT_PRIOR


def test_foot_learns_from_a_cross_level_before_and_after(table, visit):
    walk = Pass(legs={"L1": LegPass(Count(4), 0, 2, Count(0))})  # 1.6 mm/m: 0.4 mm a quarter

    found = foot_responses(table, [replace(visit, passes=(walk,))])["L1"]

    assert 0.396875 < found.mm < 0.4


def test_turn_the_wrong_way_lowers_the_response_and_keeps_it_positive():
    found = sharpen(NUT_PRIOR, [Trial(-0.5, 5, 0.05, 0.0, 0)])

    assert 0 < found.mm < NUT_PRIOR.mm


def test_response_equals_the_posterior_on_a_grid():
    """Bayes on a fine grid of log k, the same normal likelihood with a shared card error."""
    trials = [Trial(0.36, 6, 0.08, 0.01, 0), Trial(-0.2, -3, 0.08, 0.008, 0)]
    log_k = np.linspace(math.log(0.005), math.log(0.5), 20_001)
    cov = np.diag([0.08**2] * 2) + np.outer([0.01, 0.008], [0.01, 0.008])
    off = np.array([[0.36], [-0.2]]) - np.outer([6, -3], np.exp(log_k))
    log_p = -0.5 * np.einsum("ij,ik,kj->j", off, np.linalg.inv(cov), off)
    log_p -= (log_k - math.log(0.0508)) ** 2 / (2 * 0.4**2)
    weight = np.exp(log_p - log_p.max())
    mean = np.average(log_k, weights=weight)
    spread = math.sqrt(np.average((log_k - mean) ** 2, weights=weight))

    found = sharpen(NUT_PRIOR, trials)

    assert (math.log(found.mm), found.log_u) == pytest.approx((mean, spread), abs=1e-4)


def test_surer_readings_move_the_response_nearly_all_the_way():
    found = sharpen(NUT_PRIOR, [Trial(0.4, 5, 0.0005, 0.0, 0)])

    assert found.mm == pytest.approx(0.08, rel=1e-3)
