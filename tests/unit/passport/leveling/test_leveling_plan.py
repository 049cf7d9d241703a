"""Plans against hand sums and against plain enumeration."""

import itertools
import math

import numpy as np
import pytest

from passport.leveling.goal import Goal
from passport.leveling.nuts import NutGoal
from passport.leveling.outlook import Outlook
from passport.leveling.plan import LegGoal, Problem, best_plan, shared_part
from passport.leveling.posterior.places import Places
from passport.table import FootType, Leg, Role, Thread

FOOT, NUT = 0.396875, 0.05  # mm a quarter turn
THREAD = Thread("3/8-16 UNC", 4 * FOOT)
PLACES = Places(("L1", "L3", "L5"), ("A", "B"), ("B1", "B2", "B3"))
JOINED = ("L1", "L5", "L3")
ROLES = (Role.END, Role.CENTRE, Role.END)


def outlook(slopes=(0.0, 0.0, 0.0), rise=3.175, hollows=(0.5, 0.5, 0.5), cov=None):
    """Believe so much of each state, a little uncertain, all independent unless said otherwise."""
    mean = np.zeros(PLACES.lasting)
    mean[:3], mean[3:5], mean[5:8] = slopes, rise, hollows
    mean[8:11], mean[11:14], mean[14:18] = FOOT, NUT, 0.2 * NUT
    u = np.zeros(PLACES.lasting)
    u[:3], u[3:5], u[5:8], u[8:11], u[11:14], u[14:18] = 0.1, 0.14, 0.03, 0.02, 0.005, 0.003
    return Outlook(PLACES, mean, np.diag(u**2) if cov is None else cov, (1, 1, 1))


def legs(*names, thread_left_mm=None):
    rows = enumerate(zip(PLACES.legs, ROLES, strict=True))
    return tuple(
        LegGoal(
            Leg(name, 0, role, 500, FootType.STUD_IN_LEG, THREAD, thread_left_mm),
            number,
            Goal(0.0, 0.8) if name in names else None,
        )
        for number, (name, role) in rows
    )


def nuts(*numbers, settled=False):
    return tuple(NutGoal(f"B{n + 1}", n, Goal(0.5, 0.19, settled)) for n in numbers)


def feet_of(slope, **leg):
    return best_plan(Problem(outlook((slope, 0, 0)), legs("L1", **leg), ())).feet["L1"]


def test_plan_leaves_a_table_in_tolerance_alone():
    assert feet_of(0.5) == (0, 0)  # 0.5 is inside 0.8 − 2 × 0.1


def test_plan_raises_the_low_foot_by_the_fewest_quarters():
    assert feet_of(1.9) == (0, 2)  # 0.79375 mm/m a quarter: 2 leave 0.31, 1 leaves 1.11


def test_plan_raises_rather_than_lowers():
    assert feet_of(-1.2) == (1, 0)


def test_plan_lowers_the_other_foot_where_no_thread_is_left():
    assert feet_of(1.2, thread_left_mm=0.0) == (-1, 0)


def test_plan_shares_more_than_four_quarters_between_both_feet():
    assert feet_of(4.4) == (-2, 3)  # 6 would pass the target by more, 5 leave 0.43


def test_plan_leaves_a_leg_without_a_reading_alone():
    plan = best_plan(Problem(outlook((3, 0, 0)), legs(), ()))

    assert plan.feet == {"L1": (0, 0), "L3": (0, 0), "L5": (0, 0)}


def test_plan_turns_a_nut_by_the_fewest_quarters_that_its_spread_allows():
    found = best_plan(Problem(outlook(hollows=(0.2, 0.5, 0.5)), (), nuts(0)))

    # 4 leave 0.10 and 0.19 − 2 × √(0.03² + 0.02²) = 0.118 is room; 3 leave 0.15, room 0.123
    assert found.nuts == {"B1": 4}


def test_plan_of_a_nut_in_tolerance_is_no_turn():
    found = best_plan(Problem(outlook(hollows=(0.66, 0.5, 0.5)), (), nuts(0, settled=True)))

    assert found.nuts == {"B1": 0}


def test_plan_for_one_nut_does_not_wait_for_another_that_cannot_reach():
    found = best_plan(Problem(outlook(hollows=(-0.9, 0.5, 0.3)), (), nuts(0, 2)))

    assert found.nuts == {"B1": 12, "B3": 2}


def test_plan_counts_on_what_a_nut_does_beside_its_own_bracket():
    found = best_plan(Problem(outlook(hollows=(0.2, 0.32, 0.5)), (), nuts(0, 1)))

    # 6 at B1 lift B2 by 6 × 0.01 to 0.38, 0.12 off with 0.125 of room: one nut touched, not two
    assert found.nuts == {"B1": 6, "B2": 0}


def test_plan_reckons_with_what_a_response_shares_with_the_state():
    """Where a stronger nut means a lower hollow, turns make the hollow surer."""
    cov = np.diag(np.square(np.full(PLACES.lasting, 0.02)))
    cov[5, 11] = cov[11, 5] = -0.9 * 0.02**2
    value = outlook(cov=cov).predict([(5, 1.0), (11, np.array(1.0))])

    assert value[1] == pytest.approx(0.02 * math.sqrt(2 - 1.8))


