"""From visit to visit: what is believed of a table, all counts taken together.

Within a visit nothing but turns moves the table, so all its counts bear on one vector of unknowns,
found by iterating over the counts' Gaussian stand-ins. Between visits a part of each change
relaxes, and the state drifts; what turns do stays, unless hardware changed.
"""

import hashlib
import pickle
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeVar

import numpy as np

from passport.leveling.nut_prior import nut_prior
from passport.leveling.posterior.course import Before, Course, course
from passport.leveling.posterior.nuts import NutSites, prior_sites, sharpened, widened
from passport.leveling.posterior.places import Places, places_of
from passport.leveling.posterior.prior import (
    NEW_FEET,
    NEW_NUTS,
    RELAXED,
    RELAXED_U,
    drift,
    fresh,
    visit_unknowns,
)
from passport.leveling.posterior.sites import (
    Cuts,
    Flags,
    Floats,
    Gaussian,
    Sites,
    Tilted,
    cavity,
    stand_ins,
    tilt,
)
from passport.leveling.supports import spans_mm
from passport.table import Table
from passport.visit import Visit

ROUNDS = 8  # of the stand-ins; twice as many move no mean by a hundredth of its uncertainty
_DAMPING = 0.8
_SETTLED = 1e-3  # standard deviations
CONTRADICTION = 1e-4  # a count less likely than this is no chance
SURPRISE = 0.01  # a count less likely than this is kept with the visit


@dataclass(frozen=True)
class Belief:
    """What outlives a visit: Gaussian over the lasting unknowns, nuts' priors, where nuts face.

    ``strange``: nuts of which less is believed beforehand, by their order.
    """

    lasting: Gaussian
    nuts: NutSites
    facing: tuple[int, ...]
    strange: tuple[int, ...] = ()


@dataclass(frozen=True)
class Known:
    """What is known within one visit: all unknowns, its readings, and what each count adds."""

    places: Places
    whole: Gaussian  # (size,)
    start: Gaussian  # (size,): before the visit's counts
    course: Course
    tilted: Tilted | None
    nuts: NutSites
    seen: Floats  # (readings, size): rows of what the level showed, about what is believed
    shown_variance: Floats  # (readings,)
    surprises: tuple[tuple[int, float], ...] = ()  # place of each unlikely count, its probability

    @property
    def contradicted(self) -> frozenset[int]:
        """Places of the state with a count that contradicts all else."""
        return frozenset(
            place for place, chance in self.surprises if place >= 0 and chance < CONTRADICTION
        )

    @cached_property
    def root(self) -> Floats:
        """Root of the covariance: unknowns are this times independent ones."""
        size, ways = np.linalg.eigh(self.whole.covariance)
        return np.asarray(ways * np.sqrt(np.maximum(size, 0.0)), dtype=np.float64)

    def state(self, rows: Floats) -> Gaussian:
        """Give the state by its rows, as found or as left."""
        return Gaussian(rows @ self.whole.mean, rows @ self.whole.covariance @ rows.T)


def before_all(table: Table, places: Places) -> Belief:
    """Believe what common practice says."""
    count = len(places.brackets)
    nuts = prior_sites(nut_prior(table), count)
    return Belief(fresh(table, places), nuts, (0,) * count)


def known_at(table: Table, visits: Sequence[Visit]) -> Known:
    """Take all visits together, and say what is known within the last one.

    Parameters
    ----------
    table : Table
        Geometry, threads, kit.
    visits : sequence of Visit
        Oldest first; at least one.

    Returns
    -------
    Known
        Of the last visit.
    """
    return _known(table, visits, _keys(table, visits))


def known_through(table: Table, visits: Sequence[Visit]) -> tuple[Known, ...]:
    """Say what is known within each visit by it and all before; see ``known_at``."""
    keys = _keys(table, visits)
    return tuple(_known(table, visits[:n], keys[:n]) for n in range(1, len(keys) + 1))


