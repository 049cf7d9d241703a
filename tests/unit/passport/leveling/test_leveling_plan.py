"""Plans against hand sums and against plain enumeration."""

import itertools
import math

import numpy as np
import pytest

from passport.leveling.plan import (
    Goal,
    LegGoal,
    NutGoal,
    Plan,
    Problem,
    best_plan,
    largest_excess,
    shared_part,
)
from passport.leveling.response import Response
from passport.table import FootType, Leg, Role, Thread

THREAD = Thread("3/8-16 UNC", 1.5875)
FOOT = Response(0.396875, 0.05)
NUT = Response(0.0508, 0.1)


def leg(name, value, role=Role.END, thread_left_mm=None):
    part = Leg(name, 0, role, 500, FootType.STUD_IN_LEG, THREAD, thread_left_mm)
    return LegGoal(part, None if value is None else Goal(value, 0.1, 0, 0.8), FOOT)


def nut(value, place=0, response=NUT):
    return NutGoal(f"B{place + 1}", place, Goal(value, 0.03, 0.5, 0.19), response)


def turns_of(*legs, rise=None):
    ends = None if rise is None else ("L1", "L5")
    return best_plan(Problem(tuple(legs), (), rise, ends, "L3" if rise else None)).feet


def test_plan_leaves_a_table_in_tolerance_alone():
    found = turns_of(leg("L1", 0.5))  # 0.5 is inside 0.8 − 1.645 × 0.1

    assert found == {"L1": (0, 0)}


def test_plan_raises_the_low_foot_by_the_fewest_quarters():
    found = turns_of(leg("L1", 1.9))  # 0.79375 mm/m a quarter: 2 leave 0.31, 1 leaves 1.11

    assert found == {"L1": (0, 2)}


def test_plan_raises_rather_than_lowers():
    found = turns_of(leg("L1", -1.2))

    assert found == {"L1": (1, 0)}


def test_plan_lowers_the_other_foot_where_no_thread_is_left():
    found = turns_of(leg("L1", 1.2, thread_left_mm=0.0))

    assert found == {"L1": (-1, 0)}


def test_plan_shares_more_than_four_quarters_between_both_feet():
    found = turns_of(leg("L1", 4.4))  # 5 leave 0.431, room 0.8 − 1.645 × 0.222 = 0.434

    assert found == {"L1": (-2, 3)}


def test_plan_leaves_a_leg_without_a_reading_alone():
    found = turns_of(leg("L1", None))

    assert found == {"L1": (0, 0)}


def test_plan_turns_a_nut_to_where_its_spread_allows():
    found = best_plan(Problem((), (nut(0.2),), None))

    # 0.0508 × exp(0.1² / 2) = 0.05105 a quarter: 4 leave 0.096, room 0.19 − 1.645 × 0.0364 = 0.130;
    # 3 leave 0.147, room 0.134

    assert found.nuts == {"B1": 4}


def test_plan_of_a_nut_in_tolerance_is_no_turn():
    goal = Goal(0.64, 0.08, 0.5, 0.19, settled=True)

    found = best_plan(Problem((), (NutGoal("B1", 0, goal, NUT),), None))

    assert found.nuts == {"B1": 0}


def test_plan_for_one_nut_does_not_wait_for_another_that_cannot_reach():
    found = best_plan(Problem((), (nut(-0.6), nut(0.3, 2)), None))

    assert found.nuts == {"B1": 8, "B3": 2}


def test_plan_counts_on_what_a_nut_does_beside_its_own_bracket():
    found = best_plan(Problem((), (nut(0.2), nut(0.3, 1)), None))

    # 4 at B1 lift B2 by 4 × 0.05105 × 0.2 = 0.041, so 1 there brings it to 0.392, inside 0.365;
    # alone B2 would ask for 2
    assert found.nuts == {"B1": 4, "B2": 1}


def test_plan_raises_both_ends_alike_for_the_rise():
    ends = (leg("L1", 0.0), leg("L3", 0.0, Role.CENTRE), leg("L5", 0.0))

    found = turns_of(*ends, rise=Goal(1.0, 0.1, 3.175, 0.8))

    # 2.175 low; 4 quarters of all four feet are 1.5875 and leave 0.5875; the ends' responses add
    # 0.79 × 0.05 each, so room is 0.8 − 1.645 × 0.1147 = 0.611
    assert found == {"L1": (4, 4), "L3": (0, 0), "L5": (4, 4)}


def test_plan_never_turns_both_feet_of_the_centre_leg():
    ends = (leg("L1", None), leg("L3", 0.0, Role.CENTRE), leg("L5", None))

    found = turns_of(*ends, rise=Goal(1.0, 0.1, 3.175, 0.8))

    assert found["L3"][0] * found["L3"][1] <= 0


def test_shared_part_is_what_both_feet_turn_alike():
    assert [shared_part(p) for p in ((3, 5), (-2, -1), (2, -1), (0, 4))] == [3, -1, 0, 0]


