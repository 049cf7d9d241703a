"""A nut's response is log-normal beforehand: never below nought, and skewed."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from passport.leveling.lookup import NUT_LOG_SIGMA, NUT_QUARTER_MM
from passport.leveling.posterior.sites import Floats

_LOGS = np.linspace(-5.0, 5.0, 161) * NUT_LOG_SIGMA + math.log(NUT_QUARTER_MM)
_RESPONSES = np.exp(_LOGS)
_PRIOR = np.exp(-np.square(np.linspace(-5.0, 5.0, 161)) / 2)
WIDER = 3.0  # times the standard deviation, where counts contradict the usual response
_LEAST = 1e-12  # weight of all responses together; less is beyond the prior


@dataclass(frozen=True)
class NutSites:
    """Stand-ins for the prior of each nut's response: precision and precision times mean, (B,)."""

    precision: Floats
    shift: Floats


def prior_sites(mean: float, variance: float, count: int) -> NutSites:
    """Start from mean and variance of the log-normal."""
    return NutSites(np.full(count, 1 / variance), np.full(count, mean / variance))


def widened(sites: NutSites, which: Sequence[int]) -> NutSites:
    """Believe less of some nuts beforehand: one may be far stronger or weaker than usual."""
    wide = np.ones(len(sites.precision))
    wide[list(which)] = WIDER**-2
    return NutSites(sites.precision * wide, sites.shift * wide)


def sharpened(mean: Floats, variance: Floats, sites: NutSites) -> NutSites:
    """Fit the stand-ins to all else that is known of the responses.

    Parameters
    ----------
    mean, variance : ndarray of shape (B,)
        Of each response, its stand-in included. [mm], [mm²]
    sites : NutSites
        The stand-ins as they are.

    Returns
    -------
    NutSites
        Those that give the moments of prior times all else; kept where all else is no belief.
    """
    precision = 1 / variance - sites.precision
    shift = mean / variance - sites.shift
    log = -precision[:, None] * np.square(_RESPONSES) / 2 + shift[:, None] * _RESPONSES
    weight = _PRIOR * np.exp(log - log.max(axis=1, keepdims=True))
    total = weight.sum(axis=1)
    middle = (weight * _RESPONSES).sum(axis=1) / total
    spread = (weight * np.square(_RESPONSES - middle[:, None])).sum(axis=1) / total
    spacing = 0.07 * NUT_LOG_SIGMA * middle  # finer than the grid: nothing is left to learn
    fits = (total > _LEAST) & (spread > spacing**2) & (precision > -sites.precision)
    own = 1 / np.maximum(spread, 1e-12) - precision
    return NutSites(
        np.where(fits, own, sites.precision),
        np.where(fits, middle / np.maximum(spread, 1e-12) - shift, sites.shift),
    )