def believed_after(table: Table, visits: Sequence[Visit]) -> Belief:
    """Say what the next visit starts from: worth keeping, for it stands for all visits so far."""
    places, keys = places_of(table), _keys(table, visits)
    count, belief = _newest_belief(places, keys)
    if belief is not None and count == len(keys):
        return belief
    return carried(places, _known(table, visits, keys))


def start_from(table: Table, visits: Sequence[Visit], belief: Belief) -> None:
    """Start from what was believed after these visits: those that follow need no other."""
    _remember(_BELIEVED, _keys(table, visits)[-1], belief)


def _keys(table: Table, visits: Sequence[Visit]) -> tuple[bytes, ...]:
    """Name the history up to each visit by its content."""
    key, keys = pickle.dumps(table), list[bytes]()
    for visit in visits:
        key = hashlib.sha256(key + pickle.dumps(visit)).digest()
        keys.append(key)
    return tuple(keys)


# What a history came to, by its content: the next visit starts from there. Only time depends on it.
_REMEMBERED: dict[bytes, Known] = {}
_BELIEVED: dict[bytes, Belief] = {}
_MOST_REMEMBERED = 200  # about 30 MB
Content = TypeVar("Content", Known, Belief)


def _remember(memory: dict[bytes, Content], key: bytes, content: Content) -> None:
    while len(memory) >= _MOST_REMEMBERED:
        del memory[next(iter(memory))]
    memory[key] = content


def _known(table: Table, visits: Sequence[Visit], keys: Sequence[bytes]) -> Known:
    """Go through the visits behind the newest after which it is remembered what was believed."""
    known = _REMEMBERED.get(keys[-1])
    if known is not None:
        return known
    places = places_of(table)
    first, belief = _newest_belief(places, keys[:-1])
    for key, visit in zip(keys[first:], visits[first:], strict=True):
        start = forgotten(table, places, belief, visit) if belief else before_all(table, places)
        known = during(table, places, start, visit, ROUNDS)
        _remember(_REMEMBERED, key, known)
        belief = carried(places, known)
    assert known is not None
    return known


def _newest_belief(places: Places, keys: Sequence[bytes]) -> tuple[int, Belief | None]:
    """Find after how many visits it is remembered what was believed, and that."""
    for count in range(len(keys), 0, -1):
        known = _REMEMBERED.get(keys[count - 1])
        belief = carried(places, known) if known else _BELIEVED.get(keys[count - 1])
        if belief is not None:
            return count, belief
    return 0, None


def during(table: Table, places: Places, belief: Belief, visit: Visit, rounds: int) -> Known:
    """Sharpen a belief by all counts of a visit.

    Where counts contradict what was believed of a station, its nut may be far from usual: counts
    that agree once less is believed of it beforehand are no contradiction. Where they don't, the
    station moved: that is forgotten. Where they then still contradict each other, only the last
    one is kept: a wide answer, not a wrong one.
    """
    before = Before(belief.facing)
    usual = course(table, places, visit, before)
    plain = _sharpen(table, belief, usual, visit, rounds)
    if not plain.contradicted:
        return plain
    first = places.hollow(0)
    strange = tuple(sorted(place - first for place in plain.contradicted if place >= first))
    odd = _sharpen(table, replace(belief, strange=strange), usual, visit, rounds)
    if not odd.contradicted and _turn_their_way(odd, strange):
        return odd
    before = replace(before, moved=plain.contradicted)
    again = _sharpen(table, belief, course(table, places, visit, before), visit, rounds)
    last = again
    if again.contradicted:
        before = replace(before, contradicted=again.contradicted)
        last = _sharpen(table, belief, course(table, places, visit, before), visit, rounds)
    return replace(last, start=plain.start, surprises=again.surprises)


def _turn_their_way(known: Known, nuts: Sequence[int]) -> bool:
    """Whether nuts still make hollower by turning hollower: no nut works the other way round."""
    return all(known.whole.mean[known.places.nut(nut)] > 0 for nut in nuts)


