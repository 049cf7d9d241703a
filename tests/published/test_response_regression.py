"""What turns teach, against an independent Bayesian regression.

A foot's cross level is read before and after each of several turns: y = start + turns × lift +
noise, a linear regression with a normal prior. The posterior is worked out by the Kalman filter of
statsmodels over states that never change (Durbin and Koopman, *Time Series Analysis by State Space
Methods*, 2012, 6.2: regression in state space; from memory). A nut is compared likewise, where many
turns outweigh the prior's shape.
"""

import math
from datetime import date

import numpy as np
import pytest
from statsmodels.tsa.statespace.kalman_filter import KalmanFilter

from passport.leveling.response import foot_responses, nut_responses
from passport.table import (
    Board,
    Bracket,
    FootType,
    Kit,
    Leg,
    Role,
    Side,
    Table,
    Target,
    Targets,
    Thread,
)
from passport.visit import BracketPass, Count, LegPass, Pass, Visit

FOOT = Thread("3/8-16 UNC", 1.5875)
QUARTER = 1.5875 / 4  # mm
STEP = 0.02  # mm: cards so thin that a count is as good as normal
KIT = Kit("thin cards", 500, 500, 0.1, None, STEP, 2e-6)
LEGS = (
    Leg("L1", 300, Role.END, 500, FootType.STUD_IN_LEG, FOOT),
    Leg("L2", 2300, Role.END, 500, FootType.STUD_IN_LEG, FOOT),
)
TABLE = Table(
    "1",
    "Regression table",
    "Invented hall",
    Board(2600, 500, 76.2, "maple"),
    LEGS,
    (Bracket("B1", 1300, FOOT, Side.LEFT),),
    Targets(Target(0.5, 0.19), Target(0.0, 0.8), None),
    KIT,
    "metric",
)
TURNS = {1: (2,), 4: (1, 2, 1, 3), 8: (1, 2, 1, 3, 2, 1, 2, 2)}


def posterior(y, factors, noise_u, prior):
    """Regress y on a start and factors by statsmodels; (mean, u) of the second coefficient."""
    mean, u = np.transpose(prior)
    model = KalmanFilter(k_endog=1, k_states=2)
    model.bind(np.asarray(y, dtype=float)[:, None])
    model["design"] = np.stack([np.ones(len(y)), factors])[None]
    model["obs_cov"] = np.array([[noise_u**2]])
    model["transition"] = np.eye(2)
    model.initialize_known(mean, np.diag(u**2))
    found = model.filter()
    return found.filtered_state[1, -1], math.sqrt(found.filtered_state_cov[1, 1, -1])


def counted(values, step):
    return [Count(round(value / step)) for value in values]


def visited(rows):
    return Visit("F", "service", "1", date(2026, 3, 2), KIT, passes=tuple(rows))


@pytest.mark.parametrize("turns", TURNS.values(), ids=TURNS)
def test_foot_learns_what_the_regression_learns(turns):
    draw = np.random.default_rng(len(turns))
    made = np.cumsum((0, *turns)) * 2.0  # mm/m per mm of lift: 1000 / 500
    seen = counted(-3 + made * 1.06 * QUARTER + draw.normal(0, 0.05, len(made)), STEP * 2)
    first = LegPass(seen[0], turns[0], 0, seen[1])
    rows = [first, *(LegPass(None, t, 0, c) for t, c in zip(turns[1:], seen[2:], strict=True))]

    found = foot_responses(TABLE, [visited(Pass(legs={"L1": row}) for row in rows)])["L1"]

    y, noise = [c.cards * STEP * 2 for c in seen], math.hypot(0.05, STEP * 2 / math.sqrt(12))
    mean, u = posterior(y, made, noise, ((0.0, 2.5), (QUARTER, 0.05 * QUARTER)))
    assert (found.mean_mm, found.u_mm) == (
        pytest.approx(mean, abs=0.1 * u),
        pytest.approx(u, rel=0.1),
    )


def test_nut_of_many_turns_learns_what_the_regression_learns():
    draw, turns = np.random.default_rng(5), (2, 3, 2, 3, 2, 3)
    made = np.cumsum((0, *turns))
    seen = counted(0.1 + made * 0.06 + draw.normal(0, 0.0127, len(made)), STEP)
    first = BracketPass(seen[0], turns[0], seen[1])
    rows = [first, *(BracketPass(None, t, c) for t, c in zip(turns[1:], seen[2:], strict=True))]

    found = nut_responses(TABLE, [visited(Pass(brackets={"B1": row}) for row in rows)])["B1"]

    y = [(c.cards + 0.5) * STEP for c in seen][1:]  # the first turn may meet lost motion
    noise = math.hypot(0.0127, STEP / math.sqrt(12))
    mean, u = posterior(y, made[1:], noise, ((0.3, 1.0), (0.055, 0.023)))
    assert found.mean_mm == pytest.approx(mean, abs=u)
    assert found.u_mm == pytest.approx(u, rel=0.25)
