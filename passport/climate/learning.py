"""What the hollows found and left at visits say of a table's seasons: linear Bayes.

Every hollow is one unknown per setting (a bracket between two turns), plus the seasons, plus a
slow wander of the whole table and of each bracket, plus what a turn gives back as it relaxes. The
card error of a visit is one unknown for all its readings.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cholesky, solve_triangular

from passport.climate.movement import Movement

Floats = NDArray[np.float64]

# Common practice, no source; wide on purpose, and settled by no visit.
WANDER_TABLE_MM = 0.05  # in a month, all brackets together
WANDER_BRACKET_MM = 0.045  # in a month, each for itself
MONTH_DAYS = 30.4375
OWN_SHARE = 0.15  # a bracket's sensitivity departs from the table's by this much
RELAXED, RELAXED_U = 0.10, 0.07  # of a turn's change, given back before the next visit
SETTING_U_MM = 50.0  # a setting may be anything; tighter, many settings would tell of the year

_LEAST_OWN = 1e-4  # of what a reading shares


@dataclass(frozen=True)
class Sighting:
    """A hollow seen at a bracket.

    ``u_mm`` is its own standard uncertainty, ``shared_mm`` that of the visit's cards at this
    hollow; ``setting`` counts the bracket's turns, and ``turned_mm`` is what the last one changed,
    nought on the day it was made.
    """

    bracket: str
    day: date
    hollow_mm: float
    u_mm: float
    shared_mm: float
    setting: int = 0
    turned_mm: float = 0.0


@dataclass(frozen=True)
class Ahead:
    """Hollow of a bracket, or the mean of all, on each of M days to come. [mm].

    ``with_movement`` of shape (3 + N, M) is its covariance with the movement's vector.
    """

    name: str
    mean: Floats  # (M,)
    cov: Floats  # (M, M)
    with_movement: Floats


@dataclass(frozen=True)
class Learned:
    """A table's seasons after its visits: the movement, each bracket, and the mean of all."""

    before: Movement
    after: Movement
    brackets: tuple[Ahead, ...]
    table: Ahead


@dataclass(frozen=True)
class _Places:
    """Where and when hollows are looked at, P of them; ``rows`` leads from the movement there."""

    rows: Floats  # (P, 3 + N)
    days: Floats
    bracket: NDArray[np.int64]
    setting: NDArray[np.int64]
    turned: Floats

    def mean(self, movement: Movement) -> Floats:
        """Movement there, less what the last turn gives back. [mm]."""
        return np.asarray(self.rows @ movement.mean - RELAXED * self.turned)


def learn(before: Movement, sightings: Sequence[Sighting], ahead: Sequence[date]) -> Learned:
    """Learn a table's seasons from its sightings and carry each bracket forward.

    Parameters
    ----------
    before : Movement
        On all days of sightings and all days ahead.
    sightings : sequence of Sighting
        In the order of time; at least one.
    ahead : sequence of date
        M days to forecast.

    Returns
    -------
    Learned
        The movement, and each bracket's course ahead.
    """
    names = sorted({one.bracket for one in sightings})
    last = {one.bracket: one for one in sightings}
    coming = [replace(last[name], day=day) for name in names for day in ahead]
    seen, then = _places(before, sightings, names), _places(before, coming, names)
    with_movement = before.cov @ then.rows.T
    prior = np.block(
        [[before.cov, with_movement], [with_movement.T, _covariance(before, then, then)]]
    )
    reach = np.concatenate([before.cov @ seen.rows.T, _covariance(before, then, seen)])
    shift, gained = _update(before, sightings, seen, reach)
    mean = np.concatenate([before.mean, then.mean(before)]) + shift
    return _split(before, names, mean, prior - gained)


def learn_movement(before: Movement, sightings: Sequence[Sighting]) -> Movement:
    """Learn the movement alone, which is quicker; see ``learn``."""
    seen = _places(before, sightings, sorted({one.bracket for one in sightings}))
    shift, gained = _update(before, sightings, seen, before.cov @ seen.rows.T)
    return Movement(before.days, before.mean + shift, before.cov - gained)


def _update(
    before: Movement, sightings: Sequence[Sighting], seen: _Places, reach: Floats
) -> tuple[Floats, Floats]:
    """Shift of the mean and loss of covariance of what reaches to the sightings by ``reach``."""
    held = _covariance(before, seen, seen) + _reading_covariance(sightings)
    lower = cholesky(held, lower=True, overwrite_a=True, check_finite=False)
    off = np.array([one.hollow_mm for one in sightings]) - seen.mean(before)
    half = solve_triangular(lower, np.column_stack([off, reach.T]), lower=True, check_finite=False)
    return half[:, 1:].T @ half[:, 0], half[:, 1:].T @ half[:, 1:]


def _split(before: Movement, names: Sequence[str], mean: Floats, cov: Floats) -> Learned:
    """Part the joint answer into the movement, each bracket, and the mean of the brackets."""
    size = before.mean.size
    days = (mean.size - size) // len(names)
    after = Movement(before.days, mean[:size], cov[:size, :size])
    picks = np.kron(np.eye(len(names)), np.ones(days)).astype(bool)
    brackets = []
    for name, pick in zip(names, picks, strict=True):
        spots = size + np.flatnonzero(pick)
        brackets.append(Ahead(name, mean[spots], cov[np.ix_(spots, spots)], cov[:size, spots]))
    mixing = np.kron(np.full((1, len(names)), 1 / len(names)), np.eye(days))  # (M, brackets * M)
    table = Ahead(
        "all",
        mixing @ mean[size:],
        mixing @ cov[size:, size:] @ mixing.T,
        cov[:size, size:] @ mixing.T,
    )
    return Learned(before, after, tuple(brackets), table)


def _places(before: Movement, sightings: Sequence[Sighting], names: Sequence[str]) -> _Places:
    days = np.array([one.day.toordinal() for one in sightings])
    return _Places(
        before.rows()[np.searchsorted(before.days, days)],
        days.astype(np.float64),
        np.array([names.index(one.bracket) for one in sightings]),
        np.array([one.setting for one in sightings]),
        np.array([one.turned_mm for one in sightings]),
    )


def _covariance(before: Movement, one: _Places, two: _Places) -> Floats:
    """Covariance of hollows at two lists of places, readings' errors apart."""
    same = np.equal.outer(one.bracket, two.bracket)
    months = (np.minimum.outer(one.days, two.days) - before.days[0]) / MONTH_DAYS
    seasons = one.rows @ (before.cov @ two.rows.T)
    square = seasons + np.outer(one.rows @ before.mean, two.rows @ before.mean)
    own = OWN_SHARE**2 * square + WANDER_BRACKET_MM**2 * months
    setting = SETTING_U_MM**2 + RELAXED_U**2 * np.outer(one.turned, two.turned)
    own += np.equal.outer(one.setting, two.setting) * setting
    return np.asarray(seasons + WANDER_TABLE_MM**2 * months + same * own)


def _reading_covariance(sightings: Sequence[Sighting]) -> Floats:
    """Covariance of the readings' errors: each its own, and one of cards for each visit.

    However much is shared, a little is each one's own: else the numbers run out of figures.
    """
    days = np.array([one.day.toordinal() for one in sightings])
    shared = np.array([one.shared_mm for one in sightings])
    own = np.diag([max(one.u_mm**2, (_LEAST_OWN * one.shared_mm) ** 2) for one in sightings])
    return np.asarray(own + np.equal.outer(days, days) * np.outer(shared, shared))
