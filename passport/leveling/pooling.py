"""Shared strength: what the tables of one build say together of the nuts of a further one.

The logarithm of a nut's response is normal about its table's, and a table's about its build's; how
far nuts and tables are apart is unknown, and so is the build's. All is worked out on a grid.
Beforehand the build's is spread about common practice so that one nut of an unknown build is as
unknown as ever; so a build that shares nothing ends where common practice stands.

References
----------
A. Gelman et al., *Bayesian Data Analysis*, 3rd ed. (2013), chapter 5: hierarchical models; the
spread between groups is worked out on a grid (from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np

from passport.leveling.lessons import Lesson, Said
from passport.leveling.nut_prior import USUAL
from passport.leveling.posterior.sites import Floats
from passport.table import BuildNuts

_STEP = 0.04
_LOGS = np.arange(-60, 61) * _STEP  # logarithms over the usual median: from 1/11 to 11 times
_RESPONSES = USUAL.median_mm * np.exp(_LOGS)
SPREADS = (0.12, 0.15, 0.19, 0.24, 0.3, 0.37, 0.46, 0.57, 0.7)  # of nuts, log: tables' included
ALIKE = (0.0, 0.3, 0.6)  # share of the log variance that the nuts of one table have in common
BUILD_U = 0.28  # of the build's own logarithm; with the spread below, of one nut 0.4 as is usual
SPREAD_MEDIAN, SPREAD_LOG_U = 0.26, 0.35  # log-normal

# What nuts lose where they change direction [quarter turns]: mean, and spread of nuts in it.
_LOSSES = np.linspace(0.0, 0.6, 31)
LOST_BUILD_U = 0.1
LOST_SPREADS = np.array([0.05, 0.075, 0.1, 0.125, 0.15])


@dataclass(frozen=True)
class Source:
    """One table of a build: what it says, and the number of its last event."""

    lesson: Lesson
    as_of: int


def pooled(sources: Sequence[Source]) -> BuildNuts | None:
    """Say what tables of one build teach of the nuts of a further one.

    Parameters
    ----------
    sources : sequence of Source
        Of all other tables of the build; those that say nothing are passed over.

    Returns
    -------
    BuildNuts or None
        None where nobody says anything.
    """
    telling = [one for one in sources if one.lesson.nuts]
    if not telling:
        return None
    mean, log_u = strength([one.lesson.nuts for one in telling])
    lost, lost_u = lost_motion([said for one in telling for said in one.lesson.lost])
    median = float(USUAL.median_mm * np.exp(mean))
    return BuildNuts(median, log_u, lost, lost_u, len(telling), max(one.as_of for one in telling))


def strength(tables: Sequence[Sequence[Said]]) -> tuple[float, float]:
    """Say how strong a further nut is: mean and deviation of its logarithm over the usual median.

    Parameters
    ----------
    tables : sequence of sequence of Said
        What each table says of its nuts. [mm]
    """
    log = _prior() + sum((_of_table(nuts) for nuts in tables), np.zeros(()))  # (C, M)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    spread = np.array([spread for spread, _ in _combinations()])[:, None]
    mean = float((weight * _LOGS).sum())
    variance = float((weight * (np.square(_LOGS - mean) + spread**2)).sum())
    return mean, variance**0.5


def lost_motion(nuts: Sequence[Said]) -> tuple[float, float]:
    """Say what a further nut loses: mean and deviation. [quarter turns]."""
    mean, spread = _LOSSES, LOST_SPREADS[:, None]
    log = -(((mean - USUAL.lost_quarters) / LOST_BUILD_U) ** 2) / 2 + 0 * spread
    for said in nuts:
        variance = spread**2 + said.u**2
        log = log - ((said.value - mean) ** 2 / variance + np.log(variance)) / 2
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    best = float((weight * mean).sum())
    return best, float((weight * ((mean - best) ** 2 + spread**2)).sum() ** 0.5)


@cache
def _combinations() -> tuple[tuple[float, float], ...]:
    return tuple(product(SPREADS, ALIKE))


@cache
def _prior() -> Floats:
    """Give the logarithm of the prior over spreads and the build's own, (C, M)."""
    ways = np.array([np.log(spread / SPREAD_MEDIAN) for spread, _ in _combinations()])
    return np.asarray(-np.square(ways / SPREAD_LOG_U)[:, None] / 2 - np.square(_LOGS / BUILD_U) / 2)


@cache
def _nuts_about() -> Floats:
    """Give how likely each response is about each table's own, by combination, (C, T, R)."""
    return _about([spread * (1 - alike) ** 0.5 for spread, alike in _combinations()])


@cache
def _tables_about() -> Floats:
    """Give how likely each table's own is about each build's, by combination, (C, M, T)."""
    return _about([spread * alike**0.5 for spread, alike in _combinations()])


def _about(spreads: Sequence[float]) -> Floats:
    """Give normal weights about every place of the grid; a spread of nought stays in its place."""
    wide = np.maximum(np.array(spreads), _STEP / 10)[:, None, None]
    weight = np.exp(-np.square((_LOGS[:, None] - _LOGS) / wide) / 2)
    return np.asarray(weight / weight.sum(axis=2, keepdims=True))


def _of_table(nuts: Sequence[Said]) -> Floats:
    """Give the logarithm of how likely one table's lesson is, (C, M)."""
    value, u = (np.array([getattr(one, name) for one in nuts]) for name in ("value", "u"))
    width = np.hypot(u[:, None], _STEP * _RESPONSES)  # (N, R): no narrower than the grid
    said = np.exp(-np.square((value[:, None] - _RESPONSES) / width) / 2) / width
    nut = np.maximum(_nuts_about() @ said.T, 1e-300)  # (C, T, N)
    table = np.log(nut).sum(axis=2)
    most = table.max(axis=1, keepdims=True)
    return np.asarray(
        np.log(np.maximum((_tables_about() @ np.exp(table - most)[:, :, None])[:, :, 0], 1e-300))
        + most
    )
