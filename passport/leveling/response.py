"""What a quarter turn does at each foot and nut: a prior, sharpened by what was turned.

Each (before, turns, after) of one visit says how much a quarter turn moved. The response k is
estimated on the log scale, log k normal with a prior width, by Bayes' rule; the pack's card error
is common to all readings of a visit.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from passport.leveling.lookup import NUT_LOG_SIGMA, NUT_QUARTER_MM
from passport.leveling.readings import Reading, hollow_reading, slope_reading
from passport.table import Bracket, Leg, Table
from passport.visit import BracketPass, Count, LegPass, Visit

FOOT_LOG_SIGMA = 0.05  # pitch is exact; soft floors and pads are not. Common practice, no source
# What changed, as marked on a form: what was learned before it is forgotten.
NEW_NUTS = frozenset({"part"})
NEW_FEET = frozenset({"part", "moved", "floor"})


_REACH = 10.0  # prior widths looked at on either side
_POINTS = 401
_REFINEMENTS = 4
_UNLIKELY = 32.0  # log probability below the best that is left out: 8 standard deviations


@dataclass(frozen=True)
class Response:
    """Movement per quarter turn, log-normal: median [mm], log-scale width, turns learned from."""

    mm: float
    log_u: float
    learned_from: int = 0

    @property
    def mean_mm(self) -> float:
        """Mean movement per quarter turn, in mm: of a log-normal, above its median."""
        return self.mm * math.exp(self.log_u**2 / 2)

    @property
    def u_mm(self) -> float:
        """Standard uncertainty of the movement per quarter turn, in mm."""
        return self.mean_mm * math.sqrt(math.expm1(self.log_u**2))


@dataclass(frozen=True)
class Trial:
    """One recorded turn: movement [mm], quarter turns, own and card-common uncertainty [mm]."""

    moved_mm: float
    quarters: int
    own_u: float
    card_u: float
    visit: int


def foot_prior(leg: Leg) -> Response | None:
    """Give a quarter of the pitch; None while the thread is unknown."""
    return None if leg.thread is None else Response(leg.thread.pitch_mm / 4, FOOT_LOG_SIGMA)


NUT_PRIOR = Response(NUT_QUARTER_MM, NUT_LOG_SIGMA)


def foot_responses(table: Table, visits: Sequence[Visit]) -> dict[str, Response | None]:
    """Learn the response of each adjusted leg's feet, both feet of a leg alike.

    Parameters
    ----------
    table : Table
        Legs with their threads and foot spacings.
    visits : sequence of Visit
        Oldest first.

    Returns
    -------
    dict
        Leg name to its response, None where the thread is unknown.
    """
    return {leg.name: _learn_foot(leg, visits) for leg in table.adjusted_legs()}


def nut_responses(table: Table, visits: Sequence[Visit]) -> dict[str, Response]:
    """Learn the response of each bracket's inner nut; parameters as ``foot_responses``."""
    width = table.board.width_mm
    return {
        bracket.name: sharpen(NUT_PRIOR, _nut_trials(bracket, width, visits))
        for bracket in table.brackets
    }


def sharpen(prior: Response, trials: Iterable[Trial]) -> Response:
    """Update a response with recorded turns.

    Parameters
    ----------
    prior : Response
        Median and log-scale width before.
    trials : iterable of Trial
        Recorded turns. A turn that moved nothing, or the wrong way, lowers the response as far as
        its uncertainty allows and never to below nought.

    Returns
    -------
    Response
        Median and log-scale width after.

    References
    ----------
    Bayes' rule with known variances, integrated on a grid that closes in on what is likely.
    """
    kept = list(trials)
    if not kept:
        return prior
    moved, quarters = _columns(kept)
    weights: NDArray[np.float64] = np.asarray(np.linalg.inv(_covariance(kept)), np.float64)
    likely = _Likelihood(prior, moved, quarters, weights)
    middle, width = likely.moments()
    return Response(math.exp(middle), width, prior.learned_from + len(kept))


