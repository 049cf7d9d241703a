"""A nut's response is log-normal beforehand: never below nought, and skewed."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from passport.leveling.nut_prior import NutPrior
from passport.leveling.posterior.sites import Floats

_WAYS = np.linspace(-5.0, 5.0, 161)  # standard deviations of the logarithm
_PRIOR = np.exp(-np.square(_WAYS) / 2)
WIDER = 3.0  # times the standard deviation, where counts contradict the usual response
_LEAST = 1e-12  # weight of all responses together; less is beyond the prior


@dataclass(frozen=True)
class NutSites:
    """Stand-ins for the prior of each nut's response: precision and precision times mean, (B,)."""

    precision: Floats
    shift: Floats
    usual: NutPrior


def prior_sites(usual: NutPrior, count: int) -> NutSites:
    """Start from mean and variance of the log-normal."""
    mean, variance = usual.mean_mm, usual.variance_mm2
    return NutSites(np.full(count, 1 / variance), np.full(count, mean / variance), usual)


def widened(sites: NutSites, which: Sequence[int]) -> NutSites:
    """Believe less of some nuts beforehand: one may be far stronger or weaker than usual."""
    wide = np.ones(len(sites.precision))
    wide[list(which)] = WIDER**-2
    return replace(sites, precision=sites.precision * wide, shift=sites.shift * wide)


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
    sigma = sites.usual.log_sigma
    responses = sites.usual.median_mm * np.exp(sigma * _WAYS)
    precision = 1 / variance - sites.precision
    shift = mean / variance - sites.shift
    log = -precision[:, None] * np.square(responses) / 2 + shift[:, None] * responses
    weight = _PRIOR * np.exp(log - log.max(axis=1, keepdims=True))
    total = weight.sum(axis=1)
    middle = (weight * responses).sum(axis=1) / total
    spread = (weight * np.square(responses - middle[:, None])).sum(axis=1) / total
    spacing = 0.07 * sigma * middle  # finer than the grid: nothing is left to learn
    fits = (total > _LEAST) & (spread > spacing**2) & (precision > -sites.precision)
    own = 1 / np.maximum(spread, 1e-12) - precision
    return NutSites(
        np.where(fits, own, sites.precision),
        np.where(fits, middle / np.maximum(spread, 1e-12) - shift, sites.shift),
        sites.usual,
    )