def _sharpen(table: Table, belief: Belief, laid: Course, visit: Visit, rounds: int) -> Known:
    places = places_of(table)
    start = _with_visit(table, places, belief.lasting, laid, visit)
    if not laid.shown:
        none = np.zeros((0, places.size))
        return Known(places, start, start, laid, None, belief.nuts, none, np.zeros(0))
    return _Rounds(places, start, laid, belief).run(rounds)


def carried(places: Places, known: Known) -> Belief:
    """Carry what is known to the next visit, whatever it will say: relaxed and drifted."""
    keep = np.eye(places.size)[: places.lasting]
    left, found = known.course.left, known.course.found
    keep[: places.state] = (1 - RELAXED) * left + RELAXED * found
    mean, cov = keep @ known.whole.mean, keep @ known.whole.covariance @ keep.T
    moved = (left - found) @ known.whole.mean
    cov[: places.state, : places.state] += drift(places) + np.diag((RELAXED_U * moved) ** 2)
    return Belief(Gaussian(mean, cov), known.nuts, known.course.facing)


def forgotten(table: Table, places: Places, belief: Belief, visit: Visit) -> Belief:
    """Forget what a visit's new part, a new floor or a new place makes void."""
    state = range(places.state)
    feet = range(places.foot(0), places.nut(0))
    nuts = range(places.nut(0), places.shape)
    void = [place for place in state if visit.changed & NEW_FEET]
    void += [place for place in feet if visit.changed & NEW_FEET]
    lasting = _reset(belief.lasting, fresh(table, places), void)
    if not visit.changed & NEW_NUTS:
        return replace(belief, lasting=lasting)
    blank = before_all(table, places)
    return replace(blank, lasting=_reset(lasting, blank.lasting, list(nuts)))


def _reset(belief: Gaussian, blank: Gaussian, void: Sequence[int]) -> Gaussian:
    """Put a blank belief in some unknowns' places."""
    mean, cov = belief.mean.copy(), belief.covariance.copy()
    place = list(void)
    cov[place, :] = 0.0
    cov[:, place] = 0.0
    cov[np.ix_(place, place)] = blank.covariance[np.ix_(place, place)]
    mean[place] = blank.mean[place]
    return Gaussian(mean, cov)


def _with_visit(
    table: Table, places: Places, lasting: Gaussian, laid: Course, visit: Visit
) -> Gaussian:
    """Add what the visit's readings share, and doubt the state where marks wait for a person."""
    doubted = _reset(lasting, fresh(table, places), sorted(laid.broken))
    mean, cov = np.zeros(places.size), np.zeros((places.size, places.size))
    mean[: places.lasting] = doubted.mean
    cov[: places.lasting, : places.lasting] = doubted.covariance
    shared = visit_unknowns(visit.kit, spans_mm(table))
    mean[places.lasting :] = shared.mean
    cov[places.lasting :, places.lasting :] = shared.covariance
    return Gaussian(mean, cov)


