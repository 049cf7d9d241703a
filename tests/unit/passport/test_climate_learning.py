from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from passport.climate import learning
from passport.climate.air import wetting
from passport.climate.learning import Sighting, learn, learn_movement
from passport.climate.movement import expected_sensitivity, movement, slabs
from passport.climate.room import expected_course, waves
from passport.table import Board, Room

BOARD = Board(6700, 508, 76.2, "hard maple")
FIRST = date(2025, 2, 1)
COURSE = expected_course(Room(heated=True))


def on(day):
    return FIRST + timedelta(days=day)


def before(*days):
    at = np.array([on(day).toordinal() for day in days])
    faces = {slab: wetting(COURSE, [], slab, at) for slab, _ in slabs(BOARD)}
    return movement(BOARD, faces, at, expected_sensitivity(BOARD))


def seen(day, hollow, setting=0, *, bracket="B1", turned=0.0):
    return Sighting(bracket, on(day), hollow, 0.05, 0.03, setting, turned)


@pytest.fixture
def drawn(monkeypatch):
    """Hollows of one bracket, drawn cause by cause; best linear guess of the last from the others.

    Seen at day 0, turned up by 0.3 and seen, seen on day 90, guessed for day 180.
    """
    monkeypatch.setattr(learning, "SETTING_U_MM", 0.5)
    draw, size = np.random.default_rng(5), 400_000
    known = before(0, 90, 180)
    vector = draw.multivariate_normal(known.mean, known.cov, size, method="cholesky")
    own = 1 + learning.OWN_SHARE * draw.normal(size=size)
    season = own[:, None] * (vector @ known.rows().T)
    months = np.sqrt(90 / learning.MONTH_DAYS)
    step = months * np.hypot(learning.WANDER_TABLE_MM, learning.WANDER_BRACKET_MM)
    wander = np.cumsum(draw.normal(0, step, (size, 2)), axis=1)
    old, new = draw.normal(0, 0.5, (2, size))
    back = 0.3 * draw.normal(learning.RELAXED, learning.RELAXED_U, size)
    truth = np.array(
        [
            old + season[:, 0],
            new + season[:, 0],
            new + season[:, 1] + wander[:, 0] - back,
            new + season[:, 2] + wander[:, 1] - back,
        ]
    )
    card = np.array([1, 1, 0])[:, None] * draw.normal(0, 0.03, size)
    card[2] = draw.normal(0, 0.03, size)
    read = truth[:3] + card + draw.normal(0, 0.05, (3, size))
    cov, mean = np.cov(np.vstack([read, truth[3]])), np.append(read.mean(axis=1), truth[3].mean())
    weight = np.linalg.solve(cov[:3, :3], cov[:3, 3])
    off = np.array([0.2, 0.5, 0.55]) - mean[:3]
    return known, mean[3] + weight @ off, cov[3, 3] - weight @ cov[:3, 3]


def test_forecast_is_the_best_linear_guess(drawn):
    known, value, variance = drawn
    sightings = [seen(0, 0.2), seen(0, 0.5, 1), seen(90, 0.55, 1, turned=0.3)]

    found = learn(known, sightings, [on(180)]).brackets[0]
    assert (found.mean[0], found.cov[0, 0]) == pytest.approx((value, variance), rel=0.02)


def test_movement_alone_is_learned_as_with_the_forecast():
    known = before(0, 90, 180)
    sightings = [seen(0, 0.5), seen(90, 0.6)]

    alone, whole = learn_movement(known, sightings), learn(known, sightings, [on(180)]).after
    np.testing.assert_allclose(alone.cov, whole.cov, atol=1e-10)


def test_one_sighting_says_nothing_of_the_seasons():
    known = before(0, 90)
    after = learn_movement(known, [seen(0, 0.9)])

    np.testing.assert_allclose(after.mean, known.mean, atol=1e-4)


def test_hollow_that_grows_toward_the_damp_end_raises_the_sensitivity():
    known = before(0, 180)
    steady, grown = (
        learn_movement(known, [seen(0, 0.3), seen(180, hollow)]).mean[0] for hollow in (0.3, 0.8)
    )

    assert grown > known.mean[0] > steady


def test_more_brackets_tell_more():
    known = before(0, 180)
    one = [seen(0, 0.3), seen(180, 0.6)]
    two = [*one, *(replace(sight, bracket="B2") for sight in one)]

    narrow, wide = (learn_movement(known, each).cov[1, 1] for each in (two, one))
    assert narrow < wide


def test_turn_between_visits_is_no_season():
    known = before(0, 180)
    sightings = [seen(0, 0.3), seen(0, 0.7, 1), seen(180, 0.66, 1, turned=0.4)]  # a tenth relaxed
    still = [seen(0, 0.3), seen(180, 0.3)]

    turned, untouched = (learn_movement(known, each).mean[1:3] for each in (sightings, still))
    wave = waves(np.array([on(180).toordinal()]))[0] - waves(np.array([FIRST.toordinal()]))[0]
    assert wave @ turned == pytest.approx(wave @ untouched, abs=0.05)


def test_mean_of_the_brackets_lies_between_them():
    known = before(0, 90)
    sightings = [seen(0, 0.3), seen(0, 0.7, bracket="B2")]
    found = learn(known, sightings, [on(90)])

    assert found.table.mean[0] == pytest.approx(np.mean([b.mean[0] for b in found.brackets]))


def test_mean_of_the_brackets_is_surer_than_each():
    known = before(0, 90)
    found = learn(known, [seen(0, 0.3), seen(0, 0.7, bracket="B2")], [on(90)])

    assert found.table.cov[0, 0] < found.brackets[0].cov[0, 0]