def test_plan_raises_both_ends_alike_for_the_rise():
    goal = Goal(3.175, 0.8)

    found = best_plan(Problem(outlook(rise=1.0), legs(*PLACES.legs), (), goal, JOINED)).feet

    # 2.175 low; 4 quarters of all four feet are 1.5875 and leave 0.5875, 5 at one end 0.39; room is
    # 0.8 − 2 × √(0.14² / 2 + (0.02 × 4)² / 2 …) = 0.57
    assert found == {"L1": (4, 4), "L3": (0, 0), "L5": (5, 5)}


def test_plan_never_turns_both_feet_of_the_centre_leg():
    found = best_plan(Problem(outlook(rise=1.0), legs("L3"), (), Goal(3.175, 0.8), JOINED)).feet

    assert found["L3"][0] * found["L3"][1] <= 0


def test_shared_part_is_what_both_feet_turn_alike():
    assert [shared_part(p) for p in ((3, 5), (-2, -1), (2, -1), (0, 4))] == [3, -1, 0, 0]


# an enumerator written from the four aims, with plain loops


def excess(goal, value, u):
    room = max(0.0, goal.tolerance - 2.0 * u)
    return max(0.0, abs(value - goal.target) - room) / goal.tolerance


def up_to_target(value, turns, step, target):
    """From no turn to the first whole quarter at or past the target."""
    wanted = (target - value) / step
    return turns == 0 or (turns * wanted > 0 and abs(turns) < abs(wanted) + 1)


def cost(turns):
    return sum(t != 0 for t in turns), sum(map(abs, turns)), sum(-t for t in turns if t < 0)


def nut_aims(view, turns):
    left = []
    for a in range(3):
        if not up_to_target(view.mean[5 + a], turns[a], NUT, 0.5):
            return None
        row = np.zeros(PLACES.lasting)
        row[5 + a], row[11 + a] = 1, turns[a]
        for b in (a - 1, a + 1):
            if 0 <= b < 3:
                row[PLACES.pairs[a, b]] = turns[b]
        u = math.sqrt(row @ view.covariance @ row)
        left.append(excess(Goal(0.5, 0.19), row @ view.mean, u))
    worst = tuple(round(e, 9) for e in sorted(left, reverse=True))
    return (worst, *cost(turns))


def drawn(seed):
    draw = np.random.default_rng(seed)
    root = draw.normal(0, 0.01, (PLACES.lasting, PLACES.lasting)) / 5
    view = outlook(draw.uniform(-1.4, 1.4, 3), draw.uniform(2.2, 4.2), draw.uniform(0.25, 0.75, 3))
    return Outlook(PLACES, view.mean, view.covariance + root @ root.T, (1, 1, 1))


def options(value, step, target, most):
    return [t for t in range(-most, most + 1) if up_to_target(value, t, step, target)]


@pytest.mark.parametrize("seed", range(200))
def test_plan_of_neighbouring_nuts_equals_plain_enumeration(seed):
    view = drawn(seed)

    found = best_plan(Problem(view, (), nuts(0, 1, 2))).nuts

    tried = itertools.product(*(options(h, NUT, 0.5, 12) for h in view.mean[5:8]))
    least = min(nut_aims(view, turns) for turns in tried)
    assert nut_aims(view, tuple(found.values())) == least


def frame_aims(view, turns):
    pairs = {"L1": turns[0:2], "L3": turns[2:4], "L5": turns[4:6]}
    left, lifts = [], np.zeros(PLACES.lasting)
    for number, pair in enumerate(pairs.values()):
        row = np.zeros(PLACES.lasting)
        row[number], row[8 + number] = 1, (pair[0] - pair[1]) * 2
        left.append(excess(Goal(0, 0.8), row @ view.mean, math.sqrt(row @ view.covariance @ row)))
        lifts[8 + number] = (0.25, -0.5, 0.25)[number] * sum(pair)
    lifts[3:5] = 0.5
    u = math.sqrt(lifts @ view.covariance @ lifts)
    left.append(excess(Goal(3.175, 0.8), lifts @ view.mean, u))
    worst = tuple(round(e, 9) for e in sorted(left, reverse=True))
    return (worst, *cost(turns))


def foot_pairs(view, number, reach):
    """Pairs of turns up to the target; the centre's feet never alike."""
    pairs = itertools.product(range(-reach, reach + 1), repeat=2)
    near = [p for p in pairs if up_to_target(view.mean[number], p[0] - p[1], 2 * FOOT, 0.0)]
    return [p for p in near if number != 1 or p[0] * p[1] <= 0]


@pytest.mark.parametrize("seed", range(12))
def test_plan_of_the_frame_equals_plain_enumeration(seed):
    view = drawn(seed)
    problem = Problem(view, legs(*PLACES.legs), (), Goal(3.175, 0.8), JOINED)

    plan = best_plan(problem).feet

    tried = itertools.product(*(foot_pairs(view, number, 3) for number in range(3)))
    flat = (sum(pairs, ()) for pairs in tried)
    alike = (turns for turns in flat if abs(sum(turns[:2]) - sum(turns[4:])) <= 3)
    found = frame_aims(view, sum((plan[name] for name in PLACES.legs), ()))
    assert found == min(frame_aims(view, turns) for turns in alike)
