"""Gaussian beliefs sharpened by counts: each count is an interval whose ends the cards stretch.

A count says that what the level shows, y, lies between two ends, and both ends are multiples of one
card: thicker cards move the interval and make it wider. So each count bears on two numbers at once,
y and the relative error of the cards, and is replaced by the two-dimensional Gaussian that has the
same mean and covariance together with all that is known otherwise (expectation propagation).

References
----------
T. P. Minka, "Expectation propagation for approximate Bayesian inference", UAI 2001.
N. L. Johnson, S. Kotz, N. Balakrishnan, *Continuous Univariate Distributions* 1 (1994), 10.1:
moments of a normal distribution that is cut off (from memory).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(7)
_SHARES = _WEIGHTS / _WEIGHTS.sum()
_FAR = 40.0  # standard deviations that stand for an open end
IMPOSSIBLE = 1e-9  # a count less likely than this contradicts all else


@dataclass(frozen=True)
class Cuts:
    """N intervals of y: ends at no card error, whether cards stretch them, own noise of y."""

    low: Floats
    high: Floats
    stretch: Floats
    noise: Floats


@dataclass(frozen=True)
class Tilted:
    """What N counts make of their cavities: mean (N, 2), covariance (N, 2, 2), evidence (N,).

    ``fourth`` is the fourth cumulant of what the level shows. Where the evidence is nought the
    count contradicts all else, and mean and covariance are the cavity's.
    """

    mean: Floats
    covariance: Floats
    evidence: Floats
    fourth: Floats


def tilt(mean: Floats, covariance: Floats, cuts: Cuts) -> Tilted:
    """Cut N two-dimensional Gaussians of (y, card error) to their intervals.

    Parameters
    ----------
    mean : ndarray of shape (N, 2)
        Of y [its unit] and of the relative card error, without the count.
    covariance : ndarray of shape (N, 2, 2)
        Likewise.
    cuts : Cuts
        The intervals.

    Returns
    -------
    Tilted
        Moments after the cut.
    """
    shown = covariance.copy()
    shown[:, 0, 0] += cuts.noise**2  # the level shows y and its own noise
    cut_mean, cut_cov, evidence, fourth = _cut(mean, shown, cuts)
    gain = covariance @ _inverse(shown)
    possible = evidence > IMPOSSIBLE
    turned = np.swapaxes(gain, 1, 2)
    after = mean + (gain @ (cut_mean - mean)[:, :, None])[:, :, 0]
    spread = covariance - gain @ (shown - cut_cov) @ turned
    return Tilted(
        np.where(possible[:, None], after, mean),
        np.where(possible[:, None, None], spread, covariance),
        np.where(possible, evidence, 0.0),
        fourth,
    )


def _cut(mean: Floats, shown: Floats, cuts: Cuts) -> tuple[Floats, Floats, Floats, Floats]:
    """Integrate over the card error; what the level shows is cut in closed form."""
    card = mean[:, 1:] + np.sqrt(shown[:, 1:, 1]) * _NODES  # (N, nodes)
    slope = shown[:, 0, 1:] / shown[:, 1:, 1]
    middle = mean[:, :1] + slope * (card - mean[:, 1:])
    width = np.sqrt(np.maximum(shown[:, :1, 0] - slope * shown[:, 0, 1:], 1e-18))
    factor = 1 + cuts.stretch[:, None] * card
    low = np.clip((cuts.low[:, None] * factor - middle) / width, -_FAR, _FAR)
    high = np.clip((cuts.high[:, None] * factor - middle) / width, -_FAR, _FAR)
    share, first, second, third, fourth = _standard_moments(low, high)
    weight = _SHARES * share
    evidence = weight.sum(axis=1)
    weight = weight / np.maximum(evidence, 1e-300)[:, None]
    shows = middle + width * first
    mean_y, mean_c = (weight * shows).sum(axis=1), (weight * card).sum(axis=1)
    off_y, off_c = shows - mean_y[:, None], card - mean_c[:, None]
    inner = width**2 * second
    var_y = (weight * (off_y**2 + inner)).sum(axis=1)
    both = (weight * off_y * off_c).sum(axis=1)
    var_c = np.maximum((weight * off_c**2).sum(axis=1), 1e-12)
    cov = np.stack([np.stack([var_y, both], -1), np.stack([both, var_c], -1)], -1)
    far = off_y**4 + 6 * off_y**2 * inner + 4 * off_y * width**3 * third + width**4 * fourth
    cumulant = (weight * far).sum(axis=1) - 3 * var_y**2
    return np.stack([mean_y, mean_c], -1), cov, evidence, cumulant


def _standard_moments(low: Floats, high: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Give probability, mean and central moments 2 to 4 of a standard normal between two ends."""
    flip = low + high > 0  # in the left tail both probabilities are small and exact
    near, far = np.where(flip, -high, low), np.where(flip, -low, high)
    share = np.maximum(ndtr(far) - ndtr(near), 1e-300)
    dense_near, dense_far = _density(near), _density(far)
    one = (dense_near - dense_far) / share
    two = 1 + (near * dense_near - far * dense_far) / share
    three = 2 * one + (near**2 * dense_near - far**2 * dense_far) / share
    four = 3 * two + (near**3 * dense_near - far**3 * dense_far) / share
    first = np.clip(one, near, far)
    second = np.clip(two - first**2, 1e-9, 1.0)
    third = three - 3 * first * two + 2 * first**3
    fourth = np.maximum(four - 4 * first * three + 6 * first**2 * two - 3 * first**4, second**2)
    return share, np.where(flip, -first, first), second, np.where(flip, -third, third), fourth