@dataclass(frozen=True)
class _Likelihood:
    """What prior and N recorded turns say of log k, up to a constant; arrays (N,), (N, N)."""

    prior: Response
    moved: NDArray[np.float64]
    quarters: NDArray[np.float64]
    weights: NDArray[np.float64]

    def log_p(self, log_k: NDArray[np.float64]) -> NDArray[np.float64]:
        """Give the log probability at M values of log k."""
        off = self.moved[:, None] - self.quarters[:, None] * np.exp(log_k)  # (N, M)
        fit = np.einsum("im,ij,jm->m", off, self.weights, off)
        pull = (log_k - math.log(self.prior.mm)) ** 2 / self.prior.log_u**2
        return np.asarray(-(fit + pull) / 2, dtype=np.float64)

    def moments(self) -> tuple[float, float]:
        """Integrate mean and standard deviation over all that is likely."""
        low = high = math.log(self.prior.mm)
        reach = _REACH * self.prior.log_u
        for _ in range(_REFINEMENTS):
            grid = np.linspace(low - reach, high + reach, _POINTS)
            log_p = self.log_p(grid)
            likely = grid[log_p > log_p.max() - _UNLIKELY]
            low, high, reach = likely[0], likely[-1], 2 * (grid[1] - grid[0])
        share = np.exp(log_p - log_p.max())
        middle = float(np.average(grid, weights=share))
        return middle, math.sqrt(float(np.average((grid - middle) ** 2, weights=share)))


def _columns(trials: list[Trial]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    moved = np.array([trial.moved_mm for trial in trials], dtype=np.float64)
    return moved, np.array([trial.quarters for trial in trials], dtype=np.float64)


def _covariance(trials: list[Trial]) -> NDArray[np.float64]:
    """Own variances, and the cards' error shared within a visit."""
    shared = np.array([trial.card_u for trial in trials], dtype=np.float64)
    visit = np.array([trial.visit for trial in trials])
    own = np.diag([max(trial.own_u, 1e-6) ** 2 for trial in trials])
    same: NDArray[np.float64] = np.outer(shared, shared) * (visit[:, None] == visit[None, :])
    return np.asarray(own + same, dtype=np.float64)


def _learn_foot(leg: Leg, visits: Sequence[Visit]) -> Response | None:
    prior = foot_prior(leg)
    return None if prior is None else sharpen(prior, _foot_trials(leg, visits))


def _foot_trials(leg: Leg, visits: Sequence[Visit]) -> Iterator[Trial]:
    """List turns that changed a cross level between two readings, as lift at the foot."""
    for number, visit, row in _leg_rows(leg.name, visits):
        quarters = (row.turns_right or 0) - (row.turns_left or 0)
        if row.turns_left is None and row.turns_right is None:
            continue
        pair = _both(row.found, row.after)
        if quarters and pair:
            before, after = (slope_reading(visit.kit, count) for count in pair)
            scale = -leg.foot_spacing_mm / 1000
            yield _trial(before, after, scale, quarters, (number, visit.kit.card_u_mm))


def _nut_trials(bracket: Bracket, width_mm: float, visits: Sequence[Visit]) -> Iterator[Trial]:
    """List turns that changed a hollow between two readings."""
    for number, visit, row in _bracket_rows(bracket.name, visits):
        pair = _both(row.found, row.after)
        if row.turns and pair:
            before, after = (hollow_reading(visit.kit, width_mm, count) for count in pair)
            yield _trial(before, after, 1.0, row.turns, (number, visit.kit.card_u_mm))


def _trial(
    before: Reading, after: Reading, scale: float, quarters: int, shared: tuple[int, float]
) -> Trial:
    number, card_u_mm = shared
    return Trial(
        scale * ((after.value or 0.0) - (before.value or 0.0)),
        quarters,
        abs(scale) * math.hypot(before.own_u, after.own_u),
        abs(scale) * abs(after.per_card - before.per_card) * card_u_mm,
        number,
    )


def _both(found: Count | None, after: Count | None) -> tuple[Count, Count] | None:
    """Two closed counts, or nothing to learn from."""
    if found is None or after is None or found.bound or after.bound:
        return None
    return found, after


def _leg_rows(name: str, visits: Sequence[Visit]) -> Iterator[tuple[int, Visit, LegPass]]:
    for number, visit in _since(NEW_FEET, visits):
        for walk in visit.passes:
            if name in walk.legs:
                yield number, visit, walk.legs[name]


def _bracket_rows(name: str, visits: Sequence[Visit]) -> Iterator[tuple[int, Visit, BracketPass]]:
    for number, visit in _since(NEW_NUTS, visits):
        for walk in visit.passes:
            if name in walk.brackets:
                yield number, visit, walk.brackets[name]


def _since(marks: frozenset[str], visits: Sequence[Visit]) -> Iterator[tuple[int, Visit]]:
    """List visits from the last one with such a change on, with their place in the history."""
    first = max((n for n, v in enumerate(visits) if marks & v.changed), default=0)
    yield from list(enumerate(visits))[first:]
