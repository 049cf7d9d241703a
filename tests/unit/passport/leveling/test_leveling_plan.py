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
from passport.table import FootType, Leg, Role, Steps, Thread

FOOT, NUT = 0.396875, 0.05  # mm a quarter turn
THREAD = Thread("3/8-16 UNC", 4 * FOOT)
PLACES = Places(("L1", "L3", "L5"), ("A", "B"), ("B1", "B2", "B3"))
JOINED = ("L1", "L5", "L3")
RISE = Goal(3.175, 0.8)
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
    assert feet_of(0.5) == (0, 0)  # 0.5 is inside 0.8 − 2.5 × 0.1


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

    # 5 leave 0.05 and 0.19 − 2.5 × √(0.03² + 0.025²) = 0.092 is room; 4 leave 0.10, room 0.0999
    assert found.nuts == {"B1": 5}


def test_plan_of_a_nut_in_tolerance_is_no_turn():
    found = best_plan(Problem(outlook(hollows=(0.66, 0.5, 0.5)), (), nuts(0, settled=True)))

    assert found.nuts == {"B1": 0}


def test_plan_of_one_nut_may_wait_for_another_that_cannot_reach():
    """By the text of the aims: the largest excess alone counts before the parts touched."""
    found = best_plan(Problem(outlook(hollows=(-0.9, 0.5, 0.3)), (), nuts(0, 2)))

    assert found.nuts == {"B1": 16, "B3": 0}


def test_plan_of_very_many_brackets_says_that_it_is_not_proved_best(monkeypatch):
    monkeypatch.setattr("passport.leveling.nuts.MOST_CELLS", 3 * 9**3)

    plan = best_plan(Problem(outlook(hollows=(0.2, 0.2, 0.2)), (), nuts(0, 1, 2)))

    assert (plan.proved, max(plan.nuts.values())) == (False, 4)


def test_plan_counts_on_what_a_nut_does_beside_its_own_bracket():
    found = best_plan(Problem(outlook(hollows=(0.2, 0.37, 0.5)), (), nuts(0, 1)))

    # 0.13 off with 0.115 of room; 5 at B1 lift B2 by 5 × 0.01 to 0.42: one nut touched, not two
    assert found.nuts == {"B1": 5, "B2": 0}


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
    # 0.8 − 2.5 × √(0.14² / 2 + (0.02 × 4)² / 2 …) = 0.52
    assert found == {"L1": (4, 4), "L3": (0, 0), "L5": (5, 5)}


def test_plan_never_turns_both_feet_of_the_centre_leg():
    found = best_plan(Problem(outlook(rise=1.0), legs("L3"), (), Goal(3.175, 0.8), JOINED)).feet

    assert found["L3"][0] * found["L3"][1] <= 0


def test_shared_part_is_what_both_feet_turn_alike():
    assert [shared_part(p) for p in ((3, 5), (-2, -1), (2, -1), (0, 4))] == [3, -1, 0, 0]


# an enumerator written from the text of the aims alone: "(1) the largest excess over all stations,
# excess being the part of the predicted departure beyond (tolerance minus guard band), divided by
# the tolerance; (2) the number of feet and nuts touched; (3) the sum of steps; (4) raising over
# lowering. Each later stage keeps the earlier optimum." The guard band is 2.5 standard
# uncertainties. Feet and nuts share no station, so what is best of both is the best of each under
# the one largest excess.


def excess(goal, view, places, factors):
    """Give the excess of a sum of unknowns, with factors of shape (N, len(places))."""
    mean, cov = view.mean[places], view.covariance[np.ix_(places, places)]
    u = np.sqrt(np.einsum("ni,ij,nj->n", factors, cov, factors, optimize=True))
    room = np.maximum(0.0, goal.tolerance - 2.5 * u)
    return np.maximum(0.0, np.abs(factors @ mean - goal.target) - room) / goal.tolerance


def counted(turns):
    """Give what comes after the largest excess: parts touched, steps, steps down, as one number."""
    steps, lowered = np.abs(turns).sum(-1), -np.minimum(0, turns).sum(-1)
    return (turns != 0).sum(-1) * 1_000_000 + steps * 1000 + lowered


TURNS = np.array(list(itertools.product(range(-16, 17), repeat=3)))  # all turns of three nuts
SIXTHS = np.array(list(itertools.product(range(-24, 25), repeat=3)))  # the same four turns