def _density(z: Floats) -> Floats:
    return np.asarray(np.exp(-(z**2) / 2) / np.sqrt(2 * np.pi), dtype=np.float64)


def _inverse(pairs: Floats) -> Floats:
    """Invert N symmetric 2 × 2 matrices."""
    one, both, two = pairs[:, 0, 0], pairs[:, 0, 1], pairs[:, 1, 1]
    size = np.maximum(one * two - both**2, 1e-30)
    rows = [np.stack([two, -both], -1), np.stack([-both, one], -1)]
    return np.asarray(np.stack(rows, -2) / size[:, None, None], dtype=np.float64)


@dataclass(frozen=True)
class Gaussian:
    """A belief about D unknowns: mean (D,) and covariance (D, D)."""

    mean: Floats
    covariance: Floats


@dataclass(frozen=True)
class Sites:
    """Stand-ins for N counts: precision (N, 2, 2) and precision times mean (N, 2)."""

    precision: Floats
    shift: Floats

    @classmethod
    def none(cls, count: int) -> "Sites":
        """Start without any."""
        return cls(np.zeros((count, 2, 2)), np.zeros((count, 2)))


def cavity(mean: Floats, covariance: Floats, sites: Sites) -> tuple[Floats, Floats, Flags]:
    """Take each count's own stand-in out of what is believed of it.

    Returns
    -------
    tuple
        Mean (N, 2), covariance (N, 2, 2), and where this is a proper belief (N,).
    """
    inverse = _inverse(covariance)
    precision = inverse - sites.precision
    size = precision[:, 0, 0] * precision[:, 1, 1] - precision[:, 0, 1] ** 2
    proper = (size > 0) & (precision[:, 0, 0] > 0)
    precision = np.where(proper[:, None, None], precision, inverse)
    shift = (inverse @ mean[:, :, None])[:, :, 0] - np.where(proper[:, None], sites.shift, 0.0)
    wide = _inverse(precision)
    return (wide @ shift[:, :, None])[:, :, 0], wide, proper


def stand_ins(mean: Floats, covariance: Floats, tilted: Tilted) -> Sites:
    """Give the Gaussians that turn cavities into their tilted moments."""
    before, after = _inverse(covariance), _inverse(tilted.covariance)
    shift = after @ tilted.mean[:, :, None] - before @ mean[:, :, None]
    return Sites(after - before, shift[:, :, 0])