class _Rounds:
    """The rounds over the counts of one visit."""

    def __init__(self, places: Places, start: Gaussian, laid: Course, belief: Belief):
        self.places, self.laid, self.strange = places, laid, list(belief.strange)
        self.nuts, nuts = widened(belief.nuts, belief.strange), belief.nuts
        self.nut_places = np.arange(places.nut(0), places.nut(len(places.brackets)))
        self.precision = np.linalg.inv(start.covariance)
        self.shift = self.precision @ start.mean
        self.precision[self.nut_places, self.nut_places] -= nuts.precision
        self.shift[self.nut_places] -= nuts.shift
        self.sites = Sites.none(len(laid.shown))
        self.whole = self.start = start
        self.rows = np.array([one.row for one in laid.shown])  # (N, size)
        self.per_mm = np.array([one.per_mm for one in laid.shown])
        self.noise = np.array([one.noise for one in laid.shown])
        self.stretch = np.array([one.stretch for one in laid.shown])
        self.low = np.array([-np.inf if one.low is None else one.low for one in laid.shown])
        self.high = np.array([np.inf if one.high is None else one.high for one in laid.shown])

    def run(self, rounds: int) -> Known:
        """Go round until nothing moves any more."""
        for _ in range(rounds):
            before = self.whole
            tilted = self._once()
            moved = np.abs(self.whole.mean - before.mean) / np.sqrt(np.diag(self.whole.covariance))
            if moved.max() < _SETTLED:
                break
        both, _ = self._views()
        seen = both[:, 0]
        variance = np.einsum("nd,de,ne->n", seen, self.whole.covariance, seen)
        surprises = tuple(
            (one.place, float(chance))
            for one, chance in zip(self.laid.shown, tilted.evidence, strict=True)
            if chance < SURPRISE
        )
        variance = np.maximum(variance, 1e-18)
        about = (self.laid, tilted, self.nuts, seen, variance, surprises)
        return Known(self.places, self.whole, self.start, *about)

    def _once(self) -> Tilted:
        both, offset = self._views()
        flat = both.reshape(-1, self.places.size)  # (2 N, size)
        seen = flat @ self.whole.covariance
        mean = (flat @ self.whole.mean).reshape(-1, 2)
        mean[:, 0] += offset
        cov = np.einsum("nid,njd->nij", seen.reshape(both.shape), both)
        inner, wide, proper = cavity(mean, cov, self.sites)
        tilted = tilt(inner, wide, Cuts(self.low, self.high, self.stretch, self.noise))
        fitted = stand_ins(inner, wide, tilted)
        usable = proper & (tilted.evidence > 0)
        self._move(fitted, usable)
        self._solve(both, offset)
        self._sharpen_nuts()
        return tilted

    def _views(self) -> tuple[Floats, Floats]:
        """Give the rows of (y, card error), (N, 2, size), and y's offset, (N,).

        An end's slope is its rise times the board's shape: a product, taken straight about what is
        believed of both now.
        """
        shape, mean = self.places.shape, self.whole.mean
        rows, ends = self.rows.copy(), self.per_mm > 0
        zero = rows[ends, self.places.zero]
        state = rows[ends]
        state[:, self.places.zero] = 0.0
        rise = state @ mean
        rows[ends] = state * (mean[shape] * self.per_mm[ends])[:, None]
        rows[ends, shape] = rise * self.per_mm[ends]
        rows[ends, self.places.zero] = zero
        offset = np.zeros(len(rows))
        offset[ends] = -mean[shape] * rise * self.per_mm[ends]
        card = np.zeros_like(rows)
        card[:, self.places.card] = 1.0
        return np.stack([rows, card], axis=1), offset

    def _move(self, fitted: Sites, usable: Flags) -> None:
        step = np.where(usable, _DAMPING, 0.0)
        self.sites = Sites(
            self.sites.precision + step[:, None, None] * (fitted.precision - self.sites.precision),
            self.sites.shift + step[:, None] * (fitted.shift - self.sites.shift),
        )

    def _solve(self, both: Floats, offset: Floats) -> None:
        flat = both.reshape(-1, self.places.size)
        weighed = (self.sites.precision @ both).reshape(flat.shape)
        precision = self.precision + flat.T @ weighed
        precision[self.nut_places, self.nut_places] += self.nuts.precision
        moved = self.sites.shift - self.sites.precision[:, :, 0] * offset[:, None]
        shift = self.shift + flat.T @ moved.ravel()
        shift[self.nut_places] += self.nuts.shift
        covariance = np.asarray(np.linalg.inv(precision), dtype=np.float64)
        self.whole = Gaussian(covariance @ shift, covariance)

    def _sharpen_nuts(self) -> None:
        place = self.nut_places
        variance = np.diag(self.whole.covariance)[place]
        usual, now = sharpened(self.whole.mean[place], variance, self.nuts), self.nuts
        for fitted, kept in ((usual.precision, now.precision), (usual.shift, now.shift)):
            fitted[self.strange] = kept[self.strange]
        self.nuts = usual