def nuts_left(view, turns=TURNS):
    """Give the worst excess that all quarter turns of three nuts leave, with plain products."""
    left = []
    for here, beside in enumerate(((1,), (0, 2), (1,))):
        places = [5 + here, 11 + here, *(PLACES.pairs[here, other] for other in beside)]
        factors = [np.ones(len(turns)), *turns[:, [here, *beside]].T]
        left.append(excess(Goal(0.5, 0.19), view, places, np.stack(factors, 1)))
    return np.max(left, axis=0)


def feet_of_leg(leg):
    """List turns of both feet: four quarters apart, or shared; never alike at the centre."""
    pairs = itertools.product(range(-8, 9), repeat=2)
    near = [p for p in pairs if abs(p[0] - p[1]) <= 4 or shared_out(*p)]
    return np.array([p for p in near if leg != 1 or p[0] * p[1] <= 0])


def shared_out(left, right):
    most = max(abs(left), abs(right))
    return left * right < 0 and most <= min(4, math.ceil(abs(left - right) / 2))


FEET = [feet_of_leg(leg) for leg in range(3)]
ROWS = np.array(list(itertools.product(*(range(len(pairs)) for pairs in FEET))))
ALIKE = np.abs(FEET[0].sum(1)[ROWS[:, 0]] - FEET[2].sum(1)[ROWS[:, 2]]) <= 3
ROWS = ROWS[ALIKE]
FRAME = np.hstack([pairs[row] for pairs, row in zip(FEET, ROWS.T, strict=True)])
SUMS, OF = np.unique(FRAME.reshape(-1, 3, 2).sum(2), axis=0, return_inverse=True)


def frame_left(view):
    """Give the worst of cross levels and rise that all turns of three legs' feet leave."""
    worst = []
    for leg, pairs in enumerate(FEET):
        factors = np.stack([np.ones(len(pairs)), (pairs[:, 0] - pairs[:, 1]) * 2], 1)
        worst.append(excess(Goal(0.0, 0.8), view, [leg, 8 + leg], factors)[ROWS[:, leg]])
    factors = np.hstack([np.full((len(SUMS), 2), 0.5), SUMS * (0.25, -0.5, 0.25)])
    worst.append(excess(RISE, view, [3, 4, 8, 9, 10], factors)[OF.ravel()])
    return np.max(worst, axis=0)


TRIED = ((FRAME, counted(FRAME)), (TURNS, counted(TURNS)))


def drawn(seed):
    """Draw a table: of every three, one is near tolerance, one off, one out of reach."""
    draw, wide = np.random.default_rng(seed), (0.4, 1.0, 2.0)[seed % 3]
    root = draw.normal(0, 0.01, (PLACES.lasting, PLACES.lasting)) / 5
    view = outlook(
        wide * draw.uniform(-2, 2, 3),
        3.175 + wide * draw.uniform(-1, 1),
        0.5 + wide * draw.uniform(-0.5, 0.5, 3),
    )
    return Outlook(PLACES, view.mean, view.covariance + root @ root.T, (1, 1, 1))


@pytest.mark.parametrize("seed", range(200))
def test_plan_equals_plain_enumeration_by_the_four_aims(seed):
    view = drawn(seed)

    plan = best_plan(Problem(view, legs(*PLACES.legs), nuts(0, 1, 2), RISE, JOINED))

    left = frame_left(view), nuts_left(view)
    limit = max(worst.min() for worst in left) + 1e-9
    least = sum(c[w <= limit].min() for (_, c), w in zip(TRIED, left, strict=True))
    made = sum((plan.feet[name] for name in PLACES.legs), ()), tuple(plan.nuts.values())
    rows = [(t == m).all(1).argmax() for (t, _), m in zip(TRIED, made, strict=True)]
    assert max(w[row] for w, row in zip(left, rows, strict=True)) <= limit
    assert counted(np.array(made[0] + made[1])) == least


@pytest.mark.parametrize("seed", range(200, 212))
def test_plan_by_sixths_equals_plain_enumeration(seed):
    """A sixth is two thirds of a quarter; the brackets alone, for steps are all that differs."""
    view = drawn(seed)

    plan = best_plan(Problem(view, (), nuts(0, 1, 2), nuts_by=Steps.SIXTHS))

    worst, cost = nuts_left(view, SIXTHS * (2 / 3)), counted(SIXTHS)
    made = (tuple(plan.nuts.values()) == SIXTHS).all(1).argmax()
    fit = worst <= worst.min() + 1e-9
    assert (plan.proved, bool(fit[made]), cost[made]) == (True, True, cost[fit].min())