def test_largest_excess_of_no_turns_is_the_departure_beyond_its_room():
    problem = Problem((leg("L1", 1.5),), (), None)

    found = largest_excess(problem, Plan({"L1": (0, 0)}, {}))

    assert found == pytest.approx((1.5 - (0.8 - 1.645 * 0.1)) / 0.8)


def excess(goal, moved, moved_u):
    room = max(0.0, goal.tolerance - 1.645 * math.hypot(goal.u, moved_u))
    return max(0.0, abs(goal.value + moved - goal.target) - room) / goal.tolerance


def within_need(goal, moved, step):
    """From no turn to the first whole quarter at or past the target."""
    wanted = goal.target - goal.value
    return moved == 0 or (moved * wanted > 0 and abs(moved) - abs(wanted) < step - 1e-9)


def enumerated(problem, reach):
    """Aims one after the other by plain loops; ends and centre with single-foot turns only."""
    steps = range(-reach, reach + 1)
    best = None
    for turns in itertools.product(steps, repeat=6):
        key = aims(problem, turns)
        if key is not None and (best is None or key < best[0]):
            best = (key, turns)
    return best


def aims(problem, turns):
    pairs = [turns[0:2], turns[2:4], turns[4:6]]  # A, centre, B
    if pairs[1][0] * pairs[1][1] > 0 or abs(sum(pairs[0]) - sum(pairs[2])) > 3:
        return None
    left = []
    for one, (left_foot, right_foot) in zip(problem.legs, pairs, strict=True):
        moved = (left_foot - right_foot) * 0.79375
        if not within_need(one.goal, moved, 0.79375):
            return None
        left.append(excess(one.goal, moved, abs(moved) * 0.05))
    shares = (0.25, -0.5, 0.25)
    lifts = [w * sum(pair) * 0.396875 for w, pair in zip(shares, pairs, strict=True)]
    left.append(excess(problem.rise, sum(lifts), 0.05 * math.hypot(*lifts)))
    worst = tuple(round(e, 9) for e in sorted(left, reverse=True))
    touched = sum(t != 0 for t in turns)
    return worst, touched, sum(map(abs, turns)), sum(-t for t in turns if t < 0)


@pytest.mark.parametrize("seed", range(6))
def test_plan_equals_plain_enumeration(seed):
    draw = np.random.default_rng(seed)
    values = draw.uniform(-1.4, 1.4, 3)
    roles = (Role.END, Role.CENTRE, Role.END)
    legs = tuple(
        leg(n, float(v), r) for n, v, r in zip(("L1", "L3", "L5"), values, roles, strict=True)
    )
    rise = Goal(float(draw.uniform(2.2, 4.2)), 0.15, 3.175, 0.8)
    problem = Problem(legs, (), rise, ("L1", "L5"), "L3")

    plan = best_plan(problem)

    turns = tuple(t for name in ("L1", "L3", "L5") for t in plan.feet[name])
    assert aims(problem, turns) == enumerated(problem, 2)[0]


def nut_aims(nuts, turns):
    """Largest excess and cost of a chain of neighbouring brackets, written out."""
    mean, sd = 0.0508 * math.exp(0.005), 0.0508 * math.exp(0.005) * math.sqrt(math.expm1(0.01))
    left = []
    if any(not within_need(one.goal, t * mean, mean) for one, t in zip(nuts, turns, strict=True)):
        return (math.inf,)
    for i, one in enumerate(nuts):
        moved, variance = turns[i] * mean, (turns[i] * sd) ** 2
        for j in (i - 1, i + 1):
            if 0 <= j < len(nuts):
                moved += 0.2 * turns[j] * mean
                variance += (0.2 * turns[j] * mean) ** 2 * ((sd / mean) ** 2 + 0.3**2)
        left.append(excess(one.goal, moved, math.sqrt(variance)))
    cost = (sum(t != 0 for t in turns), sum(map(abs, turns)), sum(-t for t in turns if t < 0))
    worst = round(max(left), 9)
    return (worst, *cost) if worst == 0 else (worst,)


@pytest.mark.parametrize("seed", range(8))
def test_plan_of_neighbouring_nuts_equals_plain_enumeration(seed):
    values = np.random.default_rng(seed).uniform(0.25, 0.75, 3)
    nuts = tuple(nut(float(value), place) for place, value in enumerate(values))

    found = best_plan(Problem((), nuts, None)).nuts

    best = min(nut_aims(nuts, turns) for turns in itertools.product(range(-8, 9), repeat=3))
    assert nut_aims(nuts, tuple(found.values())) == best


def test_plan_of_eight_nuts_that_all_want_too_much_ends():
    nuts = tuple(nut(-0.9, place) for place in range(8))

    found = best_plan(Problem((), nuts, None))

    assert set(found.nuts.values()) == {8}
